"""The teacher's page: the two procedures side by side, drop by drop, for a projector."""
