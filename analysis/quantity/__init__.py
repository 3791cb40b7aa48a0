"""Quantities: the one table of units, and the way from text to value and back."""
