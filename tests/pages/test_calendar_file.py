"""Reminders held against RFC 5545 (2009) and read back by two libraries that are not ours."""

from __future__ import annotations

import datetime as dt
import functools
from dataclasses import replace
from pathlib import Path

import icalendar
import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.journal.entries import Journal, Sighting
from gddcast.pages.calendar_file import calendar_text, reminders_in
from gddcast.pages.calendar_looks import reminders
from gddcast.pages.calendar_reminders import Kind, Reminder, announced_days, updated
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.weather.series import Place

WHOLE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
PLACE = Place("Larkhollow Patch; row 2, north", 41.2, -89.4, timezone="America/Chicago")
MADE = dt.datetime(2026, 6, 11, 6, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


@functools.cache
def plan(day: int, *finds: Sighting) -> SeasonPlan:
    """The borer at Larkhollow on a day of June 2026."""
    series = read_temperatures(WHOLE, place=PLACE).series
    journal = Journal(sightings=finds)
    watch = ["squash-vine-borer"]
    return season_plan(series, load_cards(), dt.date(2026, 6, day), watch=watch, journal=journal)


def text(day: int, *finds: Sighting, kind: Kind = "VEVENT", there: str | None = None) -> str:
    """The file of a day, laid over the one that was there."""
    old = reminders_in(there, PLACE.name) if there else None
    coming = reminders(plan(day, *finds), "F", kind=kind, announced=announced_days(old or {}))
    answer = updated(coming, old or {}, plan(day, *finds))
    return calendar_text(answer, PLACE.name, MADE)


def only(ics: str, name: str = "VEVENT") -> icalendar.cal.Component:
    """The one component of that kind, by the first library."""
    (item,) = icalendar.Calendar.from_ical(ics).walk(name)
    return item


def test_it_is_written_as_the_standard_asks() -> None:
    """RFC 5545, section 3.1: lines end in CRLF and are folded at 75 octets."""
    raw = text(11).encode("utf-8")
    assert raw.endswith(b"\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n")
    assert max(map(len, raw.split(b"\r\n"))) <= 75


def test_both_libraries_read_the_same_day() -> None:
    """One day, its end exclusive (RFC 5545, 3.6.1), opaque to nobody's free time."""
    first = only(text(11))
    second = vobject.readOne(text(11)).vevent
    opens = dt.date(2026, 6, 16)  # the fastest year, 19 June, less three days
    for start, end in (
        (first.decoded("DTSTART"), first.decoded("DTEND")),
        (second.dtstart.value, second.dtend.value),
    ):
        assert (start, end) == (opens, opens + dt.timedelta(days=1))
    assert str(first["UID"]) == second.uid.value
    assert str(first["SUMMARY"]) == second.summary.value
    assert "may begin any day 19–27 June" in second.summary.value
    assert second.description.value == str(first["DESCRIPTION"])
    assert (first["TRANSP"], first["STATUS"]) == ("TRANSPARENT", "TENTATIVE")
    assert first.decoded("DTSTAMP") == MADE  # the same moment, in UTC
    assert vobject.readOne(text(11)).name == "VCALENDAR"


def test_the_alarm_rings_the_afternoon_before() -> None:
    alarm = only(text(11), "VALARM")
    midnight = dt.datetime.combine(only(text(11)).decoded("DTSTART"), dt.time())
    assert midnight + alarm.decoded("TRIGGER") == dt.datetime(2026, 6, 15, 16, 0)
    assert alarm["ACTION"] == "DISPLAY"


def test_a_calendar_name_with_semicolons_survives() -> None:
    """As text, with its semicolon and comma escaped (RFC 5545, 3.3.11; RFC 7986, 5.1)."""
    lines = text(11).replace("\r\n ", "").split("\r\n")
    name = f"{PLACE.name}: scouting".replace(";", "\\;").replace(",", "\\,")
    assert {f"NAME:{name}", f"X-WR-CALNAME:{name}"} <= set(lines)
    assert reminders_in(text(11), PLACE.name) is not None
    assert reminders_in(text(11), "Another Patch") is None
    assert reminders_in("date,max_f,min_f\n", PLACE.name) is None


def test_the_same_again_changes_nothing() -> None:
    once = text(11)
    assert text(11, there=once) == once


def test_a_move_raises_sequence_keeps_uid_and_says_so() -> None:
    before = text(11)
    after = text(17, there=before)
    old, new = only(before), only(after)
    assert old["UID"] == new["UID"]
    assert (old["SEQUENCE"], new["SEQUENCE"]) == (0, 1)
    assert new.decoded("DTSTART") > old.decoded("DTSTART")
    assert "was Tue 16 June before" in new["DESCRIPTION"]
    again = text(17, there=after)
    assert again == after  # still said, not counted twice


def test_a_stage_nags_once_and_once_for_each_real_change() -> None:
    """Written every morning of June: it moves where a day or a span has moved by three days."""
    told, changes, there, numbers = None, 0, None, []
    for day in range(8, 26):
        (window,) = [
            each for each in plan(day).windows if each.event.key == "moths" and not each.cue
        ]
        assert window.opens is not None
        now = (window.opens, window.fastest, window.slowest)
        if told is None or any(
            abs((one - other).days) >= 3
            for one, other in zip(now, told, strict=True)
            if one is not None and other is not None
        ):
            changes += told is not None
            told = now
        there = text(day, there=there)
        item = only(there)
        numbers.append(int(item["SEQUENCE"]))
        assert item.decoded("DTSTART") == told[0], day
        assert str(item["X-GDDCAST-SPAN"]) == f"{told[1]}/{told[2]}"
    assert numbers[-1] == changes
    assert numbers == sorted(numbers)
    assert 1 <= changes < 6  # eighteen mornings, a handful of changes


def test_what_is_left_as_it_was_told_is_left_whole() -> None:
    """Between two mornings that differ by less than three days nothing but the stamp may change."""
    for day in range(8, 25):
        one, next_ = (reminders(plan(each), "F")[0] for each in (day, day + 1))
        if one.first == next_.first and one.latest != next_.latest:
            break
    once = text(day)
    assert text(day + 1, there=once) == once
    assert text(day + 1) != once  # to a new file it tells the newest days


FIND = Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 24), clean_on=dt.date(2026, 6, 22))


