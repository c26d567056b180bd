"""What people read as text and programs as JSON: every sentence worded once, for every surface.

Sentences of a window, the numbers behind a date, why it moved, how far the weather is known.
"""
