"""The pages of the exercise book: what each shows, and what its fields and buttons do."""
