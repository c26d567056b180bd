"""The walk on a screen of 80 columns: its length, its marks, its cautions, what it says moved."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from gddcast import words
from gddcast.crops.succession import Rules
from gddcast.journal.clocks import ONE_DAY
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text.dates.walk_by_bed import walk_by_bed_text
from gddcast.text.terminal import Terminal
from gddcast.today.announcements import Announcement
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.weather.series import DailySeries, Origin
from gddcast.words import Status, capital
from tests.real_records import SAMPLES

CARDS = load_cards()
SERIES = read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv").series
FOUR = ("squash-vine-borer", "squash-bug", "striped-cucumber-beetle", "corn-rootworms")
LABEL = "the label is the law"
BEETLE = "Striped cucumber beetle: overwintered beetles"


class Told:
    """A book that remembers on which days a walk told something due, and no weather."""

    def __init__(self, *days: dt.date) -> None:
        self.days = days

    def announced(self, surface: str | None, season: str) -> Sequence[Announcement]:
        """One stage a day, due then."""
        moment, opens = dt.datetime(2026, 7, 1, tzinfo=dt.UTC), dt.date(2026, 6, 1)
        return [
            Announcement(surface or "", moment, day, season, "a", "b", "", opens, None, None, "")
            for day in self.days
        ]

    def weather(
        self, day: dt.date, announcement: Announcement | None = None
    ) -> tuple[DailySeries | None, ForecastArchive]:
        """As it reads today."""
        assert announcement is None or announcement.day == day
        return None, ForecastArchive.of([])


def garden(*sightings: Sighting, jobs: tuple[Job, ...] = ()) -> Journal:
    """Three beds."""
    rows = (("sweet-corn", "north end", 10), ("summer-squash", "row 2", 18),
            ("cucumber", "row 4", 24))  # fmt: skip
    sowings = tuple(
        Sowing(crop, dt.date(2026, 5, day), bed=bed, name=f"{crop} 2026-1")
        for crop, bed, day in rows
    )
    return Journal(sightings, sowings, jobs)


def today_of(
    day: dt.date, journal: Journal, watch: Sequence[str] = FOUR, *told: dt.date
) -> Today:  # fmt: skip
    practice = Practice(watch=tuple(watch), rules=Rules())
    return Today(Record(SERIES.before(day), day), CARDS, journal, practice, Told(*told))


def lines(today: Today, width: int = 80) -> list[str]:
    shown = walk_by_bed_text(today, "F", terminal=Terminal(width)).split("\n")
    assert max(map(len, shown)) <= width
    return shown


def flat(today: Today) -> str:
    return " ".join(" ".join(lines(today)).split())


@pytest.mark.parametrize("number", [1, 2, 6, 9, 13])
def test_four_pests_on_three_beds_in_july_take_25_lines(number: int) -> None:
    """With everything on its first walk of the week, and with something in flower."""
    jobs = (Job("first-flower", dt.date(2026, 6, 26), "summer-squash 2026-1"),)
    found = Sighting("striped-cucumber-beetle", "adults", dt.date(2026, 6, 2))
    today = today_of(dt.date(2026, 7, number), garden(found, jobs=jobs))
    assert len(today.by_bed.blocks) == 4
    assert len(today.by_bed.beds) == 3
    shown = lines(today)
    assert len(shown) <= 25, "\n".join(shown)
    assert shown[0].endswith("weather through " + words.day(today.day - ONE_DAY, weekday=False))
    assert shown[1].startswith("Four things to look for on three beds.")


def test_what_was_looked_for_today_is_said_at_the_head() -> None:
    day = dt.date(2026, 7, 2)
    due = today_of(day, garden()).by_bed.blocks
    looks = [Sighting(block.card.key, block.windows[0].event.key, day, "none") for block in due]
    every = "Three things to look for on two beds"
    some = lines(today_of(day, garden(*looks[:1])))
    assert some[1].startswith(f"{every}; one looked for today.")
    assert lines(today_of(day, garden(*looks)))[1].startswith(f"{every}; all looked for today.")
    later = today_of(day + ONE_DAY, garden(*looks))
    assert "looked for today" not in flat(later)


@pytest.mark.parametrize("day", [dt.date(2026, 6, 3), dt.date(2026, 6, 8), dt.date(2026, 2, 2)])
def test_a_quiet_day_takes_8_lines(day: dt.date) -> None:
    today = today_of(day, garden(), ["squash-vine-borer", "codling-moth"][: 1 + (day.month < 4)])
    assert today.by_bed.blocks == ()
    shown = lines(today)
    assert len(shown) <= 8, "\n".join(shown)
    assert shown[1] == "Nothing on your list is due."
    assert any(line.startswith("Come back on ") for line in shown)
    assert LABEL not in " ".join(shown)


@pytest.mark.parametrize("month", [4, 5, 6, 7, 8])
def test_twenty_pests_take_40_lines(month: int) -> None:
    """Those with most to say, whatever their crops: the walk by one line a pest from nine on."""
    pests = [key for key, card in CARDS.items() if card.group == "pest"]
    day = dt.date(2026, month, 12)
    due = [block.card.key for block in today_of(day, garden(), pests).by_bed.blocks]
    twenty = [*due, *(key for key in pests if key not in due)][:20]
    shown = lines(today_of(day, garden(), twenty))
    assert len(shown) <= 40, "\n".join(shown)


def test_an_item_says_why_where_how_many_how_often_and_at_which_hour() -> None:
    shown = lines(today_of(dt.date(2026, 6, 23), garden(), ["squash-vine-borer"]))
    at = shown.index("Row 2: summer squash, day 36")
    assert shown[at + 1] == "  ● Squash vine borer: first moths · any day 25–27 June"
    assert shown[at + 2] == "    stem base · 10 plants · every 4 days · midday for moths"


def test_a_pest_has_two_lines_as_long_as_all_take_forty() -> None:
    """Weekly, all pests of three crops: never more than 40 lines, two a pest where they fit."""
    practice = Practice(grow=("summer-squash", "sweet-corn", "cucumber"), rules=Rules())
    lengths = {}
    for week in range(12, 36):
        day = dt.date.fromisocalendar(2026, week, 1)
        today = Today(Record(SERIES.before(day), day), CARDS, garden(), practice, Told())
        lengths[len(today.by_bed.blocks)] = shown = lines(today)
        assert len(shown) <= 40, "\n".join(shown)
        said = " ".join(" ".join(shown).split())
        for block in today.by_bed.blocks:  # in brief too: where alone would not say what to find
            assert f"{capital(block.card.name)}: {block.windows[0].event.words}" in said
    assert max(lengths) > 5
    five = lengths[5]
    assert len([line for line in five if " plants · " in line and line[:4] == "    "]) >= 4


@pytest.mark.parametrize("width", [60, 92])
def test_no_line_breaks_off_in_a_phrase(width: int) -> None:
    """All pests, spring to autumn: what does not fit is left for the full walk, unmarked."""
    pests = [key for key, card in CARDS.items() if card.group == "pest"]
    for month in (4, 6, 8):
        shown = lines(today_of(dt.date(2026, month, 12), garden(), pests), width)
        assert not [line for line in shown if "…" in line]
        assert not [line for line in shown if "its cue" in line]


def test_the_hour_and_the_place_are_those_of_the_stage() -> None:
    """The card: "sunny hours for butterflies; any hour for caterpillars"; larvae on roots."""
    worm, beetle = CARDS["imported-cabbageworm"], CARDS["striped-cucumber-beetle"]
    eggs, larvae = worm.event("second-eggs"), beetle.event("egg-hatch")
    assert eggs is not None
    assert larvae is not None
    assert beetle.look_at(larvae).where_on_plant == "roots"
    assert "butterflies" in (worm.look_at(eggs).time_of_day or "")
    journal = Journal(
        (Sighting(worm.key, "adults", dt.date(2026, 5, 6)),),
        (Sowing("kale", dt.date(2026, 4, 1), bed="row 1", name="kale 2026-1"),),
    )
    for day in range(1, 20):
        shown = lines(today_of(dt.date(2026, 6, day), journal, [worm.key]))
        at = next((at for at, line in enumerate(shown) if "generation’s eggs ·" in line), None)
        if at is not None and "butterflies" not in shown[at]:
            assert "sunny hours for butterflies" not in " ".join(shown[at + 1 : at + 3])
            return
    pytest.fail("the eggs were never due")


def test_stages_overdue_stand_together_with_the_last_of_their_days() -> None:
    """European corn borer on 20 July: three sums reached on 7, 9 and 13 July, by the full walk."""
    text = flat(today_of(dt.date(2026, 7, 21), garden(), ["european-corn-borer"]))
    assert (
        "first summer moths, first eggs of the second brood and second-brood eggs hatching · "
        "OVERDUE, due on 13 July"
    ) in text
    assert text.count("OVERDUE") == 1


def test_without_past_years_a_rough_date_and_its_cure_stand_on_the_walk() -> None:
    """A record from 5 March on: under a day's worth of the borer's heat lies before it."""
    day = dt.date(2026, 6, 11)
    short = SERIES.between(dt.date(2026, 3, 5), day - ONE_DAY)
    practice = Practice(watch=("squash-vine-borer", "cabbage-maggot"), rules=Rules())
    today = Today(Record(short, day), CARDS, garden(), practice, Told())
    text = flat(today)
    assert re.search(r"\? Squash vine borer, first moths; any day 2\d June – \d July", text)
    assert "gddcast weather patch YOURFILE.csv --from OTHER.csv --extend" in text
    assert "Can’t say: cabbage maggot, first flies" in text
    assert "No other look has a date" not in text


def test_a_date_that_past_years_alone_put_behind_says_so() -> None:
    """The record ends on 10 June; on 11 July the moths' sum has not been seen to be reached."""
    day = dt.date(2026, 7, 11)
    record = Record(SERIES.before(dt.date(2026, 6, 11)), day)
    practice = Practice(watch=("squash-vine-borer",), rules=Rules())
    text = flat(Today(record, CARDS, garden(), practice, Told()))
    assert "first moths · OVERDUE, by past years’ weather any day 19–27 June" in text
    assert "No all-clear" in text


