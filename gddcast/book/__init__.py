"""The season book: a folder that remembers one place.

``book.toml``
    Settings, for people to edit: the place, what they watch, how they look. See ``settings``.
``book.sqlite``
    What was recorded: weather days with their origin, sowings, finds, clean looks, jobs. Rows are
    added or withdrawn, never rewritten. See ``schema`` for its tables and ``store`` for its rules.

``opening.open_book`` opens it; ``entries`` and ``weather_rows`` turn rows into the types of the
garden and back; ``exchange`` writes all of it as CSV and TOML and reads that again.
"""
