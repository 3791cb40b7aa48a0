"""The virtual practical: state and actions, scripted students, commands."""
