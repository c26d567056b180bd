"""Who is due where, for people: a line a farm, then who needs an eye, then who can't be read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from gddcast import words
from gddcast.errors import command
from gddcast.farms.board import Board, FarmDay
from gddcast.farms.looks import Due
from gddcast.text import sentences
from gddcast.text.farms.doubt_words import cure, reason, why_refused
from gddcast.text.terminal import PLAIN, Beside, Line, Terminal
from gddcast.units import Unit
from gddcast.words import Status

#: Farms ranked in full on one screen; the others are counted, and stand in --full and --json.
_MOST = 12
#: Farms named with their last look.
_NAMED = 4


def board_text(
    board: Board, show: Unit, folder: str, *, full: bool = False, terminal: Terminal = PLAIN
) -> str:
    """The board on a screen.

    Parameters
    ----------
    board : Board
    show : {"F", "C"}
    folder : str
        Of the farms, as it was named, for cures.
    full : bool
        Every farm, however many.
    terminal : Terminal
    """
    ranked, eye, refused = (board.of(each) for each in ("dated", "eye", "refused"))
    lines: list[str | Line | Beside] = [Line(counts(board), weight="bold")]
    if ranked:
        lines.append(Line(about(board, ranked)))
        shown = ranked if full else ranked[:_MOST]
        lines += _rows(shown, board, show, terminal.width)
        if len(ranked) > len(shown):
            lines.append(f"    and {len(ranked) - len(shown)} more:  --full, --json")
        lines.append(Line(last_looks(ranked), rest="  "))
        if said := noted(ranked):
            lines.append(Line(f"{said}:  {command('farms', 'check', folder)}", rest="  "))
    if eye:
        lines += ["", Line("NEEDS YOUR EYE", weight="bold")]
        for row in eye if full else eye[:_MOST]:
            said = needs(row, show, folder, titled=not ranked or one_stage([*ranked, row]) is None)
            lines.append(Line(said, "  ", "    ", strong=row.farm.name))
        lines += _rest(len(eye) - _MOST, full=full)
    if refused:
        lines += ["", Line("CAN’T BE READ", weight="bold")]
        unread = alike_refused(refused, folder)
        for said, rows in unread if full else unread[:_MOST]:
            file = f" ({rows[0].farm.file})" if len(rows) == 1 else ", each"
            who = named([row.farm.name for row in rows]) + file
            lines.append(Line(f"{who}: {said}", "  ", "    ", strong=rows[0].farm.name))
        lines += _rest(len(unread) - _MOST, full=full)
    return terminal.show(lines)


def alike_refused(
    refused: Sequence[FarmDay], folder: str
) -> list[tuple[str, list[FarmDay]]]:  # fmt: skip
    """Why farms can't be read, each reason once with all farms it is said of."""
    found: dict[str, list[FarmDay]] = {}
    for row in refused:
        found.setdefault(why_refused(row, folder), []).append(row)
    return list(found.items())


def _rest(more: int, *, full: bool) -> list[str]:
    return [] if full or more <= 0 else [f"  and {more} more:  --full, --json"]


def counts(board: Board) -> str:
    """How many farms there are, and how many of each state."""
    dated, eye, refused = (len(board.of(each)) for each in ("dated", "eye", "refused"))
    parts = [words.count(len(board.farms) + board.not_asked, "farm"), f"{dated:,} dated"]
    if eye:
        parts.append(f"{eye:,} need{'s' if eye == 1 else ''} your eye")
    if refused:
        parts.append(f"{refused:,} can’t be read")
    if board.not_asked:
        parts.append(f"{board.not_asked:,} not looked at")
    return " · ".join(parts)


def about(board: Board, ranked: Sequence[FarmDay]) -> str:
    """Day, the one stage where it is one, and what the days of the rows below it rest on."""
    years = [row.weather.past_years for row in ranked if row.weather is not None]
    least, most = min(years), max(years)
    many = words.count(most, "past year") if least == most else f"{least}–{most} past years"
    title = one_stage(ranked)
    what = f"{title}. " if title else ""
    return f"{words.day(board.day, year=True)}. {what}“Any day”: by {many}’ weather."


