"""The text of ``book.toml``: a new one with a comment on every line, and single lines changed."""

from __future__ import annotations

import json
import os
import re
import shutil
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from gddcast.book import faults, store
from gddcast.book.opening import RECORDS
from gddcast.book.settings import Settings, settings_in
from gddcast.commits import commit
from gddcast.toml import schema


def settings_text(settings: Settings) -> str:
    """A whole ``book.toml`` that holds these settings and explains itself."""
    name = settings.place.name.replace("\n", " ")
    lines = [
        f"# The season book of {name}. Change what you like in any text editor.",
        "# Lines that begin with # are notes; a setting left out has the value shown.",
    ]
    for table, record in schema.values(settings.as_file()):
        about = table.about.hint
        lines += ["", f"[{table.key}]" + (f"  # {about}" if about else "")]
        for column, value in schema.values(record):
            note = column.about.hint
            said = f"{column.key} = {column.about.example if value is None else _toml(value)}"
            said = f"# {said}" if value is None else said
            lines.append(f"{said:<32} # {note}" if note else said)
    text = "\n".join(lines) + "\n"
    assert settings_in(text) == replace(settings, watch=settings.watch or None), text
    return text


def with_value(text: str, table: str, key: str, value: object) -> str:
    r"""The text with one setting changed; every other line, and its note, stays as it is.

    None takes a setting away: its line becomes a note.

    Examples
    --------
    >>> print(with_value('[show]\ntemperature = "F"  # mine\n', "show", "temperature", "C"))
    [show]
    temperature = "C"  # mine
    <BLANKLINE>
    """
    lines, inside, header = text.splitlines(keepends=True), "", None
    for place, line in enumerate(lines):
        if found := re.match(r"\s*\[\s*([\w-]+)", line):
            inside = found[1]
            header = place if inside == table else header
        elif inside == table and re.match(rf"\s*{re.escape(key)}\s*=", line):
            note = re.search(r"[ \t]*(#[^\"']*)$", line.rstrip("\r\n"))
            end = _last_line(lines, place)
            if value is None:
                lines[place : end + 1] = [f"# {each}" for each in lines[place : end + 1]]
                return "".join(lines)
            if end > place and isinstance(value, list | tuple):
                lines[place : end + 1] = [_list_changed("".join(lines[place : end + 1]), value)]
                return "".join(lines)
            del lines[place + 1 : end + 1]
            said = f"{key} = {_toml(value)}"
            if note:  # stays in its column where it can
                said = f"{said:<{note.start(1) - 1}} {note[1]}"
            lines[place] = f"{said}\n"
            return "".join(lines)
    if value is None:
        return text
    if header is None:
        return f"{text.rstrip()}\n\n[{table}]\n{key} = {_toml(value)}\n"
    # A default that stands there as a note gives way to the real line.
    for place in range(header + 1, len(lines)):
        if lines[place].lstrip().startswith("["):
            break
        if re.match(rf"#\s*{re.escape(key)}\s*=", lines[place]):
            remark = lines[place].partition("#")[2].partition("#")[2].strip()
            lines[place] = f"{key} = {_toml(value)}" + (f"  # {remark}\n" if remark else "\n")
            return "".join(lines)
    lines.insert(header + 1, f"{key} = {_toml(value)}\n")
    return "".join(lines)


def change_settings(file: Path, changes: Mapping[tuple[str, str], object]) -> Settings:
    """Change single settings by table and key; whoever changes others at once waits for us.

    The record beside the file is the lock, so that neither reads what the other is replacing.
    """
    with store.writing(file.with_name(RECORDS)):
        text = file.read_text(encoding="utf-8-sig")
        for (table, key), value in changes.items():
            text = with_value(text, table, key, value)
        return write_settings(file, text)


def write_settings(file: Path, text: str) -> Settings:
    """Write the text if it can be read back; whole or not at all."""
    settings = settings_in(text, str(file))
    half = file.with_name(f".{file.name}.half")
    with faults.explained(file, store.WAIT):
        try:
            with half.open("w", encoding="utf-8", newline="\n") as page:
                page.write(text)
                page.flush()
                os.fsync(page.fileno())
            if file.exists():
                shutil.copymode(file, half)
            half.replace(file)
            commit(file)
        finally:
            half.unlink(missing_ok=True)
    return settings


def _outside_notes(text: str) -> Iterator[tuple[int, str, bool]]:
    """Each letter that is no note's, with its place, and whether it stands in quotes."""
    quote, skip, noted = "", False, False
    for place, letter in enumerate(text):
        if noted:
            noted = letter != "\n"
        elif quote:
            yield place, letter, True
            skip = quote == '"' and letter == "\\" and not skip
            if letter == quote and not skip:
                quote = ""
        elif letter == "#":
            noted = True
        else:
            quote = letter if letter in "\"'" else ""
            yield place, letter, bool(quote)


def _last_line(lines: Sequence[str], place: int) -> int:
    """The line on which the value that begins on one ends."""
    depth, end = 0, place
    for end in range(place, len(lines)):
        for _, letter, quoted in _outside_notes(lines[end]):
            depth += 0 if quoted else (letter == "[") - (letter == "]")
        if depth <= 0:
            return end
    return end


def _list_changed(text: str, names: Sequence[str]) -> str:
    r"""A list over several lines with names taken out and put in; its notes stay.

    Examples
    --------
    >>> print(_list_changed('watch = [\n  "a",  # mine\n  "b"\n]\n', ["a", "c"]), end="")
    watch = [
      "a",  # mine
      "c",
    ]
    """
    (before,) = tomllib.loads(text).values()
    for name in before:
        if name not in names:
            said = f"(?:{re.escape(_toml(name))}|'{re.escape(name)}')"
            text = re.sub(rf"^[ \t]*{said}[ \t]*,?[ \t]*\n|{said}\s*,?[ \t]*", "", text, flags=re.M)
    new = [name for name in names if name not in before]
    if not new:
        return text
    letters = [(place, letter) for place, letter, _ in _outside_notes(text) if not letter.isspace()]
    close, (last, letter) = letters[-1][0], letters[-2]
    head, between = text[: last + 1], text[last + 1 : close].rstrip(" \t")
    comma = "" if letter in ",[" else ","
    line = between if between.endswith("\n") else f"{between}\n"
    return head + comma + line + "".join(f"  {_toml(name)},\n" for name in new) + text[close:]


def _toml(value: object) -> str:
    # JSON's strings, lists and numbers are TOML's too, once nothing is escaped that need not be.
    if isinstance(value, float) and value == int(value):
        value = int(value)
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
