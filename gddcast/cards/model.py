"""A card: one organism, its stages, and every published number with the method it came with.

Numbers stand as printed, in the printed unit. What a source does not say is ``None`` here and
``"not stated"`` on every surface; nothing is filled in. The fields are described, one by one,
in ``data/README.md``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from gddcast.units import Unit, to_celsius, to_celsius_days

if TYPE_CHECKING:
    import pandas as pd

#: How a number came about; kinds are never mixed in one sum.
Kind = Literal["calendar", "biofix", "laboratory"]
#: How far a number was checked against its source.
Evidence = Literal["seen", "compiled", "from memory", "common practice"]
#: Which temperature of a day a cue is held against.
OfDay = Literal["maximum", "mean"]
#: Low and high end of a printed range; equal where one number is printed.
Range = tuple[float, float]

NOT_STATED = "not stated"


_INITIALS = re.compile(r"(?<![\w.])(?:[A-Z]\.?[ -]?){1,4}(?=$|,|;| and | & | et al)")
_MORE = re.compile(r"(?:and others|et al\.?)\s*$")
_ASIDE = re.compile(r"\(.*?\)")
_PEOPLE = re.compile(r",|;| and | & ")


def _surname(part: str) -> str:
    """What is left of one author without initials."""
    return _INITIALS.sub("", part).strip(" .")


def _plant(name: str) -> str:
    """A plant's name as names are compared: no case, hyphen, aside in brackets or plural."""
    plain = _ASIDE.sub("", name).lower().replace("-", " ")
    return " ".join(plain.split()).removesuffix("s")


