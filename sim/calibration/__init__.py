"""Fitting the model of the ball to a school's own readings, and keeping it in a ball file."""