def test_a_find_confirms_and_starts_the_next_stage() -> None:
    after = text(25, FIND, there=text(17))
    items = {str(item["SUMMARY"]): item for item in icalendar.Calendar.from_ical(after).events}
    (seen,) = [item for title, item in items.items() if "first moths" in title]
    assert seen["STATUS"] == "CONFIRMED"
    assert seen.decoded("DTSTART") == dt.date(2026, 6, 24)
    assert seen["SEQUENCE"] == 1
    assert not seen.walk("VALARM")
    started = [title for title in items if title.startswith("Start looking")]
    assert started


def test_what_is_no_longer_due_is_cancelled_once() -> None:
    with_find = text(25, FIND)
    taken_back = text(25, there=with_find)
    events = icalendar.Calendar.from_ical(taken_back).events
    gone = [item for item in events if item["STATUS"] == "CANCELLED"]
    assert len(events) == len(icalendar.Calendar.from_ical(with_find).events)
    assert gone
    assert {item["SEQUENCE"] for item in gone} == {1}
    assert text(25, there=taken_back) == taken_back


def test_what_is_over_stays_in_a_calendar_and_comes_into_none() -> None:
    """Three weeks after the sum was reached the stage is closed: nothing to cancel, nothing new."""
    series = read_temperatures(WHOLE, place=PLACE).series
    watch = ["squash-vine-borer"]
    july = season_plan(series, load_cards(), dt.date(2026, 7, 20), watch=watch)
    (moths,) = [each for each in july.windows if each.event.key == "moths" and each.early]
    assert moths.status.word == "closed"
    before = text(11)
    there = reminders_in(before, PLACE.name)
    assert there is not None
    kept = updated(reminders(july, "F"), there, july)
    assert (kept.items, kept.cancelled, kept.moves) == (tuple(there.values()), (), 0)
    assert updated(reminders(july, "F"), {}, july).items == ()


def test_tasks_are_due_on_the_day_to_start() -> None:
    """RFC 5545, 3.8.6.3: an alarm of a task without a start is related to its end."""
    ics = text(11, kind="VTODO")
    task = only(ics, "VTODO")
    assert task.decoded("DUE") == dt.date(2026, 6, 16)
    assert "DTSTART" not in task
    assert task["STATUS"] == "NEEDS-ACTION"
    assert only(ics, "VALARM")["TRIGGER"].params["RELATED"] == "END"
    assert vobject.readOne(ics).vtodo.due.value == dt.date(2026, 6, 16)
    assert text(11, kind="VTODO", there=ics) == ics


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.integers(1, 28), st.booleans()), min_size=1, max_size=8))
def test_sequence_never_falls_and_rises_with_every_move(days: list[tuple[int, bool]]) -> None:
    """However dates jump about, a calendar program never sees an older number."""
    (model,) = reminders(plan(11), "F")
    there: dict[str, Reminder] = {}
    last: Reminder | None = None
    for day, due in days:
        on = dt.date(2026, 6, day)
        coming = (replace(model, first=on, last=on),) if due else ()
        answer = updated(coming, there, plan(11))
        there = {each.uid: each for each in (*answer.items, *answer.cancelled)}
        now = there.get(model.uid)
        if last is not None:
            assert now is not None
            assert now.sequence == last.sequence + (now.visible != last.visible)
        last = now


