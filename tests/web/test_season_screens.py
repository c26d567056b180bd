"""Beds and Seasons: the ladder of last sowings, own finds beside what is printed."""

from __future__ import annotations

from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.outlook.seasons import days_ahead_by_day
from gddcast.pages.report.own_sums import own_sums
from gddcast.pages.report.page import curves_of
from gddcast.today.sowing_courses import last_fits
from tests.web.conftest import words_of


def test_each_rung_says_in_how_many_past_years(browser: TestClient, book: PageBook) -> None:
    said = words_of(browser.get("/beds").text)
    for crop in book.today().courses:
        best = last_fits(crop.sown_by)
        assert best is not None
        for row in crop.sown_by[crop.sown_by.index(best) :]:
            dots = "●" * row.fits + "○" * (row.years - row.fits)
            assert f"{row.fits} of {row.years} {dots}" in said
    assert "Past years in which a sowing leaves 21 days of picking before the first frost" in said


def test_the_headline_is_in_days_and_the_curve_ends_there(
    browser: TestClient, book: PageBook
) -> None:
    plan, said = book.today().plan, words_of(browser.get("/seasons").text)
    stands = plan.standing
    assert stands is not None
    assert (
        f"About {stands.days_ahead} days ahead of the middle past year: 6th warmest of 12" in said
    )
    assert said.index("About") < said.index("°F-days")
    ahead = days_ahead_by_day(curves_of(plan))
    assert ahead[-1] == stands.days_ahead
    assert "Days ahead and behind" in browser.get("/seasons").text


def test_own_finds_stand_beside_the_published_sum(browser: TestClient, book: PageBook) -> None:
    said = words_of(browser.get("/seasons").text)
    sums = own_sums(book.today(), "F")
    assert len(sums) == 2
    for each in sums:
        assert each.headline in said
        assert all(line in said for line in (*each.hits, *each.legend))
        assert all(cell in said for row in each.table.rows for cell in row)
    assert "Squash vine borer, first moths: by your finds of 4 seasons" in said
    assert "by the printed sum" in said
