"""How every Matplotlib drawing of ours looks: charts, and the notebooks by ``CHART_STYLE``."""

from __future__ import annotations

from typing import Any

#: Every word of a chart, so that it can be read on paper. [points]
POINTS = 10.0
#: For ``matplotlib.style.use``; `draw` says which colours go with it.
CHART_STYLE: dict[str, Any] = {
    "axes.spines.right": False,
    "axes.spines.top": False,
    "axes.titlelocation": "left",
    "axes.titlesize": POINTS,
    "figure.constrained_layout.use": True,
    "font.family": "DejaVu Sans",  # comes with Matplotlib, so it is the same everywhere
    "font.size": POINTS,
    "hatch.linewidth": 0.6,
    "text.parse_math": False,  # a dollar in somebody's file name is a dollar
    "xtick.labelsize": POINTS,
    "ytick.labelsize": POINTS,
}
