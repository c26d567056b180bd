"""A whole report, from the file or the book to the page, in units of ``import numpy``."""

from __future__ import annotations

import datetime as dt
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gddcast.draw.year_dots import has_year_dots
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import season_plan
from tests.pages.every_page import PAGES, make_inputs

_TODAY = dt.date(2026, 6, 11)


def seconds(*arguments: str) -> float:
    """Middle of three starts of one process."""
    taken = []
    for _ in range(3):
        begin = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken)


def test_a_report_in_units_of_importing_numpy(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two seconds where NumPy takes a tenth of one: 20 imports. At most 250 kB for 20 stages."""
    make_inputs(tmp_path)
    numpy = seconds("-c", "import numpy")
    said = []
    for name in ("report of a file", "report of a watch list", "report of the demo book"):
        words = [
            str(tmp_path / word) if (tmp_path / word).exists() else word for word in PAGES[name]
        ]
        page = tmp_path / "page.html"
        ratio = seconds("-m", "gddcast", *words, "-o", str(page), "--force") / numpy
        said.append(f"{name}: {ratio:.1f} × import numpy, {page.stat().st_size / 1000:.0f} kB")
        assert ratio < 25.0
        assert page.stat().st_size <= 310_000
    with capsys.disabled():
        print("\n" + "\n".join(said))


def test_every_card_is_more_than_twenty_stages() -> None:
    """What the size above is of: twelve past seasons and more stages drawn than asked for."""
    series = read_temperatures(
        Path(__file__).parents[1] / "samples" / "larkhollow_2014_2026_f.csv"
    ).series
    plan = season_plan(series, load_cards(), _TODAY)
    assert len(plan.verdict.usable_seasons) == 12
    assert sum(has_year_dots(each) for each in plan.windows) >= 20
