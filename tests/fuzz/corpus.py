"""Files that were once read wrong, kept with their truth beside them: NAME and NAME.truth.json."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from pathlib import Path

from tests.fuzz.sheets import NAN, Truth

FOLDER = Path(__file__).parent / "corpus"


def save(folder: Path, name: str, raw: bytes, truth: Truth) -> None:
    """Write a file and its truth."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(raw)
    fields = dataclasses.asdict(truth)
    fields["days"] = {
        str(day): [None if half != half else round(half, 4) for half in halves]
        for day, halves in truth.days.items()
    }
    fields["free"] = sorted([str(day), half] for day, half in truth.free)
    fields["forecast"] = sorted(map(str, truth.forecast))
    fields["tolerance"] = max(truth.tolerance, 1e-4)
    default = dataclasses.asdict(Truth())
    kept = {key: value for key, value in fields.items() if value or key == "plain"}
    kept = {key: value for key, value in kept.items() if value != default[key]}
    lines = [f"{json.dumps(key)}: {json.dumps(value, default=str)}" for key, value in kept.items()]
    (folder / f"{name}.truth.json").write_text("{\n" + ",\n".join(lines) + "\n}\n")


def load(file: Path) -> Truth:
    """The truth beside a file."""
    fields = json.loads(file.with_name(f"{file.name}.truth.json").read_text())
    day = dt.date.fromisoformat
    fields["days"] = {
        day(text): [NAN if half is None else half for half in halves]
        for text, halves in fields.get("days", {}).items()
    }
    fields["free"] = {(day(text), half) for text, half in fields.get("free", [])}
    fields["forecast"] = set(map(day, fields.get("forecast", [])))
    for group in ("told", "unsettled"):
        if "today" in fields.get(group, {}):
            fields[group]["today"] = day(fields[group]["today"])
    return Truth(**fields)


def files() -> list[Path]:
    """Every file of the corpus."""
    return sorted(each for each in FOLDER.iterdir() if not each.name.endswith(".truth.json"))
