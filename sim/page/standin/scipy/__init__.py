"""What the marking asks of scipy, in plain Python; see the stand-in for numpy beside it."""
