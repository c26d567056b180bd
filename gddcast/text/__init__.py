"""What people read as text and programs as JSON: every sentence worded once, for every surface.

``sentences`` is what a scouting window says, ``numbers`` the heat sums and methods behind it,
``why_moved`` why its date is another now, ``weather_so_far`` how far the weather is known and how
the season stands. Answers stand by subject, each answer's text and JSON in one room: ``dates``,
``seasons``, ``sowings``, ``weather``, ``cards``, ``logged``, ``lessons``, ``rearing``. ``terminal``
alone folds, marks and emphasises lines; ``answer`` is what every answer for programs is made of.
"""