def test_few_years_are_called_few() -> None:
    series = read_temperatures(WHOLE, place=PLACE).series
    few = series.between(dt.date(2024, 1, 1), series.last)
    short = season_plan(few, load_cards(), dt.date(2026, 6, 11), watch=["squash-vine-borer"])
    (reminder,) = reminders(short, "F")
    assert "too few years to call" in reminder.title


@pytest.mark.parametrize("kind", ["VEVENT", "VTODO"])
def test_uids_tell_kinds_and_seasons_apart(kind: Kind) -> None:
    (this,) = reminders(plan(11), "F", kind=kind)
    (other,) = reminders(plan(11), "F", kind="VTODO" if kind == "VEVENT" else "VEVENT")
    series = read_temperatures(WHOLE, place=PLACE).series
    last_year = season_plan(series, load_cards(), dt.date(2025, 6, 11), watch=["squash-vine-borer"])
    (earlier,) = reminders(last_year, "F", kind=kind)
    assert len({this.uid, other.uid, earlier.uid}) == 3


def test_what_was_reached_is_told_as_it_is_however_near_the_day_told_before() -> None:
    """A day left as it was foretold would stand beside the walk's and the reason's own."""
    there, said = None, []
    for day in range(20, 30):
        there = text(day, there=there)
        (window,) = [
            each for each in plan(day).windows if each.event.key == "moths" and not each.cue
        ]
        if window.reached is not None:
            when = f"{window.reached.day} {window.reached:%B}"
            assert f"heat sum reached on {when}" in only(there)["SUMMARY"]
            assert f"was reached on {window.reached:%a} {when}" in only(there)["DESCRIPTION"]
            said.append(when)
    assert said


def test_a_description_is_three_lines_and_says_where_the_rest_lives() -> None:
    for ics in (text(11), text(25, FIND, there=text(17))):
        for item in icalendar.Calendar.from_ical(ics).events:
            lines = str(item["DESCRIPTION"]).split("\n")
            assert len(lines) == 3, lines
            assert "gddcast why squash-vine-borer " in lines[2]
            assert "the label is the law" in lines[2]


def again(day: int, kind: Kind = "VEVENT") -> icalendar.Calendar:
    """The borer's reminders with the looks that follow the first."""
    answer = updated(reminders(plan(day), "F", kind=kind, again=True), {}, plan(day))
    calendar = icalendar.Calendar.from_ical(calendar_text(answer, PLACE.name, MADE))
    assert isinstance(calendar, icalendar.Calendar)
    return calendar


def test_looks_again_come_as_often_as_is_told_and_end() -> None:
    """RFC 5545, 3.3.10: every so many days from the look after the first, to the last one."""
    first, later = again(11).events
    assert str(first["SUMMARY"]).startswith("Start looking")
    assert str(later["SUMMARY"]).startswith("Look again: Squash vine borer: first moths (every ")
    rule = later["RRULE"]
    (window,) = [each for each in plan(11).windows if each.event.key == "moths" and not each.cue]
    assert rule["FREQ"] == ["DAILY"]
    assert rule["INTERVAL"] == [window.every_days]
    assert rule["UNTIL"] == [window.closes or window.slowest]
    apart = later.decoded("DTSTART") - first.decoded("DTSTART")
    assert apart.days == window.every_days
    assert str(later["CATEGORIES"].to_ical(), "utf-8") == "LOOK AGAIN"
    assert not later.walk("VALARM")
    # Read back it is the same, so that the same again changes nothing.
    raw = again(11).to_ical().decode("utf-8")
    there = reminders_in(raw, PLACE.name)
    assert there is not None
    same = updated(reminders(plan(11), "F", again=True), there, plan(11))
    assert same.moves == 0
    (task,) = [each for each in again(11, "VTODO").walk("VTODO")
               if "Look again" in str(each["SUMMARY"])]  # fmt: skip
    assert "RRULE" not in task


def test_a_program_that_subscribes_reads_it_again_every_day() -> None:
    """RFC 7986, 5.7."""
    assert "REFRESH-INTERVAL;VALUE=DURATION:P1D\r\n" in text(11)
