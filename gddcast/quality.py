"""Is a weather record good enough? Findings, and one word of trust."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

from gddcast.series import DailySeries


class Trust(StrEnum):
    """How far a record may be trusted, best first."""

    SOUND = "sound"
    PATCHED = "patched"
    SHAKY = "shaky"
    UNUSABLE = "unusable"


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault, or one thing worth knowing, found in a record.

    Parameters
    ----------
    rule : str
        Short stable name of the check, such as ``streak``.
    first, last : datetime.date
        Days it spans, both included.
    words : str
        What was found, as a sentence for people.
    cure : str
        What the person can do about it.
    level : {"finding", "note"}
        A finding wants a decision; a note is said once.
    days : int
        Days touched, at most those from ``first`` to ``last``.
    values : tuple of float
        Readings at fault, oldest first; at most a handful. [°C]
    removed : bool
        The readings are impossible: the judged copy holds NaN instead.
    effect_days : float, optional
        What leaving it as it is does to the next event: positive is later. [d]
    event : str
        The event ``effect_days`` speaks of.
    """

    rule: str
    first: dt.date
    last: dt.date
    words: str
    cure: str
    level: Literal["finding", "note"] = "finding"
    days: int = 1
    values: tuple[float, ...] = ()
    removed: bool = False
    effect_days: float | None = None
    event: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was found in a record and how far it may be trusted.

    Parameters
    ----------
    trust : Trust
    reasons : tuple of str
        Rules that decided the word, in words.
    judged : DailySeries
        The record with impossible readings set to NaN; nothing else is changed.
    findings : tuple of Finding
        Oldest first.
    usable_seasons : tuple of str
        Past seasons complete enough to lend their weather.
    """

    trust: Trust
    reasons: tuple[str, ...]
    judged: DailySeries
    findings: tuple[Finding, ...] = ()
    usable_seasons: tuple[str, ...] = field(default=())
