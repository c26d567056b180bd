"""The key of a class file: how many faults are planted in it, and the lines of each."""

from __future__ import annotations

from gddcast.lessons.planted import ClassFile, line_words


def class_key_text(planted: ClassFile) -> str:
    """The key of a class file: how many faults, and the lines of each."""
    rows = [(line_words(fault), f"{fault.kind}: {fault.words}") for fault in planted.faults]
    width = max(len(where) for where, _ in rows)
    said = [f"  {where:<{width}}  {what}" for where, what in rows]
    count = f"{len(rows)} planted faults (line 1 is the header)"
    return "\n".join([f"Key to class file {planted.seed}: {count}", *said, *_how_to_check(planted)])


def _how_to_check(planted: ClassFile) -> tuple[str, ...]:
    """How the program finds them: a file in two scales can't be read in one go."""
    unit = next(fault for fault in planted.faults if fault.kind == "unit change")
    others = len(planted.faults) - 1
    return (
        "  gddcast weather check refuses the file and names the day on which its unit changes.",
        f"  Keep the lines above {unit.first_line} and check again: it names the other {others}.",
    )
