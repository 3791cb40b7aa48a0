"""Models of the practical: ball, flight, heat and reading. SI units; no files, no clock."""
