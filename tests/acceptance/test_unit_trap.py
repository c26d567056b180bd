"""A file in °C that does not say so, and a threshold in °F: refused, then read as it should be."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.terminal import SAMPLES, programs, refused, run

UNLABELLED = str(SAMPLES / "02_celsius_no_unit.csv")
SAME_IN_F = SAMPLES / "01_clean_iso_f.csv"
HEAT = ("--lower", "50F", "--show", "F", "--on", "2026-06-11")


def everything(folder: Path) -> dict[str, bytes]:
    """Every file under a folder."""
    return {str(file): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


@pytest.mark.parametrize(
    "words", [("heat", UNLABELLED, *HEAT), ("ahead", UNLABELLED), ("weather", "add", UNLABELLED)]
)
def test_it_is_refused_with_evidence_and_the_exact_flag(words: tuple[str, ...], book: Path) -> None:
    before = everything(book)
    said = refused(*words, "--no-input")
    assert "it doesn’t say whether it is °F or °C" in said
    assert "Highest reading 32.8, lowest 2.8." in said
    assert "As °C that is an ordinary May; as °F no afternoon passed 33." in said
    assert said.rstrip().endswith(f"gddcast {' '.join(words)} --no-input --unit C")
    assert everything(book) == before


def test_with_the_flag_its_heat_is_that_of_the_same_days_in_fahrenheit() -> None:
    told = programs("heat", UNLABELLED, *HEAT, "--unit", "C")
    ours = np.array([day["heat"] for day in told["days"]])
    celsius = second_opinion.read(Path(UNLABELLED), high="max", low="min")
    low, high = celsius["low"].to_numpy(), celsius["high"].to_numpy()
    assert len(ours) == 41
    # Nine fifths of the heat in °C, and no 32 in it: pitfall U5. Three decimals are printed.
    in_celsius = second_opinion.single_sine(low, high, 10.0)
    np.testing.assert_allclose(ours, in_celsius * 9 / 5, rtol=0, atol=0.0006)
    # The °F file was rounded to whole degrees, the °C one to tenths: a tenth of a °C at most.
    same = second_opinion.SINE.heat(second_opinion.read(SAME_IN_F))
    np.testing.assert_allclose(ours, same, rtol=0, atol=0.1 * 9 / 5)
    assert np.abs(ours - same.to_numpy()).max() > 0.0


def test_with_the_flag_the_book_takes_it(book: Path) -> None:
    run("weather", "add", UNLABELLED, "--no-input", "--unit", "C", "--on", "2026-06-11")
    days = programs("heat", UNLABELLED, "--unit", "C", *HEAT)["days"]
    assert [days[0]["date"], days[-1]["date"]] == ["2026-05-01", "2026-06-10"]


def test_a_bare_threshold_is_not_guessed_and_the_other_scale_is_asked_about() -> None:
    """Pitfalls U2 and U3: 50 of what; and 10 °F is no threshold of any insect."""
    assert "Write the F or C behind the number" in refused("heat", str(SAME_IN_F), "--lower", "50")
    assert "is the other scale meant" in refused("heat", str(SAME_IN_F), "--lower", "10F")
