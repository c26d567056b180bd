"""What is said of a trap's catch, and of a find on plants where traps date the stage."""

from __future__ import annotations

from dataclasses import dataclass

from gddcast.cards.model import Card, Catch
from gddcast.journal.dating import bracket_of, looks_that_date, trap_visits
from gddcast.journal.entries import Journal, Sighting
from gddcast.weather.series import Season
from gddcast.words import count, day


@dataclass(frozen=True, slots=True)
class AboutCatch:
    """The sentence, and the entry of the catch that a clock runs from; None where none does."""

    sentence: str
    entry: str | None


def about_catch(card: Card, find: Sighting, journal: Journal, season: Season) -> AboutCatch | None:
    """What a catch, or a find on plants beside catches, does; None where it is as any find.

    Parameters
    ----------
    card : Card
    find : Sighting
    journal : Journal
        The find among its sightings.
    season : Season
        Of the find.
    """
    event = card.event_of(find.event)
    if event is None or not find.sure:
        return None
    by_trap = looks_that_date(card, event, journal, season.first, season.last).in_traps
    if not find.trap:
        beside = "This season’s catches date it: kept beside them, and no clock starts from it."
        return AboutCatch(beside, None) if by_trap else None
    catch = event.dated_by_catch
    if catch is None:
        return AboutCatch(
            "Kept as a trap’s catch, apart from finds on plants: no clock of this card goes by a "
            "trap.", None,
        )  # fmt: skip
    bracket = bracket_of(card, event, journal, season.first, season.last)
    if bracket is None:
        return AboutCatch(
            f"No clock starts yet: its card waits for {asked_of_a_catch(catch)}.", None
        )
    first = bracket.sighting
    if first.entry == find.entry:
        return AboutCatch("", find.entry)
    rest = [each for each in trap_visits(card, event, journal) if each.entry != find.entry]
    if bracket_of(card, event, Journal(tuple(rest)), season.first, season.last) is not None:
        return None
    return AboutCatch(
        f"Caught at {count(catch.visits, 'visit')} running: the first of them, "
        f"{day(first.seen_on)}, starts the clock.", first.entry,
    )  # fmt: skip


def asked_of_a_catch(catch: Catch) -> str:
    """What a card asks of a catch, in words."""
    many = f"{catch.at_least} or more in one trap" if catch.at_least > 1 else "catches"
    if catch.nights is not None:
        many += f" within {count(catch.nights, 'night')}"
    if catch.visits == 1:
        return many
    return f"{many} at {count(catch.visits, 'visit')} running"


def catch_words(find: Sighting) -> str:
    """A catch with its nights, and how many a night that makes."""
    nights = count(find.nights, "night") if find.nights else ""
    if find.kind == "none":
        return f"trap empty after {nights}" if nights else "trap empty"
    said = "in a trap" if find.count is None else f"{find.count} in a trap"
    if not nights:
        return said
    said += f" in {nights}"
    return said if find.a_night is None else f"{said}, {find.a_night:.2g} a night"