def _names(words: str, plant: str) -> bool:
    """Whether words say a plant's name, as names are compared."""
    said = " ".join(_plant(word) for word in words.replace(",", " ").split())
    return f" {' '.join(map(_plant, _plant(plant).split()))} " in f" {said} "


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number was printed."""

    key: str
    author: str
    year: str
    title: str
    publication: str
    url: str | None = None
    read: str | None = None  # what of it was read, and when

    @property
    def citation(self) -> str:
        """The whole reference in one line."""
        parts = (f"{self.author} ({self.year})", self.title, self.publication)
        return ". ".join(part.rstrip(".") for part in parts if part) + "."

    @property
    def short(self) -> str:
        """Surnames and year, for a line that has little room.

        Examples
        --------
        >>> Source("a", "Fargo WS, Bonjour EL", "1988", "Title", "Journal").short
        'Fargo and Bonjour, 1988'
        >>> Source("b", "South Dakota State University Extension", "2021", "T", "P").short
        'South Dakota State University Extension, 2021'
        """
        parts = _PEOPLE.split(_MORE.sub("", self.author))
        people = [surname for part in parts if (surname := _surname(part))]
        if not _INITIALS.search(self.author):  # an office, not people
            people = [self.author.rstrip(".")]
        elif _MORE.search(self.author) or len(people) > 2:
            people = [f"{people[0]} et al."]
        year = "undated" if self.year == NOT_STATED else self.year
        return f"{' and '.join(people)}, {year}"


@dataclass(frozen=True, slots=True)
class Start:
    """When a sum starts: a date, an event of the same card, or a stage of the crop.

    Exactly one of ``date`` (month, day), ``event`` (a key) and ``crop`` (``"sowing"``,
    ``"transplanting"``, ``"emergence"``, ``"first-flower"``) is given.
    """

    date: tuple[int, int] | None = None
    event: str | None = None
    crop: str | None = None


@dataclass(frozen=True, slots=True)
class Emergence:
    """How the emergence of a whole population spreads over heat, as published."""

    family: Literal["lognormal", "normal", "erlang", "weibull", "logistic", "percentiles"]
    # Parameters under their published names, heat in the number's unit.
    parameters: tuple[tuple[str, float], ...]
    source: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Number:
    """One published heat sum with the whole method it was counted by.

    ``None`` in ``lower``, ``upper``, ``cutoff``, ``shape`` or ``starts_from`` means that the
    source does not state it. An upper threshold that the source rules out is ``inf``.
    """

    kind: Kind
    unit: Unit
    lower: float | None
    upper: float | None
    cutoff: str | None
    shape: str | None
    of: str
    starts_from: Start | None
    goal: Range | None
    found_in: str
    source: str
    evidence: Evidence
    latitude: float | None = None
    spread: float | None = None  # standard deviation of the goal, in its unit
    primary: str | None = None  # key of the paper behind a compiled value
    confidence: Literal["high", "medium", "low"] | None = None
    default: bool = False
    reason: str | None = None
    note: str | None = None
    doubt: str | None = None
    emergence: Emergence | None = None

    @property
    def lower_c(self) -> float | None:
        """Lower threshold. [°C]"""
        return None if self.lower is None else to_celsius(self.lower, self.unit)

    @property
    def upper_c(self) -> float | None:
        """Upper threshold. [°C]"""
        return None if self.upper is None else to_celsius(self.upper, self.unit)

    @property
    def goal_c(self) -> Range | None:
        """Both ends of the goal. [°C·d]"""
        if self.goal is None:
            return None
        low, high = self.goal
        return to_celsius_days(low, self.unit), to_celsius_days(high, self.unit)

    @property
    def not_stated(self) -> tuple[str, ...]:
        """Names of what the source leaves out."""
        fields = ("lower", "upper", "cutoff", "shape", "starts_from")
        missing = [name for name in fields if getattr(self, name) is None]
        # Without an upper threshold there is nothing for a cut-off to do.
        if self.upper is None or self.upper == float("inf"):
            missing = [name for name in missing if name != "cutoff"]
        return tuple(missing)

    def days_at(self, celsius: float) -> Range | None:
        """How long this sum takes at a constant temperature, both ends. [days]

        None where the goal or the lower threshold is not stated, or the temperature lies
        outside the thresholds.

        Examples
        --------
        >>> stage = Number("laboratory", "C", 10.0, None, None, "any", "air", None, (75.0, 90.0),
        ...                "invented", "nowhere", "from memory")
        >>> stage.days_at(25.0)
        (5.0, 6.0)
        """
        lower, upper, goal = self.lower_c, self.upper_c, self.goal_c
        if lower is None or goal is None or celsius <= lower:
            return None
        if upper is not None and celsius > upper:
            return None
        return goal[0] / (celsius - lower), goal[1] / (celsius - lower)


@dataclass(frozen=True, slots=True)
class Days:
    """A calendar duration, for what no heat sum was published for."""

    days: Range
    starts_from: Start
    source: str
    evidence: Evidence
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Look:
    """What a scout needs at the plant; an empty field falls back to the card's own."""

    looks_like: str | None = None
    where_on_plant: str | None = None
    time_of_day: str | None = None
    plants: str | None = None
    picture: str | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happens: moths fly, eggs hatch, the first fruit is picked."""

    key: str
    words: str
    numbers: tuple[Number, ...] = ()
    days: tuple[Days, ...] = ()
    look: Look = Look()
    # A find of that other event stands for this one: eggs are laid when moths fly.
    same_time_as: str | None = None
    lasts: Days | None = None
    # Later broods are shown only as the card allows.
    brood: int = 1
    caution: str | None = None

    @property
    def default(self) -> Number | None:
        """The number used unless a person asks for another."""
        return next((number for number in self.numbers if number.default), None)

    def laboratories_at(self, celsius: float) -> dict[str, float]:
        """How long this takes at a constant temperature by each laboratory study. [days]

        Only numbers that start where the default does are set side by side, one a study: the
        default, else the first of its study. The keys are those of the sources.
        """
        times: dict[str, float] = {}
        for number in sorted(self.numbers, key=lambda number: not number.default):
            time = number.days_at(celsius)
            is_alike = self.default and number.starts_from == self.default.starts_from
            if number.kind == "laboratory" and is_alike and time is not None:
                times.setdefault(number.primary or number.source, sum(time) / 2)
        return times


@dataclass(frozen=True, slots=True)
class Cue:
    """What to go by where no heat sum was published."""

    words: str
    source: str
    evidence: Evidence
    event: str | None = None
    after_sowing_days: int | None = None
    air_above: float | None = None  # in ``unit``
    unit: Unit = "F"
    of_day: OfDay | None = None  # which temperature of the day; None where the source is silent
    crop_stage: str | None = None

    @property
    def sentence(self) -> str:
        """What to look for, with what stands in for something its source does not state."""
        if self.air_above is None or self.of_day is not None:
            return self.words
        return f"{self.words} (maximum or mean not stated, the day's maximum used)"


@dataclass(frozen=True, slots=True)
class ActionFigure:
    """A commercial figure: how many of them a bulletin acts on. Shown with its source only."""

    words: str
    source: str
    evidence: Evidence
    crop: str | None = None


@dataclass(frozen=True, slots=True)
class DayLength:
    """Day length below which insects stop breeding or go to rest."""

    words: str
    hours: Range
    source: str
    evidence: Evidence
    found_in: str
    events: tuple[str, ...] = ()  # events no longer promised in shorter days
    definition: float = 0.8333  # degrees of the sun's centre below the horizon


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Another organism it is confused with, and how to tell."""

    name: str
    tell: str
    card: str | None = None


