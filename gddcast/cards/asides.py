"""What stands beside a card's stages: commercial figures, day lengths, look-alikes, frost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from gddcast.cards.sources import CitedIn, ClaimedIn, UnitIn
from gddcast.cards.values import CardKey, Ends, Real, SunDepth, Text
from gddcast.toml.schema import Doc
from gddcast.units import to_celsius


@dataclass(frozen=True, slots=True)
class ActionFigure:
    """``[[action]]``: a commercial figure: how many of them a bulletin acts on.

    Shown with its source only.
    """

    words: Annotated[Text, Doc("the figure, in words")]
    source: CitedIn
    evidence: ClaimedIn
    crop: Annotated[Text | None, Doc("the crop it is for")] = None


@dataclass(frozen=True, slots=True)
class DayLength:
    """``[[day_length]]``: day length below which insects stop breeding or go to rest."""

    words: Annotated[Text, Doc("what it means, in words")]
    hours: Annotated[Ends, Doc("number of hours, or `[low, high]`")]
    source: CitedIn
    evidence: ClaimedIn
    found_in: Annotated[Text, Doc("place and setting")]
    events: Annotated[
        tuple[CardKey, ...], Doc("keys of events no longer promised in shorter days")
    ] = ()
    definition: Annotated[
        SunDepth,
        Doc(
            "degrees of the sun’s centre below the horizon; 0.8333 is sunrise to sunset. With "
            '`"not stated"` it is told and never reckoned with: `events` stay empty'
        ),
    ] = 0.8333


@dataclass(frozen=True, slots=True)
class LookAlike:
    """``[[look_alike]]``: another organism it is confused with, and how to tell."""

    name: Annotated[Text, Doc("its common name", '"squash bug"')]
    tell: Annotated[
        Text, Doc("how to tell them apart", '"flat and brown, with a smell when crushed"')
    ]
    card: Annotated[CardKey | None, Doc("key of its card, where we have one", '"squash-bug"')] = (
        None
    )


@dataclass(frozen=True, slots=True)
class Frost:
    """``frost_kills``: the temperature near which a crop is killed."""

    at: Annotated[Real, Doc("temperature", "31")]
    unit: UnitIn
    source: CitedIn
    evidence: ClaimedIn

    @property
    def celsius(self) -> float:
        """That temperature. [°C]"""
        return to_celsius(self.at, self.unit)
