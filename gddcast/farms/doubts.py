"""Why a farm's date is not ranked before a person has looked at its record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gddcast.today.plan import SeasonPlan
from gddcast.words import Status

#: Ends long before today · not to be trusted · no past year continues it · no stage has a date ·
#: the readings of another farm.
DoubtKind = Literal["stale", "record", "short", "no-date", "same-readings"]


@dataclass(frozen=True, slots=True)
class Doubt:
    """One reason, with what its sentence needs.

    Parameters
    ----------
    kind : str
    reasons : tuple of str
        Of the record's verdict, or of the stages without a date.
    other : str
        The farm that has the same readings.
    """

    kind: DoubtKind
    reasons: tuple[str, ...] = ()
    other: str = ""


def doubts_of(plan: SeasonPlan) -> tuple[Doubt, ...]:
    """What a plan can't carry, the gravest first."""
    doubts = []
    if plan.verdict.trust in ("shaky", "unusable"):
        doubts.append(Doubt("record", plan.verdict.reasons))
    if plan.is_stale:
        doubts.append(Doubt("stale"))
    if not plan.verdict.usable_seasons:
        doubts.append(Doubt("short"))
    waiting = [each for each in plan.windows if each.event.opens_looks]
    if not doubts and waiting and all(each.status is Status.CANT_SAY for each in waiting):
        doubts.append(Doubt("no-date", tuple(dict.fromkeys(
            each.reason for each in waiting if each.reason))))  # fmt: skip
    return tuple(doubts)
