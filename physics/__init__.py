"""Models of the practical: ball, flight, heat and reading. SI units; no files, no clock."""

MODEL_VERSION = 2
"""Rises when the same acts give other heights or temperatures than before, so that a practical is
not held against a truth that it never had. 1 was the wall without nodes, before the bath."""
USUAL_SPEED = "medium"
"""The playing speed where nobody says which; it stands here so that help waits for no numpy."""
