"""A file of readings in, and readings out."""
