"""A file of several thermometers, a text each: what stands above them all, and their own rows."""

from __future__ import annotations

import pytest

from gddcast.readers.site_texts import texts_by_site

HEADER = "site,date,max,min"
A, B = ("A,2026-05-01,20,8", "A,2026-05-02,21,9"), ("B,2026-05-01,18,7", "B,2026-05-02,19,6")


@pytest.mark.parametrize("above", [[], ["Larkhollow", ""], ["# unit: C"]])
@pytest.mark.parametrize("units", [[], [",,°C,°C"]])
def test_each_has_what_stands_above_and_its_own_rows(above: list[str], units: list[str]) -> None:
    rows = [A[0], B[0], A[1], ",2026-05-03,1,1", B[1]]  # a row of nobody’s is left out
    found = texts_by_site("\n".join([*above, HEADER, *units, *rows]))
    shared = [*above, HEADER, *units]
    assert {site: text.splitlines() for site, text in found.items()} == {
        "A": [*shared, *A],
        "B": [*shared, *B],
    }


@pytest.mark.parametrize(
    "lines",
    [
        [HEADER, *A],
        ["date,max °C,min °C", "2026-05-01,20,8"],
        ["site,station,date,max,min", "A,K,2026-05-01,20,8", "B,L,2026-05-01,20,8"],
        [HEADER, *(f"S{at},2026-05-01,20,8" for at in range(201))],
        ["nothing"],
    ],
    ids=["one site", "no site", "two columns of sites", "too many sites", "no table"],
)
def test_other_files_are_read_whole(lines: list[str]) -> None:
    assert texts_by_site("\n".join(lines)) == {}
