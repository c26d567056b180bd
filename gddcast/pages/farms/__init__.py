"""Several farms on paper: a letter of who is due where, their map, all their sheets in one file."""
