"""scouting."""
