"""What one's own first finds say of a published sum, season by season, for people and programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from gddcast import words
from gddcast.cards.model import Card, Event, Number
from gddcast.errors import Command, command
from gddcast.heat.counting import Counting
from gddcast.journal.dating import looks_that_date, stage_keys
from gddcast.journal.entries import Journal, OwnGoal
from gddcast.scouting.own_seasons import Foretold, OwnFinds
from gddcast.scouting.own_sums import OwnSum
from gddcast.text import answer, insect_dates, numbers
from gddcast.text.answer import Json
from gddcast.text.terminal import PLAIN, Line, Terminal, narrowed, table
from gddcast.units import Unit, from_celsius_days, rounded
from gddcast.weather.series import Season, season_of

_HEAD = ("season", "began between", "heat then", "sum known after it")
_MISSES = ("by finds", "printed", "calendar")
#: The latest seasons that a screen has room for.
_SHOWN = 8
#: So many seasons foretold three ways tell which way is better.
_ENOUGH = 3


def as_text(
    finds: OwnFinds,
    card: Card,
    event: Event,
    counting: Counting,
    own_goal: OwnGoal | None,
    *,
    used: bool,
    chance: float,
    show: Unit,
    terminal: Terminal = PLAIN,
    command: Command = command,
) -> str:
    """What is known of the sum, each season foretold by those before it, and what it cost."""
    lines: list[str | Line] = [Line(headline(finds, card, event, show))]
    foretold = finds.foretold(chance)
    if foretold:
        lines += [
            "",
            *_table(rows_told(foretold, show), terminal.width),
            *map(Line, _left_out(foretold)),
            *map(Line, legend(foretold, counting, show)),
        ]
    lines += [Line(f"{season}: not used, {reason}.") for season, reason in finds.not_used]
    if finds.finds:
        lines += map(Line, record_of_hits(finds, foretold, chance))
    else:
        log = command("saw", card.key, event.key)
        lines.append(Line(f"Log it:  {log} --seen DATE --clean DATE"))
    if finds.finds and not used:
        lines.append(Line('Dates go by the published sum: own_finds = "beside" in book.toml.'))
    lines.append(Line(numbers.old_goal_note(own_goal)))
    return terminal.show(lines)


def to_tune(
    card: Card, event: Event, journal: Journal, season: Season, command: Command = command
) -> str:
    """Where the finds of a stage stand beside its sum, once there is one with a clean look."""
    number, begins = event.default, (season.first.month, season.first.day)
    if number is None or number.kind != "calendar" or card.comes_from_elsewhere:
        return ""
    dated, keys = looks_that_date(card, event, journal), stage_keys(card, event)
    years = {season_of(each.seen_on, begins) for each in dated.of(card.key, keys)}
    brackets = [dated.bracket(card.key, keys, each.first, each.last) for each in years]
    clean = sum(each is not None and each.clean_on is not None for each in brackets)
    if not clean:
        return ""
    few = words.count(clean, "season")
    return f"Your finds of {few} beside its sum:  {command('tune', card.key, event.key)}"


def headline(finds: OwnFinds, card: Card, event: Event, show: Unit) -> str:
    """What is known of the sum beside the published one, in a sentence."""
    number = event.default
    if number is None:
        raise ValueError("a stage without a number has no sum")
    ends = (words.heat(each, show, unit=False) for each in number.goal_c or ())
    source = card.sources[number.source].short if number.source in card.sources else number.source
    printed = f"{'–'.join(dict.fromkeys(ends))} ({source})"
    name = f"{words.capital(card.name)}, {event.words}"
    if not finds.finds:
        return (
            f"{name}: no find of yours has a say yet; published: {printed}. A number published "
            "elsewhere may be off by a week or two here; the first find with a clean look before "
            "it about halves that."
        )
    own_sum = finds.sum
    low, high = (words.heat(own_sum.sum_at(share), show, unit=False) for share in (0.1, 0.9))
    return (
        f"{name}: by your finds of {words.count(finds.finds, 'season')} first seen at "
        f"{words.heat(finds.goal, show)} here, 8 seasons in 10 at {low}–{high}; "
        f"published: {printed}."
    )


def rows_told(foretold: Sequence[Foretold], show: Unit) -> list[tuple[str, ...]]:
    """The latest seasons, a row each beneath the headings: when it began, the heat, the misses."""
    shown = foretold[-_SHOWN:]
    rows: list[tuple[str, ...]] = [(*_HEAD, *_MISSES)]
    rows += [(*_row(each, show), *map(_days, _misses(each))) for each in shown]
    columns = len(rows[0]) if _any_foretold(shown) else len(_HEAD)
    return [row[:columns] for row in rows]


def _table(rows: Sequence[tuple[str, ...]], width: int) -> Iterator[str]:
    # What each season left known is the first to go: the last of them stands in the first line.
    kept = narrowed(rows, width, [(3,)])
    yield from table(kept, left=range(len(_HEAD) - (len(rows[0]) - len(kept[0]))))


def _any_foretold(foretold: Sequence[Foretold]) -> bool:
    return any(off is not None for each in foretold for off in _misses(each))


def _row(foretold: Foretold, show: Unit) -> tuple[str, str, str, str]:
    own_season, bracket = foretold.season, foretold.season.bracket
    low = words.heat(bracket.low, show, unit=False)
    median, first, last = (
        words.heat(foretold.after.sum_at(share), show, unit=False) for share in (0.5, 0.1, 0.9)
    )
    known = f"{median} ({first}–{last})"
    if own_season.found_on is None:
        return (
            own_season.season,
            f"not by {words.day(own_season.early_on, weekday=False)}",
            f"over {low}",
            known,
        )
    days = words.span(own_season.early_on + dt.timedelta(days=1), own_season.found_on)
    heat = f"{low}–{words.heat(bracket.high, show, unit=False)}"
    return own_season.season, f"{days}{' *' if own_season.assumed else ''}", heat, known


def _misses(foretold: Foretold) -> tuple[float | None, float | None, float | None]:
    return foretold.by_finds, foretold.by_printed, foretold.by_calendar


def _days(off: float | None) -> str:
    if off is None:
        return "–"
    whole = int(rounded(abs(off)))
    return f"{'+' if off > 0 else '−'}{whole} d" if whole else "0 d"


def _left_out(foretold: Sequence[Foretold]) -> Iterator[str]:
    if len(foretold) > _SHOWN:
        earlier = words.count(len(foretold) - _SHOWN, "earlier season")
        yield f"{words.capital(earlier)}:  --json"


def legend(foretold: Sequence[Foretold], counting: Counting, show: Unit) -> Iterator[str]:
    """How the table is to be read."""
    said = f"°{show}-days {numbers.counted(counting, show)}."
    if _any_foretold(foretold):
        said += (
            " Last columns: days too late (+) or too early (−), foretold by the finds of the "
            "seasons before, by the printed sum, by the mean date alone; the season’s own weather "
            "known."
        )
    yield said
    if any(each.season.assumed for each in foretold):
        yield "* No clean look before the find: an early end is assumed."


def record_of_hits(finds: OwnFinds, foretold: Sequence[Foretold], chance: float) -> Iterator[str]:
    """What the seasons foretold say together: own finds, printed sum and calendar side by side."""
    misses = [each for each in map(_misses, foretold) if None not in each]
    if misses:
        own, printed, calendar = (
            sum(abs(each[way] or 0.0) for each in misses) / len(misses) for way in range(3)
        )
        said = (
            f"Off in the mean of {words.count(len(misses), 'season')}: {own:.1f} days by your "
            f"finds, {printed:.1f} by the printed sum, {calendar:.1f} by the calendar."
        )
        worse = len(misses) >= _ENOUGH and calendar < own
        yield said + (" Heat tells little here: go by the calendar too." if worse else "")
    if finds.odd:
        yield (
            f"{finds.odd} is the odd one: by the other seasons’ finds fewer than 1 season in 10 "
            "lies so far out."
        )
    yield insect_dates.looking_costs(finds, chance)


def as_json(
    finds: OwnFinds,
    number: Number,
    counting: Counting,
    own_goal: OwnGoal | None,
    *,
    used: bool,
    chance: float,
    show: Unit,
    moment: dt.datetime,
) -> str:
    """The same for programs; the schema stands in ``data/schemas``."""

    def heat(value: float) -> float | None:
        return None if value == float("inf") else round(from_celsius_days(value, show), 3)

    def known(own_sum: OwnSum) -> Json:
        return {
            "middle": heat(own_sum.sum_at(0.5)),
            "eight_in_ten": [heat(own_sum.sum_at(share)) for share in (0.1, 0.9)],
            "mean_eight_in_ten": [heat(own_sum.mean_at(share)) for share in (0.1, 0.9)],
        }

    def off(days: float | None) -> float | None:
        return None if days is None else round(days, 2)

    parts = {
        "method": {
            "lower": answer.temperature(counting.lower, show),
            "shape": counting.shape.name,
            "cutoff": counting.cutoff.name,
        },
        "units": {"heat": f"deg{show}-day"},
        "published": [heat(each) for each in number.goal_c or ()],
        "used": used and finds.finds > 0,
        "chance": chance,
        "prior": known(OwnSum(finds.printed, (), finds.place_sd)),
        "own": known(finds.sum) if finds.finds else None,
        "kept": own_goal and {"goal": heat(own_goal.goal), "kept_on": own_goal.kept_on.isoformat()},
        "seasons": [
            {
                "season": each.season.season,
                "clean": each.season.early_on.isoformat(),
                "found": answer.iso(each.season.found_on),
                "assumed": each.season.assumed,
                "heat": [heat(each.season.bracket.low), heat(each.season.bracket.high)],
                "after": known(each.after),
                "off_days": dict(
                    zip(("finds", "printed", "calendar"), map(off, _misses(each)), strict=True)
                ),
                "looked_days": each.looked,
            }
            for each in finds.foretold(chance)
        ],
        "not_used": [{"season": name, "reason": reason} for name, reason in finds.not_used],
        "odd": finds.odd,
    }
    return answer.as_json("tune", moment, parts, version=2)
