"""outlook."""
