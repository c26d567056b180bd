"""``gddcast calendar`` as a person types it: written, written again, refused."""

from __future__ import annotations

from pathlib import Path

import icalendar
import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.cli import main

WHOLE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Larkhollow's book with its weather to 31 August 2026."""
    folder = tmp_path / "larkhollow-patch"
    made = run(
        "setup", "--book", str(folder), "--name", "Larkhollow Patch", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input",
    )  # fmt: skip
    assert made.exit_code == 0, made.output
    added = run("weather", "add", str(WHOLE), "--book", str(folder), "--on", "2026-09-01")
    assert added.exit_code == 0, added.output
    return folder


def export(book: Path, out: Path, on: str, *words: str) -> str:
    """Write the borer's reminders of a day."""
    answer = run("calendar", "--book", str(book), "--watch", BORER, "-o", str(out), "--on", on,
                 *words)  # fmt: skip
    assert answer.exit_code == 0, answer.output
    return answer.stdout


def numbered(out: Path) -> dict[str, int]:
    """SEQUENCE of every UID."""
    events = icalendar.Calendar.from_ical(out.read_bytes()).events
    numbers = {str(item["UID"]): int(item["SEQUENCE"]) for item in events}
    assert len(numbers) == len(events)
    return numbers


def test_again_into_the_same_file(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "reminders.ics"
    said = export(book, out, "2026-06-11")
    assert "1 reminder; the next is Tue 16 June" in " ".join(said.split())
    first = numbered(out)
    assert list(first.values()) == [0]
    assert "0 moved" in export(book, out, "2026-06-11")
    assert numbered(out) == first
    assert "1 moved since the file that was there" in export(book, out, "2026-06-17")
    assert numbered(out) == dict.fromkeys(first, 1)


def test_the_book_remembers_what_it_told_when_the_file_is_gone(book: Path, tmp_path: Path) -> None:
    """Sent away, the old file is no help: the number has to rise all the same."""
    export(book, tmp_path / "one.ics", "2026-06-11")
    export(book, tmp_path / "two.ics", "2026-06-17")
    one, two = numbered(tmp_path / "one.ics"), numbered(tmp_path / "two.ics")
    assert two == dict.fromkeys(one, 1)
    export(book, tmp_path / "three.ics", "2026-06-17")
    assert numbered(tmp_path / "three.ics") == two
    told = open_book(book).announced("calendar", "2026")
    assert [str(each.opens) for each in told] == ["2026-06-16", "2026-06-20"]


def test_a_small_change_is_kept_from_the_calendar_and_from_the_book(
    book: Path, tmp_path: Path
) -> None:
    """On 18 June the day to start is a day later: no news, in the old file or in a new one."""
    out, other = tmp_path / "one.ics", tmp_path / "two.ics"
    export(book, out, "2026-06-17")
    first = numbered(out)
    for on in ("2026-06-18", "2026-06-19"):
        assert "0 moved" in export(book, out, on)
        assert numbered(out) == first
    export(book, other, "2026-06-19")
    assert numbered(other) == first
    days = [icalendar.Calendar.from_ical(each.read_bytes()).events[0].decoded("DTSTART")
            for each in (out, other)]  # fmt: skip
    assert days[0] == days[1]
    assert len(open_book(book).announced("calendar", "2026")) == 1


def test_a_bare_file_needs_no_book(tmp_path: Path) -> None:
    out = tmp_path / "reminders.ics"
    words = ("calendar", str(WHOLE), "--watch", BORER, "-o", str(out), "--on")
    assert run(*words, "2026-06-11").exit_code == 0
    first = numbered(out)
    assert run(*words, "2026-06-17").exit_code == 0
    assert numbered(out) == dict.fromkeys(first, 1)


def test_tasks(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "tasks.ics"
    export(book, out, "2026-06-11", "--as", "todo")
    calendar = icalendar.Calendar.from_ical(out.read_bytes())
    assert [item.name for item in calendar.subcomponents] == ["VTODO"]


def test_another_file_is_not_written_over_and_nothing_is_told(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "letters.ics"
    out.write_text("my letters\n")
    words = ("calendar", "--book", str(book), "--watch", BORER, "-o", str(out),
             "--on", "2026-06-11")  # fmt: skip
    answer = run(*words)
    assert answer.exit_code == 3
    assert "there is a file of that name" in answer.stderr
    assert out.read_text() == "my letters\n"
    assert open_book(book).announced("calendar", "2026") == []
    assert run(*words, "--force").exit_code == 0
    assert len(numbered(out)) == 1


def test_a_folder_that_is_not_there(book: Path, tmp_path: Path) -> None:
    answer = run("calendar", "--book", str(book), "-o", str(tmp_path / "no" / "a.ics"),
                 "--on", "2026-06-11")  # fmt: skip
    assert answer.exit_code == 3
    assert "Choose a folder" in answer.stderr
    assert open_book(book).announced("calendar", "2026") == []
    assert [each.name for each in tmp_path.iterdir()] == ["larkhollow-patch"]


def test_a_file_and_a_book_are_one_too_many(book: Path, tmp_path: Path) -> None:
    answer = run("calendar", str(WHOLE), "--book", str(book), "-o", str(tmp_path / "a.ics"))
    assert answer.exit_code == 2
    assert f"not both: '{WHOLE}' is taken for a FILE" in answer.stderr


ALL = "look,again,sow,side-dress,last-sowing"


def kinds(out: Path, *, cancelled: bool = False) -> list[str]:
    """CATEGORIES of the events that stand, or of those cancelled."""
    events = icalendar.Calendar.from_ical(out.read_bytes()).events
    return sorted(
        item["CATEGORIES"].to_ical().decode("utf-8")
        for item in events
        if (item["STATUS"] == "CANCELLED") is cancelled
    )


def test_sowings_have_their_days_and_each_kind_can_be_left_out(book: Path, tmp_path: Path) -> None:
    """A kind that is switched off is cancelled where it stood, and numbered up when it is back."""
    sown = run("did", "sown", "cucumber", "--bed", "row 4", "--done", "2026-04-25", "--book",
               str(book), "--on", "2026-06-11")  # fmt: skip
    assert sown.exit_code == 0, sown.output
    out = tmp_path / "days.ics"
    export(book, out, "2026-06-11")
    assert kinds(out) == ["LAST SOWING", "SCOUTING", "SIDE-DRESSING", "SOWING"]
    events = icalendar.Calendar.from_ical(out.read_bytes()).events
    titles = {each["CATEGORIES"].to_ical().decode(): str(each["SUMMARY"]) for each in events}
    assert titles["SIDE-DRESSING"] == (
        "Side-dress: cucumber, row 4, sown 25 April (2 weeks after its first pick)"
    )
    assert "2026-1" not in "".join(titles.values())  # nobody is called by a key
    assert "past years" in titles["LAST SOWING"]
    (sow,) = [each for each in events if each["CATEGORIES"].to_ical().decode() == "SOWING"]
    # Two to three weeks after, as far as it is still worth it.
    assert 1 < (sow.decoded("DTEND") - sow.decoded("DTSTART")).days <= 8
    first = numbered(out)
    export(book, out, "2026-06-11", "--days", "look")
    assert kinds(out) == ["SCOUTING"]
    assert kinds(out, cancelled=True) == ["LAST SOWING", "SIDE-DRESSING", "SOWING"]
    export(book, out, "2026-06-11", "--days", ALL)
    assert kinds(out) == ["LAST SOWING", "LOOK AGAIN", "SCOUTING", "SIDE-DRESSING", "SOWING"]
    again = numbered(out)
    assert all(again[uid] >= number for uid, number in first.items())
    assert sorted(again[uid] - number for uid, number in first.items()) == [0, 2, 2, 2]


def test_a_kind_there_is_none_of_is_refused(book: Path, tmp_path: Path) -> None:
    answer = run("calendar", "--book", str(book), "-o", str(tmp_path / "a.ics"), "--days", "weed",
                 "--on", "2026-06-11")  # fmt: skip
    assert answer.exit_code == 3
    assert "There are look, again, sow, side-dress and last-sowing." in answer.stderr
    assert not (tmp_path / "a.ics").exists()


def test_what_was_side_dressed_needs_no_reminder(book: Path, tmp_path: Path) -> None:
    for words in (
        ("did", "sown", "cucumber", "--done", "2026-05-20"),
        ("did", "first-pick", "--done", "2026-07-06"),
        ("did", "side-dressed", "--done", "2026-07-20"),
    ):
        answer = run(*words, "--book", str(book), "--on", "2026-07-21")
        assert answer.exit_code == 0, answer.output
    out = tmp_path / "days.ics"
    export(book, out, "2026-07-21", "--days", "side-dress")
    assert kinds(out) == []
