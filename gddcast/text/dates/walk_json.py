"""One walk for programs; its schema is ``data/schemas/walk.json``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from gddcast.crops.standing import OwnChore, SowingToday
from gddcast.outlook.changes import Change
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text.answer import Json, as_json, iso
from gddcast.text.dates.window_json import about, item_since
from gddcast.text.looks import plants_wanted
from gddcast.today.beds import BedWalk, Block, Hints, hosts_in_flower
from gddcast.today.beside_dates import Stage
from gddcast.today.plan import SeasonPlan
from gddcast.today.plants_ahead import PlantAhead
from gddcast.today.walk_groups import grouped, no_longer_near
from gddcast.units import Unit


def walk_json(
    plan: SeasonPlan,
    walk: BedWalk,
    habits: Habits,
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead],
    chores: Sequence[OwnChore],
    show: Unit,
    moment: dt.datetime,
    *,
    changes: Mapping[Stage, Change] | None = None,
) -> str:
    """The whole walk as one object; stages that are not looked for today are left to ``ahead``."""
    moved = changes or {}
    told = [(heading, each) for heading, chosen in grouped(plan) for each in chosen]
    told += [("no longer near", each) for each, _ in no_longer_near(plan, moved)]
    parts = about(plan) | {
        "watches_all": plan.watches_all,
        "items": [
            _item_json(heading, window, item_since(plan, window, moved, show), habits, sowings)
            for heading, window in told
        ],
        "sowings": [_sowing_json(*each) for each in zip(sowings, ahead, strict=True)],
        "chores": [
            {
                "chore": each.words, "where": each.where, "rule": each.rule,
                "from": each.first.isoformat(), "until": each.last.isoformat(),
            }
            for each in chores
        ],
        "by_bed": _by_bed_json(walk),
    }  # fmt: skip
    return as_json("walk", moment, parts)


def _by_bed_json(walk: BedWalk) -> Json:
    """Beds in walking order, in each its pests from the ground up; a pest may stand in several."""
    return {
        "beds": [
            {
                "bed": bed.name,
                "sowings": [each.sowing.name for each in bed.sowings],
                "pests": [_block_json(block) for block in bed.blocks],
                "pests_again": [_block_json(block) for block in bed.again],
                "chores": [{"chore": each.words, "where": each.where} for each in bed.chores],
            }
            for bed in walk.beds
        ],
        "anywhere": [_block_json(block) for block in walk.anywhere],
        "coming_up": [
            {
                "organism": each.window.card.key,
                "stage": each.window.event.key,
                "look_from": iso(each.window.opens),
                **_hints_json(each.hints),
            }
            for each in walk.coming
        ],
        "next_day": iso(walk.next.day) if walk.next else None,
    }


def _block_json(block: Block) -> Json:
    first = block.windows[0]
    return {
        "organism": block.card.key,
        "status": block.status.key,
        "stages": [{"stage": each.event.key, "status": each.status.key} for each in block.windows],
        "sowings": [each.sowing.name for each in block.sowings],
        "place": block.place,
        "plants": {"number": first.look.sample_size, "of": first.look.sample_unit},
        "every_days": first.every_days,
        **_hints_json(block.hints),
    }


def _hints_json(hints: Hints) -> Json:
    return {
        "last_clean_look": iso(hints.clean),
        "unsure_find": iso(hints.unsure),
        "heard_of": iso(hints.heard),
    }


def _item_json(
    heading: str, window: ScoutingWindow, item: Json, habits: Habits, sowings: Sequence[SowingToday]
) -> Json:
    cautions = (window.event.caution, *window.card.cautions)
    return {
        "group": heading,
        **item,
        "look": item["look"] | {"plants": plants_wanted(window, habits)},
        "cautions": list(dict.fromkeys(filter(None, cautions))),
        "in_flower": [each.sowing.name for each in hosts_in_flower(window, sowings)],
    }


def _sowing_json(sowing: SowingToday, coming: PlantAhead) -> Json:
    return {
        "name": sowing.sowing.name,
        "crop": sowing.sowing.crop,
        "bed": sowing.sowing.bed,
        "sown": sowing.sowing.sown_on.isoformat(),
        "age_days": sowing.age_days,
        "in_flower": sowing.in_flower,
        "covered": sowing.covered,
        "next": _due_json(coming),
        "asks_for_flowers": coming.flowers_since is not None,
        "picked_for_too_long": coming.worn is not None,
        "jobs": [{"job": job.job, "done": job.done_on.isoformat()} for job in sowing.jobs],
    }


def _due_json(coming: PlantAhead) -> Json | None:
    due = coming.next
    if due is None:
        return None
    return {
        "event": due.key,
        "first": iso(due.first),
        "middle": iso(due.middle),
        "last": iso(due.last),
        "years": list(due.years) if due.years else None,
        "known_by": coming.basis,
    }
