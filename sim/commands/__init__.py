"""The commands of `python -m sim`: what each takes, and what it does."""
