"""Pages for screen, wall and paper: report, scouting sheet, lessons, and the calendar file.

Each page is a template in ``templates``, real HTML and CSS that a designer can open, and a function
that fills a small frozen context for it. Templates hold the markup and the sentences that never
change; dates, sums and sentences that depend on them come ready-made from the rooms below.
``templates/places`` holds our line drawings of where to look: strokes on a square of 100 by 100,
the place itself in a grey of 44 % ink, which a copying machine still shows.
"""
