"""Weather records: judged, compared, mended, fetched, counted."""
