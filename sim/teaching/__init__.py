"""What a teacher shows: the demonstration, the sources of spread, repeats needed."""
