"""The bench: the only place of the practical that opens a window."""
