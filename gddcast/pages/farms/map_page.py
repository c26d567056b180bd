"""The map of the farms, with the table and the strip beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.farm_map import MARKED, MappedFarm, farm_map
from gddcast.draw.svg import Svg
from gddcast.errors import Refusal
from gddcast.farms.board import Board
from gddcast.farms.places import EYE, LOOK_NOW, REFUSED, TO_COME, Stop, stops_of
from gddcast.pages.farms.strip import Strip, strip_of
from gddcast.pages.paper import Figure, Paper, fill
from gddcast.text.farms import board_words
from gddcast.text.farms.doubt_words import cure, reason
from gddcast.units import Unit
from gddcast.weather.series import Place

#: Farms named in one sentence.
_NAMED = 20
_SHAPES = {LOOK_NOW: "circle", TO_COME: "square", EYE: "triangle", REFUSED: "cross"}


@dataclass(frozen=True, slots=True)
class FarmState:
    """A farm's rank, the day to look or why there is none, the way from the one before."""

    rank: int | None
    name: str
    look: str
    km: str


@dataclass(frozen=True, slots=True)
class MapPage:
    """What ``farms_map.html`` and ``web/farms.html`` show."""

    title: str
    about: str
    counts: str
    figure: Figure | None
    unplaced: str
    states: Sequence[FarmState]
    strip: Strip
    noted: str
    eye: Sequence[tuple[str, str, str]]
    refused: Sequence[tuple[str, str]]
    cautions: str = words.CAUTIONS
    away_from_home: str = words.AWAY_FROM_HOME


def map_page(board: Board, of_list: Place, show: Unit, folder: str, *, size: Paper = "a4") -> str:
    """The whole page as one HTML file; see `map_of`."""
    return fill("farms_map.html", map_of(board, of_list, show, folder), paper=size)


def map_of(board: Board, of_list: Place, show: Unit, folder: str) -> MapPage:
    """What the page shows.

    Parameters
    ----------
    board : Board
    of_list : Place
        The list's own place.
    show : {"F", "C"}
    folder : str
        Of the farms, as it was named, for cures.
    """
    stops = stops_of(board, of_list)
    called = {row.farm.name: row.farm.name for row in board.farms}
    strip = strip_of(board, called, show)
    day = words.day(board.day, year=True)
    drawing = _drawn(stops, day)
    unplaced = [each.row.farm.name for each in stops if each.latitude is None]
    return MapPage(
        title="Where to look",
        about=board_words.about(board, board.of("dated")) if board.of("dated") else day,
        counts=board_words.counts(board),
        figure=None if drawing is None else Figure(_takeaway(stops), drawing),
        unplaced=board_words.named(unplaced, _NAMED),
        states=list(_states(stops, board)),
        strip=strip,
        noted=board_words.noted(board.of("dated")),
        eye=[
            (row.farm.name, " ".join(reason(row, each) for each in row.doubts),
             "  ".join(cure(row, each, folder) for each in row.doubts[:1]))
            for row in board.of("eye")
        ],
        refused=[
            (board_words.named([row.farm.name for row in rows], _NAMED), said)
            for said, rows in board_words.alike_refused(board.of("refused"), folder)
        ],
    )  # fmt: skip


def map_alone(board: Board, of_list: Place) -> Svg:
    """The drawing alone.

    Raises
    ------
    Refusal
        If no farm has a place of its own.
    """
    drawing = _drawn(stops_of(board, of_list), words.day(board.day, year=True))
    if drawing is None:
        raise Refusal(
            of_list.name, "no farm has a place of its own", "A map needs latitude and longitude.",
            'Say it in farms.toml under each [farm."NAME"]:  latitude = …  longitude = …',
            slug="no-places",
        )  # fmt: skip
    return drawing


def _drawn(stops: Sequence[Stop], day: str) -> Svg | None:
    placed = [
        MappedFarm(each.row.farm.name, each.latitude, each.longitude, _SHAPES[each.status],
                   each.status, each.rank)
        for each in stops if each.latitude is not None and each.longitude is not None
    ]  # fmt: skip
    return farm_map(placed, f"Farms on {day}") if placed else None


def _takeaway(stops: Sequence[Stop]) -> str:
    placed = [each for each in stops if each.latitude is not None]
    now = sum(each.status == LOOK_NOW for each in placed)
    if not any(each.rank for each in placed):
        return "No farm on the map is ranked."
    said = f"{words.count(now, 'farm')} to look at now; numbers" if now else "Numbers"
    more = f" The first {MARKED} are marked." if len(placed) > MARKED else ""
    return f"{said} are ranks, the most pressing first.{more}"


def _states(stops: Sequence[Stop], board: Board) -> Iterator[FarmState]:
    for stop in stops:
        first = stop.row.first
        look = board_words.look(first, board) if stop.rank is not None and first else stop.status
        leg = "" if stop.leg is None else f"{stop.leg:,.{0 if stop.leg >= 10 else 1}f}"
        yield FarmState(stop.rank, stop.row.farm.name, look, leg)