def test_overdue_is_said_with_its_day() -> None:
    """By floor the mean the sum is reached on 25 June 2026: the full walk has that day too."""
    text = flat(today_of(dt.date(2026, 7, 3), garden(), ["squash-vine-borer"]))
    assert "▲ Squash vine borer: first moths · OVERDUE, due on 25 June" in text


def test_what_is_unsure_heard_or_clean_stands_in_the_pest_s_line() -> None:
    beetle = "striped-cucumber-beetle"
    marks = (
        Sighting(beetle, "adults", dt.date(2026, 5, 25), "none"),
        Sighting(beetle, "adults", dt.date(2026, 5, 28), sure=False),
        Sighting(beetle, "adults", dt.date(2026, 5, 30), "heard"),
    )
    said = f"{BEETLE} · may be about, air above 55 °F"
    day = dt.date(2026, 6, 3)
    assert f"{said} (clean 25 May, unsure find 28 May, heard of 30 May)" in flat(
        today_of(day, garden(*marks), [beetle])
    )
    found = Sighting(beetle, "adults", dt.date(2026, 6, 2), clean_on=dt.date(2026, 5, 31))
    text = flat(today_of(day, garden(*marks, found), [beetle]))
    assert f"✓ {BEETLE} · seen 2 June (clean 31 May)" in text
    assert "unsure" not in text


