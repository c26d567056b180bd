"""Drawings: what stands where is worked out once, then shown by two faces.

A geometry says which day, sum or temperature has its place where. Its SVG face, `svg` strokes in a
page, is a function that returns a drawing; its Matplotlib face, for charts and notebooks, draws on
axes it is given and begins with ``draw_``. `chart_file` makes a whole picture file of the latter.
Onset doubt is dots, one a past year (`year_dots`); a bar is a length of time.

Colours are those of Okabe & Ito's palette that hold 3:1 on white; what they tell apart is also told
by a label, a dash or a shape.
"""

#: Text is black or blue only.
INK, BLUE, VERMILLION, GREEN = "#000000", "#0072B2", "#D55E00", "#009E73"
#: Lines that stand back (4.5:1), and those of a grid, which nothing rests on.
GREY, GRID = "#767676", "#D0D0D0"
#: Fill of an area, always outlined.
PALE_BLUE = "#CFE3F1"
