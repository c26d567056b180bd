"""Entries of a book: what was written, in words."""
