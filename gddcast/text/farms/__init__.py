"""Several farms in words, and for programs."""
