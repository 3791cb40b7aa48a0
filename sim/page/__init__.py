"""The practical as one page for any browser: the model's second screen."""
