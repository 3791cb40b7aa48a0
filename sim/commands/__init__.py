"""The commands of `python -m sim`, one file each."""
