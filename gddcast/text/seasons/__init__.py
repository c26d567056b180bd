"""Past seasons: beside each other, against own finds, and how outlooks did in them."""
