"""One walk for programs: what the text says, as data."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence

from gddcast.crops.standing import OwnChore, SowingToday
from gddcast.handouts.dates.ahead_json import (
    Json,
    change_as_data,
    envelope,
    item,
    seen_as_data,
)
from gddcast.handouts.dates.walk_text import grouped, hosts_in_flower, no_longer_near, plants_wanted
from gddcast.outlook.changes import Change
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.today.hindsight import Stage, beside, insect_seen
from gddcast.today.plan import SeasonPlan
from gddcast.today.plants_ahead import PlantAhead
from gddcast.units import Unit


def walk_json(
    plan: SeasonPlan,
    habits: Habits,
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead],
    chores: Sequence[OwnChore],
    show: Unit,
    made: dt.datetime,
    *,
    changes: Mapping[Stage, Change] | None = None,
) -> str:
    """The whole walk as one object; stages that are not looked for today are left to ``ahead``."""
    answer = envelope("walk", plan, made)
    answer["watches_all"] = plan.watches_all
    moved = changes or {}
    told = [(heading, each) for heading, chosen in grouped(plan) for each in chosen]
    told += [("no longer near", each) for each, _ in no_longer_near(plan, moved)]
    answer["items"] = [
        _item(heading, window, habits, sowings, show)
        | {
            "insect_seen": seen_as_data(insect_seen(plan, window), show),
            "since": change_as_data(beside(window, moved), show),
        }
        for heading, window in told
    ]
    answer["sowings"] = [_sowing(each, coming) for each, coming in zip(sowings, ahead, strict=True)]
    answer["chores"] = [
        {
            "chore": each.words,
            "where": each.where,
            "rule": each.rule,
            "from": each.first.isoformat(),
            "until": each.last.isoformat(),
        }
        for each in chores
    ]
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)


def _item(
    heading: str,
    window: ScoutingWindow,
    habits: Habits,
    sowings: Sequence[SowingToday],
    show: Unit,
) -> Json:
    answer = {"group": heading, **item(window, show)}
    answer["look"]["plants"] = plants_wanted(window, habits)
    cautions = (window.event.caution, *window.card.cautions)
    answer["cautions"] = list(dict.fromkeys(filter(None, cautions)))
    answer["in_flower"] = [each.sowing.name for each in hosts_in_flower(window, sowings)]
    return answer


def _sowing(each: SowingToday, coming: PlantAhead) -> Json:
    return {
        "name": each.sowing.name,
        "crop": each.sowing.crop,
        "bed": each.sowing.bed,
        "sown": each.sowing.sown_on.isoformat(),
        "age_days": each.age_days,
        "in_flower": each.in_flower,
        "covered": each.covered,
        "next": _due(coming),
        "asks_for_flowers": coming.flowers_since is not None,
        "picked_for_too_long": coming.worn is not None,
        "jobs": [{"job": job.job, "done": job.done_on.isoformat()} for job in each.jobs],
    }


def _due(coming: PlantAhead) -> Json | None:
    due = coming.next
    if due is None:
        return None
    first, middle, last = (each and each.isoformat() for each in (due.first, due.middle, due.last))
    return {
        "event": due.key,
        "first": first,
        "middle": middle,
        "last": last,
        "years": list(due.years) if due.years else None,
        "known_by": coming.basis,
    }
