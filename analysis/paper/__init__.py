"""Documents and graph paper, and how they are painted."""
