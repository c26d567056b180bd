"""The numbers behind a date: the heat sum so far, as printed, the person's own, what stood in."""

from __future__ import annotations

from gddcast.cards.model import COMMON_PRACTICE, Card, Number
from gddcast.heat.counting import Counting
from gddcast.journal.entries import OwnGoal
from gddcast.outlook.effects import Effect
from gddcast.scouting.windows import ScoutingWindow
from gddcast.units import Unit
from gddcast.words import capital, count, day, heat, month, sentence, threshold

#: Fields of a published number, in words.
FIELDS = {
    "starts_from": "start",
    "upper": "upper threshold",
    "cutoff": "cut-off",
    "shape": "daily method",
    "lower": "lower threshold",
}


def goal(window: ScoutingWindow, show: Unit) -> str:
    """The heat sum asked for, or the range of it."""
    if window.early is None or window.late is None:
        raise ValueError("a window without outlooks has no goal")
    low, high = window.early.goal, window.late.goal
    if low == high:
        return heat(low, show)
    return f"{heat(low, show, unit=False)} to {heat(high, show)}"


def sum_so_far(window: ScoutingWindow, show: Unit) -> str:
    """Heat so far against the goal, and how it is counted."""
    early, late, clock = window.early, window.late, window.clock
    if early is None or late is None or window.counting is None or clock is None:
        return ""
    ends = [early, late] if clock.earliest not in (None, clock.latest) else [early]
    sums = (heat(each.heat, show, unit=False) if each.heat == each.heat else "?" for each in ends)
    now = " or ".join(sums)  # from the one day and from the other, as the clock names them
    return f"{now} of {goal(window, show)}, {method(window, show)}, from {clock.words}"


def still_to_go(window: ScoutingWindow, show: Unit) -> str:
    """Heat still missing: at both ends, where a range or a bracket is carried."""
    early, late = window.early, window.late
    if early is None or late is None or late.reached is not None:
        return ""
    least, most = (max(end.goal - end.heat, 0.0) for end in (early, late))
    if most != most or least != least:
        return ""
    if early is late:
        return heat(most, show)
    return f"{heat(least, show, unit=False)} to {heat(most, show)}"


def method(window: ScoutingWindow, show: Unit) -> str:
    """Thresholds, day shape and cut-off in one phrase."""
    return "no method" if window.counting is None else counted(window.counting, show)


def counted(counting: Counting, show: Unit) -> str:
    """How heat is counted, in one phrase.

    Examples
    --------
    >>> counted(Counting(lower=10.0, upper=30.0), "F")
    'above 50 °F, horizontal cut-off at 86 °F, single sine'
    """
    limits = f"above {threshold(counting.lower, show)}"
    if counting.upper != float("inf"):
        if counting.cutoff.caps_readings:
            limits += f", readings capped at {threshold(counting.upper, show)}"
        elif counting.cutoff.rule is None:
            limits += f", no cut-off at the upper {threshold(counting.upper, show)}"
        else:
            limits += f", {counting.cutoff.name} cut-off at {threshold(counting.upper, show)}"
    return f"{limits}, {counting.shape.name}"


def basis(window: ScoutingWindow, show: Unit) -> str:
    """The sum so far, the number as printed, who printed it, and how far it was checked."""
    if window.cue is not None:
        dates = window.cue.dates_source
        own = (
            "" if dates in (None, COMMON_PRACTICE) else f"; its dates: {cited(window.card, dates)}"
        )
        return f"By a cue, not a heat sum: {cited(window.card, window.cue.source)}{own}."
    number = window.number
    if number is None or number.goal is None:
        return ""
    so_far = sum_so_far(window, show)
    start = f"{so_far}. " if so_far else ""
    if own := own_number(window, show):
        start += f"{own} "
    return f"{start}{printed(window)}"


def amount(low: float, high: float, to: str = " to ") -> str:
    """A printed number, or the two ends of a range.

    Examples
    --------
    >>> amount(900.0, 1000.0), amount(50.5, 50.5)
    ('900 to 1,000', '50.5')
    """
    return to.join(dict.fromkeys((f"{low:,g}", f"{high:,g}")))


def printed(window: ScoutingWindow) -> str:
    """The number as printed, who printed it, and how far it was checked."""
    number = window.number
    if number is None or number.goal is None:
        return ""
    low, high = number.goal
    checked = {"compiled": "compiled, may be refitted"}.get(number.evidence, number.evidence)
    whose = f"{cited(window.card, number.source)}; {checked}"
    return f"Printed: {amount(low, high)} °{number.unit}-days, {number.found_in} ({whose})."


