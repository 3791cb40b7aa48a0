"""The bench without a pixel: what is shown and what can be done."""
