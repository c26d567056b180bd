"""From the tables of a card file to a card of the garden."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from gddcast.cards.model import (
    ActionFigure,
    Card,
    Cue,
    DayLength,
    Days,
    Emergence,
    Event,
    Look,
    LookAlike,
    Number,
    Source,
    Start,
)
from gddcast.units import to_celsius

if TYPE_CHECKING:
    from gddcast.readers.card_schema import (
        CardTable,
        CueTable,
        DayLengthTable,
        EmergenceTable,
        EventTable,
        LookTable,
        NumberTable,
    )


def build_card(key: str, group: Literal["pest", "crop"], table: CardTable) -> Card:
    """The card of a file that has passed every check."""
    frost = table.frost_kills
    return Card(
        key=key,
        name=table.name,
        latin=table.latin,
        group=group,
        look=_look(table),
        events=tuple(_event(event) for event in table.event),
        sources={name: Source(key=name, **dict(source)) for name, source in table.sources.items()},
        also=tuple(table.also),
        hosts=tuple(table.hosts),
        look_alikes=tuple(LookAlike(**dict(other)) for other in table.look_alike),
        overwinters=table.overwinters,
        second_brood=table.second_brood,
        comes_from_elsewhere=table.comes_from_elsewhere,
        cues=tuple(_cue(cue) for cue in table.cue),
        actions=tuple(ActionFigure(**dict(action)) for action in table.action),
        day_length=tuple(_day_length(rule) for rule in table.day_length),
        cautions=tuple(table.cautions),
        notes=tuple(table.notes),
        frost_kills_at_c=to_celsius(frost.at, frost.unit) if frost else None,
        frost_source=frost.source if frost else None,
        frost_evidence=frost.evidence if frost else None,
    )


def _look(table: LookTable) -> Look:
    return Look(
        looks_like=table.looks_like,
        where_on_plant=table.where_on_plant,
        time_of_day=table.time_of_day,
        plants=table.plants,
        picture=table.picture,
    )


def _event(table: EventTable) -> Event:
    lasts = table.lasts
    return Event(
        key=table.key,
        words=table.words,
        numbers=tuple(_number(number) for number in table.number),
        days=tuple(Days(**dict(days)) for days in table.days),
        look=_look(table),
        same_time_as=table.same_time_as,
        lasts=Days(starts_from=Start(event=table.key), **dict(lasts)) if lasts else None,
        brood=table.brood,
        caution=table.caution,
    )


def _number(table: NumberTable) -> Number:
    fields = dict(table)
    fields["emergence"] = table.emergence and build_emergence(table.emergence)
    return Number(**fields)


def build_emergence(table: EmergenceTable) -> Emergence:
    """The emergence curve of a number, as published."""
    parameters = tuple(table.parameters.items())
    return Emergence(table.family, parameters, table.source, table.note)


def _cue(table: CueTable) -> Cue:
    # Without a temperature the unit has nothing to say.
    return Cue(**(dict(table) | {"unit": table.unit or "F"}))


def _day_length(table: DayLengthTable) -> DayLength:
    return DayLength(**(dict(table) | {"events": tuple(table.events)}))
