"""Published numbers: heat sums with the method they came with, durations in days, emergence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from gddcast.cards.sources import CitedIn, ClaimedIn, Note, UnitIn
from gddcast.cards.values import (
    Age,
    Begins,
    BeginsStated,
    Confidence,
    CutoffName,
    Family,
    Flag,
    Goal,
    Inferred,
    KindOf,
    Latitude,
    Lower,
    Parameters,
    Range,
    Real,
    ShapeName,
    Text,
    Upper,
)
from gddcast.toml.schema import Doc
from gddcast.units import to_celsius, to_celsius_days

EndsIn = Annotated[
    Age,
    Doc(
        "number of days, or `[low, high]`", "[45, 50]",
        to_add=("this key, which is needed", "Add  days = 45  or  days = [45, 50]."),
    ),
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Emergence:
    """``[event.number.emergence]``: how the emergence of a population spreads over heat."""

    family: Annotated[
        Family,
        Doc("`lognormal`, `normal`, `erlang`, `weibull`, `logistic` or `percentiles`", '"normal"'),
    ]
    # Heat in the number's unit.
    parameters: Annotated[
        Parameters,
        Doc("a table of its parameters under their published names", "{ mean = 200, sd = 30 }"),
    ]
    source: CitedIn
    note: Note = None


@dataclass(frozen=True, slots=True)
class Number:
    """``[[event.number]]``: one published heat sum with the whole method it was counted by.

    ``None`` in ``lower``, ``upper``, ``cutoff``, ``shape`` or ``starts_from`` means that the
    source does not state it. An upper threshold that the source rules out is ``inf``.
    """

    kind: Annotated[
        KindOf,
        Doc(
            "`calendar` (field sum from a date), `biofix` (field sum from a find or a crop stage), "
            "`laboratory` (stage duration at constant temperatures). Kinds are never mixed in one "
            "sum",
            ('"calendar"', '"biofix"'),
            "calendar: from a date. biofix: from a find or a crop stage. laboratory: a stage’s "
            "length",
            to_add=(
                "this key, which is needed",
                'Add  kind = "…" : calendar, biofix or laboratory.',
            ),
        ),
    ]
    unit: UnitIn
    lower: Annotated[
        Lower, Doc('number or `"not stated"`', "50", 'lower threshold, or "not stated"')
    ]
    upper: Annotated[
        Upper,
        Doc(
            'number, `"not stated"`, or `"none"` where the source rules one out',
            '"not stated"',
            'number, "none" (the source rules one out), or "not stated"',
        ),
    ]
    cutoff: Annotated[
        CutoffName,
        Doc(
            '`none`, `horizontal`, `intermediate`, `vertical`, `cap the readings`, or `"not '
            'stated"`',
            '"not stated"',
            "none, horizontal, intermediate, vertical, cap the readings",
        ),
    ]
    shape: Annotated[
        ShapeName,
        Doc(
            "`floor the mean`, `floor the readings`, `single triangle`, `single sine`, `double "
            'triangle`, `double sine`, `hourly`, or `"not stated"`. `laboratory` numbers may be '
            'used with any shape: write `"any"`',
            '"not stated"',
            "floor the mean, floor the readings, single triangle, single sine, double triangle, "
            "double sine, hourly; laboratory: any",
        ),
    ]
    of: Annotated[
        Text,
        Doc(
            '`air`, or another temperature: `"soil 10 cm"`. Only air is run on air temperatures',
            '"air"',
            'or what else was measured: "soil 10 cm"',
        ),
    ]
    starts_from: Annotated[
        Begins,
        Doc(
            'a date in words (`"1 January"`; on the other side of the equator half a year on), an '
            'event key of this card (`"eggs"`), `"sowing"`, `"transplanting"`, `"emergence"`, '
            '`"first-flower"` (crops), or `"not stated"`',
            ('"1 January"', '"sowing"'),
            'a date, the key of another event, sowing (crops) …, or "not stated"',
        ),
    ]
    goal: Annotated[
        Goal,
        Doc(
            'number, `[low, high]`, or `"not stated"` (thresholds only)',
            "[400, 450]",
            "one number, or [low, high]",
        ),
    ]
    found_in: Annotated[
        Text,
        Doc(
            'place and setting: `"South Dakota, extension guideline"`',
            '"not stated"',
            "place and setting",
        ),
    ]
    source: CitedIn
    evidence: ClaimedIn
    latitude: Annotated[
        Latitude | None,
        Doc(
            "rough latitude of that place, degrees north, to tell how far away a user is",
            "44",
            "roughly, degrees north",
        ),
    ] = None
    spread: Annotated[
        Real | None, Doc("published standard deviation of the goal, in its unit", "20")
    ] = None
    primary: Annotated[
        Text | None, Doc("for compiled values: key of the paper behind it", '"my-source"')
    ] = None
    confidence: Annotated[Confidence | None, Doc("`high`, `medium`, `low`", '"medium"')] = None
    default: Annotated[
        Flag,
        Doc("`true` on exactly one number of each event that has numbers with goals", "true"),
    ] = False
    reason: Annotated[
        Text | None,
        Doc("with `default`: why this one, in one sentence", '"The only number I have."'),
    ] = None
    note: Note = None
    doubt: Annotated[
        Text | None,
        Doc("one sentence shown beside every date made with it", '"One sentence."'),
    ] = None
    inferred: Annotated[
        tuple[Inferred, ...],
        Doc(
            "which of `unit` and `lower` its source does not print; they are then those of a "
            "publication named in `doubt`, which every date says"
        ),
    ] = ()
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
class Duration:
    """``[event.lasts]``: how long it goes on once begun."""

    days: EndsIn
    source: CitedIn
    evidence: ClaimedIn
    note: Note = None


@dataclass(frozen=True, slots=True)
class Days:
    """``[[event.days]]``: a calendar duration, for what no heat sum was published for."""

    days: EndsIn
    starts_from: Annotated[
        BeginsStated, Doc('as of a number, never `"not stated"`', ('"eggs"', '"sowing"'))
    ]
    source: CitedIn
    evidence: ClaimedIn
    note: Note = None
