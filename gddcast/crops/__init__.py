"""crops."""
