"""The apparatus, drawn by code from plain values."""
