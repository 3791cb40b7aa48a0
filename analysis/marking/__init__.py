"""Marking: a student's table, graph and answers held against that student's own readings."""
