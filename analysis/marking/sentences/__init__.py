"""Answers in sentences, marked by the criteria of one readable file."""
