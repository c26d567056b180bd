"""What a place says on a day: the one composition every command and page takes its dates from.

``today`` holds all of it; ``record`` makes the record ready, ``practice`` is what people chose,
``plan`` gives the scouting windows, of heat sums (``sum_windows``), days (``day_counts``) and cues
(``cue_windows``). Beside each date stand its record at this place (``beside_dates``) and what moved
it (``changes``) since it was told (``announcements``). ``season_sum`` is the sum seasons are told
by, ``foretelling`` how past outlooks would have done; ``sowing_days``, ``plants_ahead`` and
``sowing_courses`` are of crops.
"""
