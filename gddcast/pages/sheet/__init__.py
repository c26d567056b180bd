"""The scouting sheet, a part to a file."""
