"""Matplotlib drawings, for notebooks and for ``gddcast chart``: each draws on axes it is given.

Colours are those of Okabe & Ito's palette that hold 3:1 on white; what they tell apart is also told
by a label at the line's end, a dash or a shape. `sheet` makes a whole picture file of them.
"""

#: Text is black or blue only.
INK, BLUE, VERMILLION, GREEN, GREY = "#000000", "#0072B2", "#D55E00", "#009E73", "#8C8C8C"
#: Fill of an area, always outlined.
PALE_BLUE = "#CFE3F1"