def as_printed(number: Number) -> str:
    """A published number with its whole method, as printed.

    What the source does not state is said to be so.
    """
    unit = number.unit
    low, high = number.goal or (float("nan"), float("nan"))
    lower = f"above {number.lower:g} °{unit}" if number.lower is not None else "lower not stated"
    said = [f"{amount(low, high)} °{unit}-days {lower}"]
    if number.upper is not None and number.upper != float("inf"):
        said.append(f"{number.cutoff or 'cut-off not stated'} at {number.upper:g} °{unit}")
    said.append(number.shape or "daily method not stated")
    if number.of != "air":
        said.append(f"of {number.of}")
    said.append(f"from {_start(number)}")
    said.append(number.found_in)
    return f"{', '.join(said)}; {number.kind}, {number.evidence}"


def _start(number: Number) -> str:
    start = number.starts_from
    if start is None:
        return "a start not stated"
    if start.date is not None:
        return f"{start.date[1]} {month(start.date[0])}"
    return (start.event or start.crop or "?").replace("-", " ")


def own_number(window: ScoutingWindow, show: Unit, *, labelled: bool = False) -> str:
    """The sum by the person's own finds beside the published one; else nothing.

    Where a label says whose it is, the sentence does not.
    """
    own_finds = window.own_finds or window.finds_beside
    if window.number is None or window.number.goal_c is None:
        return ""
    said = ""
    if own_finds is not None:
        low, high = window.number.goal_c
        printed = heat(low, show, unit=False)
        printed += "" if low == high else f"–{heat(high, show, unit=False)}"
        ends = "–".join(heat(own_finds.sum.sum_at(share), show, unit=False) for share in (0.1, 0.9))
        finds = f"finds of {count(own_finds.finds, 'season')}"
        said = f"{capital(finds) if labelled else f'Your {finds}'}: {heat(own_finds.goal, show)}, "
        said += f"8 seasons in 10 at {ends}; published {printed}."
    if own_finds is not None and window.own_finds is None:
        said += ' Only beside: own_finds = "use" in book.toml counts by it.'
    return f"{said} {old_goal_note(window.own_goal)}".strip()


def old_goal_note(own_goal: OwnGoal | None) -> str:
    """What became of a number that an older book kept."""
    if own_goal is None:
        return ""
    on = day(own_goal.kept_on, weekday=False, year=True)
    return f"The number kept on {on} is not used any more: finds count by themselves."


def cited(card: Card, key: str) -> str:
    """A source of a card as it is cited in a sentence."""
    source = card.sources.get(key)
    return source.short if source else key


def stand_ins(window: ScoutingWindow, moves: tuple[Effect, ...]) -> str:
    """What the source does not state, what stood in for it, and what that does to the date."""
    if window.counting is None or window.number is None or not window.number.not_stated:
        return ""
    said = []
    for name in window.number.not_stated:
        words = f"{FIELDS[name]} not stated, {used(window, name)} used"
        shifts = [move for move in moves if move.field == name and move.days is not None]
        if shifts:
            words += f" ({'; '.join(effect(move) for move in shifts)})"
        said.append(words)
    return sentence("; ".join(said))


def used(window: ScoutingWindow, name: str) -> str:
    """What stood in for a field its source does not state."""
    if window.counting is None or window.clock is None:
        return "nothing"
    if name == "starts_from":
        return window.clock.starts
    if name == "upper":
        return "none"
    return window.counting.shape.name if name == "shape" else window.counting.cutoff.name


def effect(move: Effect) -> str:
    """How far a date moves under another reading.

    Examples
    --------
    >>> effect(Effect("shape", "single sine", "floor the mean", (2, 6)))
    'floor the mean: 2–6 days later'
    """
    if move.days is None:
        return f"{move.instead}: not this season"
    low, high = move.days
    if low == high == 0:
        return f"{move.instead}: no change"
    if low >= 0:
        return f"{move.instead}: {_days(low, high)} later"
    if high <= 0:
        return f"{move.instead}: {_days(-high, -low)} earlier"
    return f"{move.instead}: {-low} earlier to {count(high, 'day')} later"


def _days(low: int, high: int) -> str:
    return count(high, "day") if low == high else f"{low}–{count(high, 'day')}"