def test_the_caution_stands_once_a_week_and_where_something_flowers_or_is_dusted() -> None:
    """8 July 2026 is a Wednesday."""
    day, monday = dt.date(2026, 7, 8), dt.date(2026, 7, 6)
    assert LABEL in flat(today_of(day, garden(), FOUR))
    assert LABEL not in flat(today_of(day, garden(), FOUR, monday))
    assert LABEL in flat(today_of(day, garden(), FOUR, monday - dt.timedelta(days=1)))
    flowers = garden(jobs=(Job("first-flower", dt.date(2026, 6, 26), "summer-squash 2026-1"),))
    assert LABEL in flat(today_of(day, flowers, FOUR, monday))
    dusted = today_of(day, garden(jobs=(Job("dusted", dt.date(2026, 6, 20), bed="row 4"),)), FOUR,
                      monday)  # fmt: skip
    habits = replace(dusted.practice.habits, dust_again_days=7)
    dusted = replace(dusted, practice=replace(dusted.practice, habits=habits))
    text = flat(dusted)
    assert "- dust again (row 4): since Sat 27 June" in text
    assert LABEL in text


def test_a_move_of_two_days_is_news_and_a_span_that_narrows_is_none() -> None:
    """Day by day in spring: what is said to have moved is what two plans a week apart say."""
    said, silent = 0, 0
    for number in range(30):
        on = dt.date(2026, 4, 12) + dt.timedelta(days=number)
        ends = []
        for each in (on - dt.timedelta(days=7), on):
            today = today_of(each, garden(), ["codling-moth"])
            windows = [each for each in today.plan.windows if each.event.key == "moths"]
            moths = next(each for each in windows if each.late is not None)
            ends.append((moths.fastest, moths.slowest))
        if moths.status not in (Status.COMING_UP, Status.LOOK_NOW) or moths.reached:
            continue
        (first, last), (first_now, last_now) = ends
        assert first is not None and first_now is not None  # noqa: PT018
        assert last is not None and last_now is not None  # noqa: PT018
        shift = ((first_now - first).days + (last_now - last).days) / 2
        news = max(abs(shift), (first - first_now).days, (last_now - last).days) >= 2
        text = flat(today)
        assert ("Moved by two days or more since" in text) is news, on
        if abs(shift) >= 2:
            way = "later" if shift > 0 else "earlier"
            assert f"Codling moth, first moths: {words.any_day(first_now, last_now)}, " in text
            assert f", {int(abs(shift) + 0.5)} days {way}" in text
        said, silent = said + news, silent + (not news)
    assert said > 3
    assert silent > 3


