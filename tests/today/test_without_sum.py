"""``why`` has an answer for every stage of every card, also where no heat sum was published."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from click.testing import CliRunner

from gddcast.cards.model import Card
from gddcast.cli import main
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text.dates.why import why_text
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.without_sum import stages_without_sum
from gddcast.weather.series import DailySeries
from gddcast.words import Status

TODAY = dt.date(2026, 6, 11)
CARDS = load_cards()
LARK = "tests/samples/larkhollow_2014_2026_f.csv"
DAYS = (TODAY - dt.date(2026, 1, 1)).days
SERIES = DailySeries(dt.date(2026, 1, 1), np.full(DAYS, 8.0), np.full(DAYS, 20.0))


def asked(card: Card, journal: Journal | None = None) -> tuple[SeasonPlan, list[ScoutingWindow]]:
    """The plan of one card, and every stage of it that can be answered."""
    journal = journal or Journal()
    plan = season_plan(SERIES, CARDS, TODAY, watch=[card.key], journal=journal)
    return plan, [*plan.windows, *stages_without_sum(plan, card, journal)]


def stage(key: str, event: str, *found: tuple[str, dt.date, dt.date | None]) -> ScoutingWindow:
    """A stage without a sum, after finds of (stage, day, last clean day)."""
    journal = Journal(tuple(Sighting(key, seen, day, clean_on=clean) for seen, day, clean in found))
    return next(each for each in asked(CARDS[key], journal)[1] if each.event.key == event)


@pytest.mark.parametrize("key", CARDS)
def test_every_stage_of_every_card_is_answered(key: str) -> None:
    """Each stage once at least, and its answer is a sentence, not a title alone."""
    plan, windows = asked(CARDS[key])
    assert {event.key for event in CARDS[key].events} <= {each.event.key for each in windows}
    without = [each for each in windows if each not in plan.windows]
    assert len({each.event.key for each in without}) == len(without)
    for window in windows:
        answer = why_text(plan, window, (), "F").splitlines()[3]
        assert answer.startswith("  ")
        assert "the card gives no number" not in answer


def test_another_card_s_stages_of_the_same_name_answer_for_their_own_card_only() -> None:
    """Squash vine borer has moths with a sum; those of beet armyworm have none all the same."""
    both = ["beet-armyworm", "squash-vine-borer"]
    plan = season_plan(SERIES, CARDS, TODAY, watch=both)
    rest = stages_without_sum(plan, CARDS["beet-armyworm"], Journal())
    assert [each.event.key for each in rest] == ["moths", "eggs"]


@pytest.mark.parametrize(
    ("key", "event", "status", "said"),
    [
        ("beet-armyworm", "moths", Status.QUIET, "it waits for you to see it"),
        ("beet-armyworm", "eggs", Status.QUIET, "it comes with moths in the trap"),
        ("brown-marmorated-stink-bug", "nymphs", Status.CANT_SAY, "sum found, only thresholds"),
        ("lesser-peachtree-borer", "second-moths", Status.CANT_SAY, "no published sum found"),
    ],
)
def test_what_is_known_instead(key: str, event: str, status: Status, said: str) -> None:
    """What it waits for, what it comes with, or that nothing was found."""
    window = stage(key, event)
    assert window.status is status
    assert window.reason is not None
    assert said in window.reason


def test_the_command_answers_in_words_and_for_programs() -> None:
    """A migrant's first stage says what a find of it starts, and no span is spoken of."""
    words = ["why", LARK, "beet-armyworm", "moths", "--on", "2026-06-11", "--full"]
    text = CliRunner().invoke(main, words).stdout
    assert "No published sum found: it waits for you to see it." in text
    assert "A find of it starts   the clock of: eggs hatching; next flight." in text
    assert "These spans" not in text
    data = CliRunner().invoke(main, [*words, "--json"]).stdout
    assert '"says": "No published sum found: it waits for you to see it."' in data


def test_a_crop_s_stage_on_record_is_not_foretold_and_every_sowing_is_said() -> None:
    squash, may, june = "summer-squash", dt.date(2026, 5, 4), dt.date(2026, 6, 1)
    sowings = (Sowing(squash, may, name="a"), Sowing(squash, june, name="b"))
    flower = Job("first-flower", dt.date(2026, 6, 10), sowing="a")
    for put_in, status in ((sowings, Status.QUIET), (sowings[:1], Status.SEEN)):
        journal = Journal(sowings=put_in, jobs=(flower,))
        _, windows = asked(CARDS[squash], journal)
        window = next(each for each in windows if each.event.key == "first-flower")
        assert window.status is status
        assert window.reason is not None
        assert "; sown 4 May: on record 10 June" in window.reason
        assert ("; sown 1 June: any day 6–16 July" in window.reason) is (len(put_in) == 2)