def one_stage(ranked: Sequence[FarmDay]) -> str | None:
    """The stage every ranked farm waits for, where it is the same at all."""
    titles = {sentences.title(row.first.window) for row in ranked if row.first is not None}
    return titles.pop() if len(titles) == 1 else None


def _rows(ranked: Sequence[FarmDay], board: Board, show: Unit, width: int) -> Iterator[Beside]:
    title = one_stage(ranked)
    column = min(max(len(row.farm.name) for row in ranked) + 6, width // 3)
    for rank, row in enumerate(ranked, start=1):
        name, first = f"{rank:>2}  {row.farm.name}", row.first
        if first is None:
            said = f"no stage has a day to look from · {worth(row)}"
            yield Beside(name, column, (), Line(said), hang=4)
            continue
        day, more = look(first, board), _more(row)
        said = days(first, show) if title else stage_and_days(first, show)
        said = f"{day:<11}  {said}{more} · {worth(row)}"
        yield Beside(name, column, (), Line(said, strong=day), hang=4)


def _more(row: FarmDay) -> str:
    return f" · {len(row.due) - 1} more due" if len(row.due) > 1 else ""


def worth(row: FarmDay, called: Mapping[str, str] | None = None) -> str:
    """What a farm's record is worth, and whose it reads like; farms may be called otherwise."""
    said = str(row.weather.trust) if row.weather else ""
    if not row.same_as:
        return said
    other = row.same_as[0].farm
    return f"{said} · reads as {called[other] if called else other}"


def look(due: Due, board: Board) -> str:
    """The day to look, or now."""
    late = due.window.status is Status.OVERDUE
    if due.day <= board.day:
        return "overdue" if late else "now"
    return words.day(due.day)


def stage_and_days(due: Due, show: Unit) -> str:
    """A stage, and the days past years' weather gives it, in the fewest words."""
    return f"{sentences.title(due.window)}, {days(due, show)}"


def days(due: Due, show: Unit) -> str:
    """The days past years' weather gives a stage, or what else is known of it."""
    said = sentences.when_briefly(due.window, show, middle=False).rstrip(".")
    return f"{said[:1].lower()}{said[1:]}"


def needs(row: FarmDay, show: Unit, folder: str, *, titled: bool = True) -> str:
    """Why a farm needs an eye, what its date would be, and the cure of the gravest doubt.

    ``titled`` where its stage is not the one every other farm waits for.
    """
    said = [f"{row.farm.name}:", *(reason(row, each) for each in row.doubts)]
    if row.first is not None:
        days_ = stage_and_days(row.first, show) if titled else days(row.first, show)
        said.append(f"Not ranked: {days_}.")
    return " ".join(said) + "".join(f"  {cure(row, each, folder)}" for each in row.doubts[:1])


def noted(ranked: Sequence[FarmDay], called: Mapping[str, str] | None = None) -> str:
    """At which of them the way the file was read may move the day; nothing where at none."""
    names = [called[row.farm.name] if called else row.farm.name for row in ranked if row.notes]
    return f"How the file was read may move the day at {named(names)}" if names else ""


def named(names: Sequence[str], most: int = _NAMED) -> str:
    """Names of farms, as far as there is room."""
    if len(names) <= most:
        return words.listed(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def last_looks(ranked: Sequence[FarmDay]) -> str:
    """When somebody last looked at each, the longest ago first; nothing where nobody logs."""
    looked = [row for row in ranked if row.looked is not None]
    if not looked:
        return ""
    looked.sort(key=lambda row: -(row.days_since_look or 0))
    named = list(_looks(looked[:_NAMED]))
    if len(looked) > _NAMED:
        named.append(f"{len(looked) - _NAMED} more")
    rest = len(ranked) - len(looked)
    none = f"; no look logged at {words.spelled(rest, 'other')}" if rest else ""
    return f"Last look: {', '.join(named)}{none}."


def _looks(rows: Sequence[FarmDay]) -> Iterator[str]:
    for row in rows:
        if row.looked is not None:
            ago = row.days_since_look or 0
            since = words.count(ago, "day") if ago else "today"
            yield f"{row.farm.name} {words.day(row.looked.day, weekday=False)} ({since})"
