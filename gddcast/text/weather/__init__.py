"""Records in words and as data: added, checked, compared, patched, fetched, counted into heat."""
