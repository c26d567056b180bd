"""Whether a weather record is good enough, and how to mend it.

``checks`` (impossible readings), ``breaks`` (stuck runs, copied months, a change of unit) and
``shifts`` (maxima booked a day late) find faults; ``findings`` puts them in words, ``consequence``
in days of error, ``verdict`` in one word of trust. ``siting`` holds one thermometer against
another, ``mending`` repairs a record step by step, ``revisions`` compares it with an earlier copy.
"""
