"""Rearing files: scale stated, columns found, each fault with its line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.readers.rearing_file import read_rearing


def written(folder: Path, text: str) -> Path:
    path = folder / "jars.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "text",
    [
        "temperature_C,days,n\n20,18.5,12\n25,12.5,9\n",
        "# our jars\nTemp (°C);days;n\n20;18,5;12\n25;12,5;9\n",
        "temperature_F,days,n\n68,18.5,12\n77,12.5,9\n",
    ],
)
def test_reads_the_same_jars(tmp_path: Path, text: str) -> None:
    """Commas, semicolons with decimal commas and °F give the same jars."""
    jars = read_rearing(written(tmp_path, text))

    np.testing.assert_allclose(jars.temperature, [20.0, 25.0], rtol=0, atol=1e-9)
    np.testing.assert_allclose(jars.days, [18.5, 12.5], rtol=0, atol=0)
    assert jars.n is not None
    assert jars.n.tolist() == [12, 9]


def test_rates_and_dead_jars(tmp_path: Path) -> None:
    """A rate column stands for the days, and a jar where nobody finished has none."""
    jars = read_rearing(written(tmp_path, "temp,rate\n20,0.05\n36,none\n"), unit="C")

    assert jars.days.tolist() == [20.0, float("inf")]
    assert jars.n is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("temperature,days\n20,18\n", "doesn’t say whether"),
        ("temperature_C,days\n20,1O\n", "line 2: “1O” stands under days"),
        ("temperature_C,days\n# note\n20,0\n", "line 3: 0 days"),
        ("temperature_C,weeks\n20,3\n", "line 1: its columns are temperature_C, weeks"),
        ("temperature_C,temp,days\n20,20,3\n", "2 columns could be the temperature"),
        ("temperature_C,days\n", "no jars"),
        ("", "it is empty"),
    ],
)
def test_refuses_with_the_line(tmp_path: Path, text: str, words: str) -> None:
    """What cannot be settled is refused with its line and a cure."""
    with pytest.raises(Refusal, match=words):
        read_rearing(written(tmp_path, text))


def test_unit_must_agree_with_the_header(tmp_path: Path) -> None:
    """A scale that contradicts the header is refused."""
    with pytest.raises(Refusal, match="its header says °C"):
        read_rearing(written(tmp_path, "temperature_C,days\n20,18\n"), unit="F")


@pytest.mark.parametrize("cell", ["1_0", "٣٢", "9" * 400, "nan", "inf"])
def test_what_only_a_programming_language_takes_for_a_number_is_refused(
    tmp_path: Path, cell: str
) -> None:
    """So many nines are no infinity: nobody wrote that no insect finished."""
    file = tmp_path / "jars.csv"
    file.write_text(f"temperature_C,days\n20,{cell}\n25,14\n", encoding="utf-8")
    with pytest.raises(Refusal, match="stands under days"):
        read_rearing(file)
