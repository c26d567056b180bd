"""The one word a stage stands at on a day: look now, coming up, overdue, closed …"""

from __future__ import annotations

import datetime as dt

from gddcast.journal.begun import Begun
from gddcast.journal.entries import Bracket
from gddcast.outlook.dates import Outlook
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.day_counts import DayCount
from gddcast.scouting.windows import ScoutingWindow
from gddcast.words import Status

#: Days after the slowest past year on which a stage nobody found is put away.
CLOSES_AFTER_DAYS = 21
#: A stage that may begin within so many days is coming up.
NEAR_DAYS = 10


def status_of(
    early: Outlook,
    late: Outlook,
    today: dt.date,
    *,
    lead_days: int,
    bracket: Bracket | None = None,
    begun: Begun | None = None,
    opens_looks: bool = True,
) -> Status:
    """The one word a stage stands at today.

    The rules, first match wins: ``seen`` a find is logged · ``under way`` a find of a
    later stage says that it had begun · ``can't say`` an unknown day hides
    the sum, or no past year is usable · ``not this season`` fewer than 1 in 10 past years reach
    it · ``closed`` three weeks after the slowest · ``overdue`` 9 of 10 dates a week or more ago ·
    ``look now`` from the fastest less the lead · ``coming up`` fastest within 10 days ·
    ``building`` within 21 · ``quiet``. What a person closed, or what was seen and has
    lasted as long as its card says, is ``closed`` whatever this says. A peak, an end and a stage of
    a crop open no look: they are ``coming up`` until the slowest is past, then ``quiet``.
    """
    if bracket is not None:
        return Status.SEEN
    if begun is not None:
        return Status.UNDER_WAY
    if late.reached is None and (late.unknown is not None or not late.dots):
        return Status.CANT_SAY
    dates = [late.reached] if late.reached else [dot.day for dot in late.dots]
    fastest = early.reached or early.fastest
    if fastest is None or sum(date is not None for date in dates) < len(dates) / 10:
        return Status.NOT_THIS_SEASON
    slowest = late.reached or late.slowest
    if slowest is not None and slowest + dt.timedelta(days=CLOSES_AFTER_DAYS) < today:
        return Status.CLOSED
    if not opens_looks and all(date is None or date < today for date in dates):
        return Status.QUIET
    week_ago = today - dt.timedelta(days=7)
    gone = sum(date is not None and date <= week_ago for date in dates)
    if opens_looks and gone >= 0.9 * len(dates):
        return Status.OVERDUE
    ahead = (fastest - today).days
    if opens_looks and ahead <= lead_days:
        return Status.LOOK_NOW
    return _nearness(fastest - today)


def status_by_days(
    counted: DayCount, today: dt.date, *, lead_days: int, opens_looks: bool = True
) -> Status:
    """The word a stage counted in days stands at, by the rules of `status_of`.

    Look at once where the earlier stage may be older than its find. Days from a date that nobody
    saw come are too loose to be overdue: behind its last day it is ``closed``.
    """
    opens, latest = counted.opens(lead_days), counted.latest
    late = dt.timedelta.min if latest is None else today - latest
    if late.days > (CLOSES_AFTER_DAYS if counted.by_find else 0):
        return Status.CLOSED
    if late.days > 0 and not opens_looks:
        return Status.QUIET
    if late.days >= 7:
        return Status.OVERDUE
    if opens_looks and opens is not None and opens <= today:
        return Status.LOOK_NOW
    return _nearness((counted.earliest or today) - today)


def _nearness(ahead: dt.timedelta) -> Status:
    if ahead.days <= NEAR_DAYS:
        return Status.COMING_UP
    return Status.BUILDING if ahead.days <= 21 else Status.QUIET


def status_by_chance(insect: InsectDates, today: dt.date, *, looked: bool) -> Status:
    """The one word that a stage nobody found yet stands at today, by one's own earlier finds.

    The rules, first match wins: ``not this season`` less than 1 chance in 10 that it begins ·
    ``closed`` past the last day to look, if anybody looked · ``overdue`` for three weeks if nobody
    did, then ``closed`` · ``look now`` from the first day to look · ``coming up`` that day within
    10 days · ``building`` within 21 · ``quiet``.

    Parameters
    ----------
    insect : InsectDates
        Its ``tails`` are the first and the last day to look.
    today : datetime.date
    looked : bool
        Whether a clean look is on record since the first of them.
    """
    opens, closes = insect.tails
    if opens is None or insect.in_season < 0.1:
        return Status.NOT_THIS_SEASON
    if closes is not None and closes < today:
        late = (today - closes).days > CLOSES_AFTER_DAYS
        return Status.CLOSED if looked or late else Status.OVERDUE
    return Status.LOOK_NOW if opens <= today else _nearness(opens - today)


def status_on(window: ScoutingWindow, day: dt.date, *, lead_days: int) -> Status:
    """The word a stage will stand at on a later day, as far as is known today.

    Only what a day's passing changes is changed: a find, a gap, a cue, a season too short and a
    stage put away stay.
    """
    stays = (
        Status.SEEN, Status.UNDER_WAY, Status.CANT_SAY, Status.NOT_THIS_SEASON, Status.CLOSED,
    )  # fmt: skip
    if window.status in stays:
        return window.status
    opens_looks = window.event.opens_looks
    if window.by_days is not None:
        return status_by_days(window.by_days, day, lead_days=lead_days, opens_looks=opens_looks)
    if window.early is None or window.late is None or window.cue is not None:
        return window.status
    if window.goes_by_finds and window.insect is not None:
        return status_by_chance(window.insect, day, looked=window.looked)
    return status_of(window.early, window.late, day, lead_days=lead_days, opens_looks=opens_looks)
