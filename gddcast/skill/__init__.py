"""skill."""
