"""The letter: one side that says at which farm to look for what, and when; farms by initials."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.farms.board import Board, FarmDay
from gddcast.farms.doubts import Doubt
from gddcast.farms.places import initials
from gddcast.pages.farms.strip import Strip, strip_of
from gddcast.pages.paper import Paper, fill
from gddcast.text.farms import board_words
from gddcast.text.farms.doubt_words import reason, same_readings
from gddcast.units import Unit

#: Lines of ranked farms, and farms in doubt or unread, that fit on a side.
_LINES, _DOUBTS, _UNREAD = 28, 6, 14


@dataclass(frozen=True, slots=True)
class Letter:
    """What ``farms_letter.html`` shows."""

    title: str
    about: str
    counts: str
    strip: Strip
    noted: str
    eye: Sequence[tuple[str, str]]
    more_eye: int
    refused: str
    cautions: str = words.CAUTIONS
    away_from_home: str = words.AWAY_FROM_HOME


def letter_page(
    board: Board, show: Unit, *, names: bool = False, size: Paper = "a4"
) -> str:  # fmt: skip
    """The whole letter as one HTML file made for print.

    Parameters
    ----------
    board : Board
    show : {"F", "C"}
    names : bool, default: False
        Farms by name; else by their initials, so that a letter handed round tells of nobody.
    size : {"a4", "letter"}, default: "a4"
    """
    called = {row.farm.name: row.farm.name for row in board.farms} if names else None
    called = called or initials(board.farms)
    dated, eye, refused = (board.of(each) for each in ("dated", "eye", "refused"))
    lines = 2 + (board_words.one_stage(dated) is None) + any(row.looked for row in dated)
    lines += names and any(row.same_as for row in dated)
    day = words.day(board.day, year=True)
    page = Letter(
        title="Where to look",
        about=board_words.about(board, dated) if dated else day,
        counts=board_words.counts(board),
        strip=strip_of(board, called, show, _LINES // lines),
        noted=board_words.noted(dated, called),
        eye=[(called[row.farm.name], _why(row, called)) for row in eye[:_DOUBTS]],
        more_eye=max(len(eye) - _DOUBTS, 0),
        refused=board_words.named([called[row.farm.name] for row in refused], _UNREAD),
    )
    return fill("farms_letter.html", page, paper=size)


def _why(row: FarmDay, called: Mapping[str, str]) -> str:
    return " ".join(_doubt(row, each, called) for each in row.doubts)


def _doubt(row: FarmDay, doubt: Doubt, called: Mapping[str, str]) -> str:
    """A doubt that names another farm names it as the letter does."""
    if doubt.kind == "same-readings":
        alike = next(each for each in row.same_as if each.farm == doubt.other)
        return same_readings(alike, called[doubt.other])
    return reason(row, doubt)
