"""The commands of `python -m analysis`, one file each: what each does with its options."""
