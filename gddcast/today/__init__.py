"""today."""