def test_a_gap_names_the_wider_days_and_what_they_cost() -> None:
    """A fortnight of May missing: the days four times in five, and what has probably begun."""
    day = dt.date(2026, 6, 24)
    low, high, origin = SERIES.tmin.copy(), SERIES.tmax.copy(), SERIES.origin.copy()
    hole = slice(SERIES.index(dt.date(2026, 5, 3)), SERIES.index(dt.date(2026, 5, 17)))
    low[hole] = high[hole] = np.nan
    origin[hole] = Origin.UNKNOWN
    gappy = replace(SERIES, tmin=low, tmax=high, origin=origin)
    watch = (*FOUR, "european-corn-borer")
    record = Record(gappy.before(day), day)
    shown = lines(Today(record, CARDS, garden(), Practice(watch=watch, rules=Rules()), Told()))
    at = shown.index("Days missing; with usual weather on them, four times in five")
    assert shown[at + 1] == (
        "  ? Corn rootworms, first beetles; any day 20–24 June, about ± 2 days by the gap"
    )
    firsts = [line for line in shown[at + 1 :] if line.startswith("  ? ")]
    assert firsts == [line for line in firsts if "any day " in line]
    begun = next(line for line in shown if line.startswith("Probably begun"))
    assert "European corn borer, first spring moths" in begun
    assert not any(line.startswith("Can’t say") for line in shown)
    whole = lines(today_of(day, garden(), watch))
    assert not any("Days missing" in line for line in whole)
