"""How a place's people count, look and grow, where that differs from the cards and the usual."""

from __future__ import annotations

from dataclasses import dataclass, field

from gddcast.crops.succession import Rules
from gddcast.heat.counting import AS_PUBLISHED, Overrule
from gddcast.scouting.windows import Habits
from gddcast.units import Unit
from gddcast.weather.gaps import SHORT


@dataclass(frozen=True, slots=True)
class Practice:
    """What its people chose; nothing was chosen where only a file is given.

    Parameters
    ----------
    watch : tuple of str, optional
        Keys or names of cards watched.
    grow : tuple of str, optional
        Keys of the crops grown, whose pests are watched. Where neither is given, every card that
        has a date or a cue; where both are empty, the pests of what is on record: `watch_list`.
    leave_out : tuple of str
        Keys of cards not watched all the same.
    habits : Habits
        How they look.
    overrule : Overrule
        What stands in for the cards' methods.
    rules : Rules
        Their rules of thumb for one sowing after another.
    patch_up_to : int
        Longest gap filled by a straight line and marked; longer ones stay unknown. [d]
    show : {"F", "C"}, optional
        Scale they read. Default: that of the record.
    beds : tuple of str
        Beds in the order they walk them; others follow, first sown first.
    """

    watch: tuple[str, ...] | None = None
    habits: Habits = field(default_factory=Habits)
    overrule: Overrule = AS_PUBLISHED
    rules: Rules = field(default_factory=Rules)
    patch_up_to: int = SHORT
    show: Unit | None = None
    beds: tuple[str, ...] = ()
    grow: tuple[str, ...] | None = None
    leave_out: tuple[str, ...] = ()
