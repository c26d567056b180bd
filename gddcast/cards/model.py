"""A card: one organism, its stages, and every published number with the method it came with.

Numbers stand as printed, in the printed unit. What a source does not say is ``None`` here and
``"not stated"`` on every surface; nothing is filled in. These records are the one schema: card
files are read and checked by them, packed and printed from them, and ``data/README.md`` and the
cards to fill in are written from what their fields say of themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Literal

from gddcast.cards.asides import ActionFigure, DayLength, Frost, LookAlike
from gddcast.cards.cues import Cue
from gddcast.cards.events import Catch, Event, Look, Sign
from gddcast.cards.numbers import Days, Duration, Emergence, Number
from gddcast.cards.plant_names import names_plant, plain_name
from gddcast.cards.sources import Source
from gddcast.cards.values import (
    COMMON_PRACTICE,
    NOT_STATED,
    OPEN_LOOKS,
    Evidence,
    Kind,
    NotKnown,
    OfDay,
    Picked,
    Picture,
    Purpose,
    Range,
    SampleUnit,
    Start,
    Text,
)
from gddcast.toml.schema import Doc, Flat, Key
from gddcast.units import Unit

if TYPE_CHECKING:
    import pandas as pd

__all__ = [
    "ANY_STAGE",
    "COMMON_PRACTICE",
    "NOT_STATED",
    "OPEN_LOOKS",
    "PESTS_NEED",
    "ActionFigure",
    "Card",
    "Catch",
    "Cue",
    "DayLength",
    "Days",
    "Duration",
    "Emergence",
    "Event",
    "Evidence",
    "Frost",
    "Kind",
    "Look",
    "LookAlike",
    "Number",
    "OfDay",
    "Picture",
    "Purpose",
    "Range",
    "SampleUnit",
    "Sign",
    "Source",
    "Start",
    "Unit",
    "crop_card",
    "crop_names",
]  # fmt: skip

#: Keys that a pest's card cannot do without; a crop is looked for where it was sown.
PESTS_NEED = ("hosts", "looks_like", "where_on_plant", "time_of_day")
#: Stage of a find whose finder did not say which; no card has an event or a sign of that key.
ANY_STAGE = "any-stage"


@dataclass(frozen=True, slots=True)
class Card:
    """One organism: a pest or a crop."""

    key: Annotated[str, Key()]
    name: Annotated[
        Text,
        Doc(
            'common name, lower case unless a proper noun: `"squash vine borer"`',
            ('"my beetle"', '"my bean"'),
            "common name",
        ),
    ]
    latin: Annotated[
        Text,
        Doc(
            'binomial, author if known: `"Melittia cucurbitae (Harris)"`',
            '"Genus species (Author)"',
            "Latin name",
        ),
    ]
    group: Annotated[Literal["pest", "crop"], Key()]
    look: Annotated[Look, Flat()]
    events: Annotated[tuple[Event, ...], Key("event")] = ()
    sources: dict[str, Source] = field(default_factory=dict, hash=False)
    signs: Annotated[tuple[Sign, ...], Key("sign")] = ()
    also: Annotated[
        tuple[Text, ...],
        Doc(
            'other names: `["zucchini", "squash"]`. A name of one card alone finds it; a wider one '
            'that several share (`"squash"`) is understood in `hosts`'
        ),
    ] = ()
    hosts: Annotated[
        tuple[Text, ...],
        Doc(
            "plants it is looked for on, one a string, with an aside in brackets: "
            '`"bean (seedlings)"`. A crop is meant by its name or by one of its `also`',
            ('["squash"]', ""),
            "crops it is looked for on",
            to_add=(
                "this key, which is needed",
                'Add  hosts = ["…"] , the crops it is looked for on.',
            ),
        ),
    ] = ()
    look_alikes: Annotated[tuple[LookAlike, ...], Key("look_alike")] = ()
    overwinters: Annotated[
        Text | None,
        Doc("where and as what it passes the winter", ('"as an adult in plant litter"', "")),
    ] = None
    second_brood: Annotated[
        Text | None,
        Doc(
            'what the source says of later broods: `"not usual in the north"`',
            ('"not usual in the north"', ""),
        ),
    ] = None
    comes_from_elsewhere: Annotated[
        Text | None,
        Doc(
            "migrants: one sentence that heat at this place does not tell when they come; their "
            "sums start from a find only",
            ('"It flies in from the south: heat here does not tell when."', ""),
            "then no default starts from a date",
        ),
    ] = None
    cues: Annotated[tuple[Cue, ...], Key("cue")] = ()
    actions: Annotated[tuple[ActionFigure, ...], Key("action")] = ()
    day_length: tuple[DayLength, ...] = ()
    cautions: Annotated[
        tuple[Text, ...],
        Doc(
            "list of sentences beyond the standing ones (label, bloom, intervals, extension)",
            '["One sentence."]',
        ),
    ] = ()
    notes: Annotated[
        tuple[Text, ...],
        Doc("list of sentences a careful reader should know", '["One sentence."]'),
    ] = ()
    not_known: Annotated[
        tuple[NotKnown, ...],
        Doc(
            "what a scout asks and no publication read answers: `when` (no sum, days or cue), "
            "`how often` (no time of eggs; weekly is the common interval), `look-alikes`"
        ),
    ] = ()
    frost_kills: Annotated[
        Frost | None,
        Doc(
            "crops: a table, see below",
            ("", '{ at = 31, unit = "F", source = "my-source", evidence = "from memory" }'),
        ),
    ] = None
    picked: Annotated[
        Picked | None,
        Doc(
            'crops: `"repeatedly"` for weeks from one sowing (cucumber), so that a next sowing is '
            'asked for, or `"once"` (carrot); common practice, no source. Without the line no '
            "sowing is asked for",
            ("", '"repeatedly"'),
            "repeatedly or once",
        ),
    ] = None
    # A card of the user's own: its file, and whether a packaged card of that key gave way to it.
    own_file: Annotated[str | None, Key()] = None
    replaces_packaged: Annotated[bool, Key()] = False

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
        hosts = {plain_name(host) for host in self.hosts}
        return not hosts or not hosts.isdisjoint(map(plain_name, crop))

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
            alike = {crop: max((len(name) for name in names if names_plant(crop, name)), default=0)
                     for crop in crops}  # fmt: skip
            best = max(alike.values(), default=0)
            meant |= {crop for crop, letters in alike.items() if letters == best > 0}
        if not meant:
            return self.actions
        return tuple(each for each in self.actions if each.crop is None or each.crop in meant)

    def event(self, key: str) -> Event | None:
        """The event of that key."""
        return next((event for event in self.events if event.key == key), None)

    @property
    def finds(self) -> tuple[Event, ...]:
        """Events that can be seen on a day: a peak and an end can only be counted."""
        return tuple(event for event in self.events if event.purpose not in ("peak", "end"))

    @property
    def visible(self) -> tuple[Event | Sign, ...]:
        """All that a find can be of: events, then signs."""
        return (*self.finds, *self.signs)

    def sign(self, key: str) -> Sign | None:
        """The sign of that key."""
        return next((sign for sign in self.signs if sign.key == key), None)

    def stage_meant(self, words: str) -> str | None:
        """Key of the event or sign a person means, `ANY_STAGE`, or None.

        Examples
        --------
        >>> frass = Sign("frass", "frass at the stem", "egg-hatch", also=("sawdust",))
        >>> hatch = Event("egg-hatch", "hatch")
        >>> card = Card("a", "a", "a", "pest", Look(), (hatch,), signs=(frass,))
        >>> [card.stage_meant(words) for words in ("Egg hatch", "sawdust", "any stage", "moths")]
        ['egg-hatch', 'frass', 'any-stage', None]
        """
        key = "-".join(words.lower().replace("_", " ").replace("-", " ").split())
        if key in ("any", ANY_STAGE):
            return ANY_STAGE
        if any(event.key == key for event in self.finds):
            return key
        names = {
            plain_name(name): sign.key for sign in self.signs for name in (*sign.also, sign.key)
        }
        return names.get(plain_name(key), key if self.event(key) else None)

    def event_of(self, key: str) -> Event | None:
        """The event that a find of an event, or of a sign that is there at once, is a find of."""
        sign = self.sign(key)
        return self.event(sign.event if sign and sign.at_once else key)

    def first_begun(self, key: str) -> str:
        """Key of the latest event that a find of an event, of a sign or of any stage says began."""
        sign = self.sign(key)
        if key != ANY_STAGE:
            return sign.event if sign else key
        stages = (each.key for each in self.finds if each.purpose != "crop stage")
        return next(stages, "")

    def stage_words(self, key: str) -> str:
        """An event or a sign in the fewest words: as it is logged."""
        sign = self.sign(key)
        return sign.words if sign else key.replace("-", " ")

    def begun_with(self, key: str) -> tuple[Event, ...]:
        """Events that had begun when an event had: itself, and those before it in its broods.

        Events stand in the order in which they happen. A peak, an end and a stage of a crop say
        nothing of a beginning.
        """
        latest = self.event(key)
        if latest is None:
            return ()
        before = self.events[: self.events.index(latest) + 1]
        return tuple(
            event
            for event in before
            if event.brood <= latest.brood and event.purpose not in ("peak", "end", "crop stage")
        )

    def look_at(self, event: Event) -> Look:
        """What to look for at an event, the card's own words where the event has none."""
        look, card = event.look, self.look
        # How many plants, in words and as a sample, is said in one place.
        counted = look if look.plants or look.sample_size else card
        # The card's words are of its own place, so of no other that a stage names.
        elsewhere = look.picture not in (None, card.picture)
        return Look(
            looks_like=look.looks_like or card.looks_like,
            where_on_plant=look.where_on_plant or (None if elsewhere else card.where_on_plant),
            time_of_day=look.time_of_day or card.time_of_day,
            plants=counted.plants,
            sample_size=counted.sample_size,
            sample_unit=counted.sample_unit,
            picture=look.picture or card.picture,
        )

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
