"""What happens and where to look for it: one stage of an organism, what its date is for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from gddcast.cards.numbers import Days, Duration, Number
from gddcast.cards.sources import CitedIn, ClaimedIn, Note
from gddcast.cards.values import (
    COMMON_PRACTICE,
    OPEN_LOOKS,
    PLACES,
    TRAPS,
    CardKey,
    EventKey,
    Flag,
    Picture,
    Purpose,
    SampleUnit,
    Text,
    Whole,
)
from gddcast.toml.rules import Rule, whole
from gddcast.toml.schema import Doc, Flat, Key


@dataclass(frozen=True, slots=True)
class Look:
    """What a scout needs at the plant; an empty field of an event falls back to the card's."""

    looks_like: Annotated[
        Text | None,
        Doc(
            "one line: what the eye should catch on the stage looked for",
            '"not stated"',
            "one line: what the eye should catch",
        ),
    ] = None
    where_on_plant: Annotated[
        Text | None,
        Doc(
            'where to look: `"stem bases, and leaf stalks near the ground"`',
            '"not stated"',
            '"undersides of leaves"',
        ),
    ] = None
    time_of_day: Annotated[
        Text | None,
        Doc(
            'when in the day, or `"not stated"`',
            '"not stated"',
            '"early morning, while it sits still"',
        ),
    ] = None
    plants: Annotated[
        Text | None, Doc("how many plants and which", '"10 plants, in several places"')
    ] = None
    sample_size: Annotated[
        int | None,
        Rule(whole(1, 10_000)),
        Doc(
            "how many are looked at, as a number: the sheet has a box to tick for each (over 20, "
            "one for several). Without it as many as the grower looks at by habit",
            "10",
            "as a number, for the boxes on the sheet",
        ),
    ] = None
    sample_unit: Annotated[
        SampleUnit,
        Doc(
            "what one of them is: `plant` (or a stem, leaf or silk of each; without the line), "
            "`place`, `site`, `tree`, `trap`",
            '"plant"',
            "plant, place, site, tree or trap",
        ),
    ] = "plant"
    picture: Annotated[
        Picture | None,
        Doc(
            "the place to look, and the line drawing of it on the sheet, of the plant it is on: "
            f"{', '.join(f'`{each}`' for each in PLACES)}; `whole-plant` stands in "
            "without the line",
            '"leaf-underside"',
            ", ".join(PLACES),
        ),
    ] = None


@dataclass(frozen=True, slots=True)
class Catch:
    """``[event.catch]``: which catch in a trap dates a stage that is looked for in one.

    Without it the first catch of any size does, where ``picture`` shows a trap.
    """

    source: CitedIn
    evidence: ClaimedIn
    visits: Annotated[
        Whole, Doc("catches at so many visits running; the first of them dates the stage")
    ] = 1
    at_least: Annotated[Whole, Doc("so many in one trap at a visit")] = 1
    nights: Annotated[Whole | None, Doc("caught in no more than so many nights")] = None
    note: Note = None


#: What dates a stage whose card shows a trap and says no more.
FIRST_CATCH = Catch(COMMON_PRACTICE, "common practice")


@dataclass(frozen=True, slots=True)
class Sign:
    """``[[sign]]``: something a person can see that is no event of its own: nymphs, tunnels, frass.

    A find of it says that its event has begun, and with it every earlier one.
    """

    key: Annotated[
        EventKey, Doc('what `saw` takes: `"nymphs"`, `"tunnels"`, `"frass"`', '"larvae"')
    ]
    words: Annotated[
        Text, Doc('plain words: `"bored stems"`', '"larvae"', "plain words for what is seen")
    ]
    event: Annotated[
        CardKey,
        Doc(
            "key of the event that has begun when it is seen", '"egg-hatch"',
            "the event that has begun by then",
        ),
    ]  # fmt: skip
    at_once: Annotated[
        Flag,
        Doc(
            "`true` where it is there from that event’s first day on, so that the first find of it "
            "dates the event as a find of the event does. Without, it comes some days later, and "
            "only the latest day of the event follows"
        ),
    ] = False
    also: Annotated[tuple[Text, ...], Doc('other words for it: `["caterpillars"]`')] = ()


@dataclass(frozen=True, slots=True)
class Event:
    """``[[event]]``: one thing that happens: moths fly, eggs hatch, the first fruit is picked.

    One that does not say what it is for is a start, on a crop's card a stage of the crop.
    """

    key: Annotated[
        EventKey,
        Doc(
            "what commands take: `moths`, `adults`, `eggs`, `egg-hatch`, `nymphs`, `larvae`, "
            "`pupae`, `peak`, `second-adults` …; crops: `up`, `first-flower`, `first-pick` …",
            ('"adults"', '"first-flower"'),
            to_add=(
                "this key, which is needed",
                'Add  key = "…" , a short word such as eggs or moths.',
            ),
        ),
    ]
    words: Annotated[
        Text,
        Doc(
            'plain words for a heading: `"first moths"`',
            ('"first adults"', '"first flowers"'),
            to_add=(
                "this key, which is needed",
                'Add  words = "…" , plain words such as first moths.',
            ),
        ),
    ]
    numbers: Annotated[tuple[Number, ...], Key("number")] = ()
    days: tuple[Days, ...] = ()
    look: Annotated[Look, Flat()] = Look()
    purpose: Annotated[
        Purpose,
        Key("for"),
        Doc(
            "what its date is for. `start` (the stage begins; without the line on a pest’s card), "
            "`laying`, `hatch` and `brood` (a later brood begins) open looks. `hidden` (in the "
            "soil or inside the plant), `peak` (most of them are about), `end` (it is over, or "
            "nearly: uncover, plant) and `crop stage` (without the line on a crop’s card) are "
            "dates that ask for no look; a peak or an end is never overdue and no find",
            ('"start"', '"crop stage"'),
            "start, laying, hatch, brood: they open looks; hidden, peak, end, crop stage: dates",
        ),
    ] = "start"
    same_time_as: Annotated[
        CardKey | None,
        Doc("key of the event a find of which stands for this one: eggs are laid when moths fly"),
    ] = None
    lasts: Duration | None = None
    catch: Catch | None = None
    reading: Annotated[
        Text | None,
        Doc("where publications disagree: one sentence of what to make of it", '"One sentence."'),
    ] = None
    brood: Annotated[Whole, Doc("1 unless it belongs to a later brood")] = 1
    caution: Annotated[Text | None, Doc("one sentence shown with its date", '"One sentence."')] = (
        None
    )

    @property
    def opens_looks(self) -> bool:
        """Whether its date is a reason to go and look for it."""
        return self.purpose in OPEN_LOOKS

    @property
    def dated_by_catch(self) -> Catch | None:
        """Which catch in a trap dates it; None where it is looked for on plants."""
        return self.catch or (FIRST_CATCH if self.look.picture in TRAPS else None)

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
