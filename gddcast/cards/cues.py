"""What to go by where no heat sum was published: warmth, age of plants, time of year."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from gddcast.cards.sources import CitedIn, ClaimedIn
from gddcast.cards.values import (
    COMMON_PRACTICE,
    CardKey,
    Cited,
    DayCount,
    DayPart,
    Degrees,
    Latitude,
    MonthDay,
    OfDay,
    Real,
    Row,
    Text,
)
from gddcast.toml.schema import Doc
from gddcast.units import to_celsius
from gddcast.words import month


@dataclass(frozen=True, slots=True)
class Cue:
    """``[[cue]]``: what to go by where no heat sum was published.

    A ``crop_stage`` is for a person to see and stands alone. Of the others all that are given must
    hold: a warm day of the season's right part, on plants old enough.
    """

    words: Annotated[
        Text, Doc("what to go by, in a sentence", '"When the first true leaves open."')
    ]
    source: CitedIn
    evidence: ClaimedIn
    event: Annotated[CardKey | None, Doc("key of the event it tells of")] = None
    after_sowing_days: Annotated[
        DayCount | None,
        Doc(
            "it holds from so many days after a sowing of a host that still stands. Beside "
            "`air_above` or dates it asks for such a host only where sowings are on record",
            "22",
        ),
    ] = None
    air_above: Annotated[
        Real | None,
        Doc(
            "it holds from the morning after the air was so warm, in `unit`: since `earliest`, and "
            "then until `latest`; without `earliest`, for a week",
            "55",
        ),
    ] = None
    unit: Annotated[Degrees | None, Doc("`F` or `C`, with `air_above`")] = None
    of_day: Annotated[
        DayPart,
        Doc(
            "which temperature of the day the source means: `maximum`, `minimum`, `mean` or `not "
            "stated`, which is also what a card without the line says; `stand_in` is then used, "
            "and every date with it says so",
            '"maximum"',
            'maximum, minimum, mean or "not stated"',
        ),
    ] = None
    stand_in: Annotated[
        OfDay,
        Doc("with `of_day` not stated, which one is used: `maximum`, `minimum`, `mean`", '"mean"'),
    ] = "maximum"
    days_in_row: Annotated[
        Row, Doc("so many days so warm one after another; 1 without the line", "3")
    ] = 1
    earliest: Annotated[
        MonthDay | None,
        Doc(
            "day of the year before which it never holds; on the other side of the equator half a "
            "year on. With nothing but dates it holds by them alone",
            '"21 April"',
        ),
    ] = None
    latest: Annotated[MonthDay | None, Doc("its last day, read alike", '"31 May"')] = None
    dates_source: Annotated[
        Cited | None,
        Doc(
            "key of the source of `earliest` and `latest` where it is not the cue’s own; or "
            '`"common practice, no source"`',
            '"my-source"',
        ),
    ] = None
    latitude: Annotated[
        Latitude | None,
        Doc(
            "rough latitude its dates were found at, degrees north: by dates alone it holds within "
            "5 degrees of it only",
            "38",
        ),
    ] = None
    crop_stage: Annotated[Text | None, Doc("a stage a person sees", '"first true leaves"')] = None

    @property
    def air_above_c(self) -> float | None:
        """Temperature it waits for. [°C]"""
        unit = self.unit
        return None if self.air_above is None or unit is None else to_celsius(self.air_above, unit)

    @property
    def used_of_day(self) -> OfDay:
        """Temperature of the day it is held against."""
        return self.of_day or self.stand_in

    @property
    def by_age_alone(self) -> bool:
        """Whether the age of a sowing is all it goes by."""
        other = (self.air_above, self.earliest, self.latest)
        return self.after_sowing_days is not None and other == (None, None, None)

    @property
    def by_dates(self) -> bool:
        """Whether the time of year tells it, with no sign of its own."""
        return self.earliest is not None and self.air_above is None

    @property
    def sentence(self) -> str:
        """What to look for, with what stands in for something its source does not state."""
        return self.sentence_with(self.earliest, self.latest)

    def sentence_with(
        self, earliest: tuple[int, int] | None, latest: tuple[int, int] | None
    ) -> str:
        """The same at a place where its dates are others: months and days."""
        asides = []
        if self.air_above is not None and self.of_day is None:
            row = f" on {self.days_in_row} days in a row" if self.days_in_row > 1 else ""
            asides.append(f"maximum or mean not stated, the day’s {self.stand_in}{row} used")
        ends = (("from", earliest), ("until", latest))
        dates = [f"{word} {each[1]} {month(each[0])}" for word, each in ends if each is not None]
        if dates and (self.dates_source or (earliest, latest) != (self.earliest, self.latest)):
            habit = ", common practice" if self.dates_source == COMMON_PRACTICE else ""
            asides.append(f"looked for {' '.join(dates)}{habit}")
        return f"{self.words} ({'; '.join(asides)})" if asides else self.words
