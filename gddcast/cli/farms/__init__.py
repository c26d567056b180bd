"""``gddcast farms``: several farms at once; one file a command."""
