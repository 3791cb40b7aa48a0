"""Our widget kit; it knows no practical."""
