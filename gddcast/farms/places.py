"""Where farms lie, and the kilometres from one to the next in the order they are due."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gddcast.farms.board import Board, FarmDay
from gddcast.weather.series import Place

_EARTH = 6371.0088  # mean radius. [km]
#: What a farm is marked by: its state, and of dated ones whether it is to be looked at now.
LOOK_NOW, TO_COME, EYE, REFUSED = "look now", "to come", "needs your eye", "can’t be read"


@dataclass(frozen=True, slots=True)
class Stop:
    """One farm where it lies.

    Parameters
    ----------
    row : FarmDay
    rank : int or None
        None where it is not ranked.
    status : str
        One of `LOOK_NOW`, `TO_COME`, `EYE`, `REFUSED`.
    latitude, longitude : float or None
        None where only the list's own place is known for it. [°]
    leg : float or None
        From the stop ranked before it, as the crow flies. [km]
    """

    row: FarmDay
    rank: int | None
    status: str
    latitude: float | None
    longitude: float | None
    leg: float | None = None


def stops_of(board: Board, of_list: Place) -> tuple[Stop, ...]:
    """Every farm in the board's order, with its place where it has one of its own.

    A place that several farms have from the list is nobody's: they would stand on one point.
    """
    ranks = {id(row): rank for rank, row in board.ranked}
    common = (of_list.latitude, of_list.longitude)
    shared = sum(_point(row) == common for row in board.farms) > 1
    stops: list[Stop] = []
    before: tuple[float, float] | None = None
    for row in board.farms:
        latitude, longitude = (None, None) if shared and _point(row) == common else _point(row)
        rank, leg = ranks.get(id(row)), None
        if latitude is not None and longitude is not None and rank is not None:
            here = (latitude, longitude)
            leg = None if before is None else kilometres(before, here)
            before = here
        stops.append(Stop(row, rank, status(row, board), latitude, longitude, leg))
    return tuple(stops)


def status(row: FarmDay, board: Board) -> str:
    """What a farm is marked by."""
    if row.state == "dated":
        now = row.first is not None and row.first.day <= board.day
        return LOOK_NOW if now else TO_COME
    return EYE if row.state == "eye" else REFUSED


def kilometres(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Great-circle distance of two points, each latitude and longitude. [km]

    Examples
    --------
    >>> round(kilometres((41.0, -89.0), (42.0, -89.0)), 1)
    111.2
    """
    north, south = math.radians(one[0]), math.radians(other[0])
    up, across = north - south, math.radians(one[1] - other[1])
    half = math.sin(up / 2) ** 2 + math.cos(north) * math.cos(south) * math.sin(across / 2) ** 2
    return 2.0 * _EARTH * math.asin(min(math.sqrt(half), 1.0))


def initials(rows: Sequence[FarmDay]) -> dict[str, str]:
    """Each farm's name and its initials; those that several share are numbered."""
    found: dict[str, str] = {}
    for row in rows:
        letters, number = row.farm.initials, 2
        label = letters
        while label in found.values():
            label, number = f"{letters} {number}", number + 1
        found[row.farm.name] = label
    return found


def _point(row: FarmDay) -> tuple[float | None, float | None]:
    place = row.place
    if place.latitude is None or place.longitude is None:
        return None, None
    return place.latitude, place.longitude
