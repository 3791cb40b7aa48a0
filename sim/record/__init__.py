"""The practical record: its lines, its file, reading it back."""
