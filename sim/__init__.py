"""The virtual practical: state and actions, scripted students, commands."""

__version__ = "0.1.0"
