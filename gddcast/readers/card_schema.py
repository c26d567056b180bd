"""The shape of a card file: every table with its keys.

Imported only when a card is read, by the doors that read it: pydantic takes longer to import than
all cards take to read.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, PlainValidator

from gddcast.cards.model import Evidence, Kind, OfDay, Range, Start
from gddcast.readers import card_values as values
from gddcast.units import Unit

Text = Annotated[str, BeforeValidator(values.text_in)]
Key = Annotated[str, BeforeValidator(values.key_in)]
EventKey = Annotated[Key, AfterValidator(values.not_reserved)]
Lower = Annotated[float | None, PlainValidator(values.threshold_in)]
Upper = Annotated[float | None, PlainValidator(values.upper_in)]
Goal = Annotated[Range | None, PlainValidator(values.goal_in)]
Ends = Annotated[Range, PlainValidator(values.range_in)]
Age = Annotated[Range, PlainValidator(values.days_in)]
Starts = Annotated[Start | None, PlainValidator(values.start_in)]
StatedStart = Annotated[Start, PlainValidator(values.stated_start_in)]
Picture = Annotated[str, PlainValidator(values.picture_in)]
Cutoff = Annotated[str | None, PlainValidator(values.choice_of(values.CUTOFFS))]
Shape = Annotated[str | None, PlainValidator(values.choice_of(values.SHAPES))]
OfDayText = Annotated[OfDay | None, PlainValidator(values.choice_of(values.OF_DAY))]


class Table(BaseModel):
    """A TOML table: known keys only, values of the right kind only."""

    model_config = ConfigDict(extra="forbid", strict=True)


class EmergenceTable(Table):
    """``[event.number.emergence]``."""

    family: Literal["lognormal", "normal", "erlang", "weibull", "logistic", "percentiles"]
    parameters: dict[str, float]
    source: Text
    note: Text | None = None


class NumberTable(Table):
    """``[[event.number]]``."""

    kind: Kind
    unit: Unit
    lower: Lower
    upper: Upper
    cutoff: Cutoff
    shape: Shape
    of: Text
    starts_from: Starts
    goal: Goal
    found_in: Text
    source: Text
    evidence: Evidence
    latitude: float | None = None
    spread: float | None = None
    primary: Text | None = None
    confidence: Literal["high", "medium", "low"] | None = None
    default: bool = False
    reason: Text | None = None
    note: Text | None = None
    doubt: Text | None = None
    emergence: EmergenceTable | None = None


class LastsTable(Table):
    """``[event.lasts]``."""

    days: Age
    source: Text
    evidence: Evidence
    note: Text | None = None


class DaysTable(LastsTable):
    """``[[event.days]]``."""

    starts_from: StatedStart


class LookTable(Table):
    """What a scout needs at the plant."""

    looks_like: Text | None = None
    where_on_plant: Text | None = None
    time_of_day: Text | None = None
    plants: Text | None = None
    picture: Picture | None = None


class EventTable(LookTable):
    """``[[event]]``."""

    key: EventKey
    words: Text
    same_time_as: Key | None = None
    brood: int = 1
    caution: Text | None = None
    lasts: LastsTable | None = None
    number: list[NumberTable] = []
    days: list[DaysTable] = []


class CueTable(Table):
    """``[[cue]]``."""

    words: Text
    source: Text
    evidence: Evidence
    event: Key | None = None
    after_sowing_days: Annotated[int, Field(ge=0, le=values.MOST_DAYS)] | None = None
    air_above: float | None = None
    unit: Unit | None = None
    of_day: OfDayText = None
    crop_stage: Text | None = None


class ActionTable(Table):
    """``[[action]]``."""

    words: Text
    source: Text
    evidence: Evidence
    crop: Text | None = None


class DayLengthTable(Table):
    """``[[day_length]]``."""

    words: Text
    hours: Ends
    source: Text
    evidence: Evidence
    found_in: Text
    events: list[Key] = []
    definition: float = 0.8333


class LookAlikeTable(Table):
    """``[[look_alike]]``."""

    name: Text
    tell: Text
    card: Key | None = None


class FrostTable(Table):
    """``frost_kills``."""

    at: float
    unit: Unit
    source: Text
    evidence: Evidence


class SourceTable(Table):
    """``[sources.KEY]``."""

    author: Text
    year: Text
    title: Text
    publication: Text
    url: Text | None = None
    read: Text | None = None


class CardTable(LookTable):
    """The whole file."""

    name: Text
    latin: Text
    also: list[Text] = []
    hosts: list[Text] = []
    overwinters: Text | None = None
    second_brood: Text | None = None
    comes_from_elsewhere: Text | None = None
    cautions: list[Text] = []
    notes: list[Text] = []
    look_alike: list[LookAlikeTable] = []
    event: list[EventTable] = []
    cue: list[CueTable] = []
    action: list[ActionTable] = []
    day_length: list[DayLengthTable] = []
    sources: dict[str, SourceTable] = {}
    frost_kills: FrostTable | None = None


class PestTable(CardTable):
    """A card in ``pests/``."""

    hosts: list[Text]
    looks_like: Text
    where_on_plant: Text
    time_of_day: Text