@dataclass(frozen=True, slots=True)
class Card:
    """One organism: a pest or a crop."""

    key: str
    name: str
    latin: str
    group: Literal["pest", "crop"]
    look: Look
    events: tuple[Event, ...]
    sources: dict[str, Source] = field(hash=False)
    also: tuple[str, ...] = ()  # other names, and the wider ones that host lists use
    hosts: tuple[str, ...] = ()
    look_alikes: tuple[LookAlike, ...] = ()
    overwinters: str | None = None
    second_brood: str | None = None
    # Migrants: heat at this place does not tell when they come.
    comes_from_elsewhere: str | None = None
    cues: tuple[Cue, ...] = ()
    actions: tuple[ActionFigure, ...] = ()
    day_length: tuple[DayLength, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    # Crops only: killed near this temperature. [°C]
    frost_kills_at_c: float | None = None
    frost_source: str | None = None
    frost_evidence: Evidence | None = None
    # A card of the user's own: its file, and whether a packaged card of that key gave way to it.
    own_file: str | None = None
    replaces_packaged: bool = False

    def __repr__(self) -> str:
        numbers = sum(len(event.numbers) for event in self.events)
        return f"<Card {self.key}: {self.name}, {len(self.events)} stages, {numbers} numbers>"

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a published number, as printed; what is not stated is empty."""
        import pandas as pd

        return pd.DataFrame(
            [
                {
                    "stage": event.key, "default": number.default, "kind": number.kind,
                    "low": number.goal and number.goal[0], "high": number.goal and number.goal[1],
                    "unit": number.unit, "lower": number.lower, "upper": number.upper,
                    "cutoff": number.cutoff, "shape": number.shape, "of": number.of,
                    "found_in": number.found_in, "evidence": number.evidence,
                    "source": self.citation(number.source),
                }
                for event in self.events
                for number in event.numbers
            ]
        )  # fmt: skip

    @property
    def is_cue_card(self) -> bool:
        """Whether no heat sum was published for it, so that a cue is all there is."""
        return bool(self.cues) and not any(event.default for event in self.events)

    @property
    def names(self) -> tuple[str, ...]:
        """Every name a person may use for it: key, common name, other names."""
        return self.key, self.name, *self.also

    def lives_on(self, crop: Iterable[str]) -> bool:
        """Whether a crop, by any of its names, is among the hosts; all are where none is named.

        Examples
        --------
        >>> card = Card("a", "a", "a", "pest", Look(), (), {}, hosts=("melon", "beans (seedlings)"))
        >>> card.lives_on(["cantaloupe", "melon"]), card.lives_on(["snap-bean", "bean"])
        (True, True)
        >>> card.lives_on(["watermelon"])
        False
        """
        if self.group == "crop":
            return self.key in crop
        hosts = {_plant(host) for host in self.hosts}
        return not hosts or not hosts.isdisjoint(map(_plant, crop))

    def actions_for(self, sown: Iterable[Sequence[str]]) -> tuple[ActionFigure, ...]:
        """The commercial figures for what is sown, and those for any crop.

        Parameters
        ----------
        sown : iterable of sequence of str
            Every name of each crop. Where no figure is for one of them, all figures are given.

        Examples
        --------
        >>> figures = tuple(ActionFigure("1", "a", "seen", crop) for crop in
        ...                 ("field corn, Ohio", "sweet corn for fresh market", None))
        >>> card = Card("a", "a", "a", "pest", Look(), (), {}, actions=figures)
        >>> [each.crop for each in card.actions_for([("sweet-corn", "sweet corn", "corn")])]
        ['sweet corn for fresh market', None]
        >>> len(card.actions_for([("kale",)]))
        3
        """
        meant: set[str | None] = set()
        for names in sown:
            crops = {each.crop for each in self.actions if each.crop}
            alike = {crop: max((len(name) for name in names if _names(crop, name)), default=0)
                     for crop in crops}  # fmt: skip
            best = max(alike.values(), default=0)
            meant |= {crop for crop, letters in alike.items() if letters == best > 0}
        if not meant:
            return self.actions
        return tuple(each for each in self.actions if each.crop is None or each.crop in meant)

    def event(self, key: str) -> Event | None:
        """The event of that key."""
        return next((event for event in self.events if event.key == key), None)

    def look_at(self, event: Event) -> Look:
        """What to look for at an event, the card's own words where the event has none."""
        names = ("looks_like", "where_on_plant", "time_of_day", "plants", "picture")
        return Look(*(getattr(event.look, name) or getattr(self.look, name) for name in names))

    def follows(self, key: str) -> Iterator[Event]:
        """Events whose clock a find of ``key`` starts, directly or as the same moment."""
        starts = {key} | {event.key for event in self.events if event.same_time_as == key}
        for event in self.events:
            number = event.default
            if number and number.starts_from and number.starts_from.event in starts:
                yield event

    def citation(self, key: str) -> str:
        """Full reference of a source key; the words themselves for common practice."""
        source = self.sources.get(key)
        return source.citation if source else key


def crop_card(cards: Mapping[str, Card], crop: str) -> Card:
    """The card of a crop by its key; one without numbers where there is none."""
    return cards.get(crop) or Card(crop, crop.replace("-", " "), "", "crop", Look(), (), {})


def crop_names(cards: Mapping[str, Card], crop: str) -> tuple[str, ...]:
    """Every name of a crop by its key; the key alone where no card tells more."""
    return crop_card(cards, crop).names
