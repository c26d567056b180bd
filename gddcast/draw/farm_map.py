"""Farms where they lie, north up, at the true proportions of their latitude; no map lies under it.

A number is a rank, a shape a state; a name stands beside a farm where there is room for it. Where
farms lie closer than their marks are wide, a mark stands aside with a line to its place.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast.draw import BLUE, GREY, INK, PALE_BLUE, svg
from gddcast.words import shortened

Shape = str
Box = tuple[float, float, float, float]

_WIDTH, _TALLEST, _LOWEST = 640.0, 560.0, 200.0
_RIM = 34.0  # kept free on all sides
_MARK = 11.0  # half the width of a mark
_APART = 2 * _MARK + 2.0
_SMALL, _LETTER = 12, 6.3
_FOOT = 56.0  # scale and key
#: Beyond so many farms they are dots without number; beyond fewer, marks without names.
MARKED, _NAMED = 80, 30
_MOST_LETTERS = 26
_DEGREE = 111.195  # of a great circle. [km]
_NARROWEST = 1.0  # an area is drawn as at least so wide. [km]


@dataclass(frozen=True, slots=True)
class MappedFarm:
    """One farm on the map.

    Parameters
    ----------
    name : str
    latitude, longitude : float
        [°]
    shape : {"circle", "square", "triangle", "cross"}
    status : str
        What the shape means, in words.
    rank : int or None
    """

    name: str
    latitude: float
    longitude: float
    shape: Shape
    status: str
    rank: int | None = None


@dataclass(frozen=True, slots=True)
class MapScale:
    """Where each farm stands: the same length everywhere is the same distance."""

    west: float
    north: float
    widths: float  # of a degree of longitude, in units of the drawing
    heights: float  # of a degree of latitude
    height: float  # of the whole map

    @classmethod
    def of(cls, farms: Sequence[MappedFarm]) -> MapScale:
        """As large as the drawing allows."""
        longitudes, latitudes = _unwrapped(farms), [each.latitude for each in farms]
        middle = math.radians((min(latitudes) + max(latitudes)) / 2)
        narrow = max(math.cos(middle), 0.01)
        across = (max(longitudes) - min(longitudes)) * narrow
        down = max(latitudes) - min(latitudes)
        least = _NARROWEST / _DEGREE
        size = min(
            (_WIDTH - 2 * _RIM) / max(across, least), (_TALLEST - 2 * _RIM) / max(down, least)
        )
        height = max(down * size + 2 * _RIM, _LOWEST)
        return cls(
            (min(longitudes) + max(longitudes)) / 2 - _WIDTH / 2 / size / narrow,
            (min(latitudes) + max(latitudes)) / 2 + height / 2 / size,
            size * narrow, size, height,
        )  # fmt: skip

    def __call__(self, latitude: float, longitude: float) -> svg.Point:
        """Place of a point across and down."""
        return (longitude - self.west) * self.widths, (self.north - latitude) * self.heights

    @property
    def kilometre(self) -> float:
        """Length of one on the drawing."""
        return self.heights / _DEGREE


def _unwrapped(farms: Sequence[MappedFarm]) -> list[float]:
    """Longitudes without a jump where they lie on both sides of the 180th."""
    longitudes = [each.longitude for each in farms]
    if max(longitudes) - min(longitudes) > 180.0:
        longitudes = [each + 360.0 if each < 0.0 else each for each in longitudes]
    return longitudes


def farm_map(farms: Sequence[MappedFarm], title: str) -> svg.Svg:
    """Draw them.

    Parameters
    ----------
    farms : sequence of MappedFarm
        At least one; earlier ones keep their places.
    title : str
        What the drawing is called.
    """
    scale = MapScale.of(farms)
    at = [scale(f.latitude, x) for f, x in zip(farms, _unwrapped(farms), strict=True)]
    strokes = [svg.box(0.5, 0.5, _WIDTH - 1, scale.height - 1, outline=GREY)]
    places = _set_apart(at[:MARKED], scale.height)
    strokes += [
        f'<path d="M{x:.1f} {y:.1f}m-2 0h4m-2 -2v4" stroke="{INK}"/>' for x, y in at[MARKED:]
    ]
    for true, place in zip(at, places, strict=False):
        if true != place:
            strokes.append(svg.line([true, place], colour=GREY, width=1.0))
            strokes.append(svg.dot(*true, radius=2.0))
    for farm, place in zip(farms, places, strict=False):
        strokes += _mark(farm.shape, *place)
        if farm.rank is not None:
            strokes.append(svg.words(place[0], place[1] + 4.3, str(farm.rank), anchor="middle",
                                     size=_SMALL, bold=True))  # fmt: skip
    if len(farms) <= _NAMED:
        strokes.append(svg.rimmed("".join(_names(farms, places, scale.height))))
    strokes += [*_north(), *_bar(scale), *_key(farms, scale.height)]
    said = ". ".join(_described(each) for each in farms[:MARKED])
    return svg.picture(_WIDTH, round(scale.height + _FOOT), title, said, strokes)


def _set_apart(at: Sequence[svg.Point], height: float) -> list[svg.Point]:
    """Where marks stand so that none hides another: each as near its place as is free."""
    placed: list[svg.Point] = []
    for x, y in at:
        free = (
            each for each in _around(x, y)
            if _MARK <= each[0] <= _WIDTH - _MARK and _MARK <= each[1] <= height - _MARK
            and all(math.dist(each, other) >= _APART for other in placed)
        )  # fmt: skip
        placed.append(next(free, (x, y)))
    return placed


def _around(x: float, y: float) -> Iterator[svg.Point]:
    yield x, y
    for ring in range(1, 12):
        for turn in range(8 * ring):
            angle = 2.0 * math.pi * turn / (8 * ring)
            away = ring * _APART / 2
            yield round(x + away * math.cos(angle), 1), round(y + away * math.sin(angle), 1)


def _mark(shape: Shape, x: float, y: float) -> Iterator[str]:
    if shape == "circle":
        yield (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_MARK:g}" fill="{PALE_BLUE}" stroke="{BLUE}" '
            'stroke-width="2"/>'
        )
    elif shape == "square":
        yield svg.box(x - 10, y - 10, 20, 20)
    elif shape == "triangle":
        yield svg.area([(x, y - 10), (x + 10, y + 8), (x - 10, y + 8)], fill="#FFFFFF", outline=INK)
        yield svg.words(x, y + 6, "?", anchor="middle", size=_SMALL, bold=True)
    else:
        d = f"M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12"
        yield f'<path d="{d}" fill="none" stroke="{INK}" stroke-width="2.5"/>'


def _names(
    farms: Sequence[MappedFarm], places: Sequence[svg.Point], height: float
) -> Iterator[str]:
    """Names right, left, below or above their marks, those that fit without touching another."""
    taken: list[Box] = [(x - _MARK, y - _MARK, x + _MARK, y + _MARK) for x, y in places]
    taken.append((_WIDTH - 30, 0.0, _WIDTH, 46.0))  # the arrow
    for farm, (x, y) in zip(farms, places, strict=True):
        name = shortened(farm.name, _MOST_LETTERS)
        wide = _LETTER * len(name) + 2
        for left, base, anchor in (
            (x + _MARK + 4, y + 4, "start"), (x - _MARK - 4 - wide, y + 4, "end"),
            (x - wide / 2, y + _MARK + 13, "middle"), (x - wide / 2, y - _MARK - 5, "middle"),
        ):  # fmt: skip
            box = (left, base - 11, left + wide, base + 4)
            inside = box[0] >= 2 and box[2] <= _WIDTH - 2 and box[1] >= 2 and box[3] <= height - 2
            if inside and not any(_touch(box, other) for other in taken):
                taken.append(box)
                across = {"start": left, "end": left + wide, "middle": left + wide / 2}[anchor]
                yield svg.words(across, base, name, anchor=anchor, size=_SMALL)
                break


def _touch(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _north() -> Iterator[str]:
    x = _WIDTH - 16
    yield f'<path d="M{x:g} 8l6 14h-4v14h-4v-14h-4Z" fill="{INK}"/>'
    yield svg.words(x, 49, "N", anchor="middle", size=_SMALL, bold=True)


def _bar(scale: MapScale) -> Iterator[str]:
    """A round length, at most a third of the width."""
    most = _WIDTH / 3 / scale.kilometre
    ten = 10.0 ** math.floor(math.log10(most))
    length = next(each * ten for each in (5.0, 2.0, 1.0) if each * ten <= most)
    end, y = 1 + length * scale.kilometre, scale.height + 14
    d = f"M1 {y - 5:g}v10M1 {y:g}H{end:.1f}M{end:.1f} {y - 5:g}v10"
    yield f'<path d="{d}" stroke="{INK}" fill="none"/>'
    yield svg.words(end + 8, y + 4, f"{length:,g} km", size=_SMALL)


def _key(farms: Sequence[MappedFarm], height: float) -> Iterator[str]:
    """Each shape that is on the map, and what it means."""
    x, y = 14.0, height + 41
    for shape, status in dict.fromkeys((each.shape, each.status) for each in farms):
        yield from _mark(shape, x, y)
        yield svg.words(x + 17, y + 4, status, size=_SMALL)
        x += 17 + _LETTER * len(status) + 34


def _described(farm: MappedFarm) -> str:
    rank = f"{farm.rank}, " if farm.rank is not None else ""
    return f"{rank}{farm.name}: {farm.status}"
