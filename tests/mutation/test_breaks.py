"""The breaker is judged: one place changes, the text still compiles, words are left alone."""

from __future__ import annotations

import ast
import difflib

import pytest

from tests.mutation import break_lines
from tests.mutation.breaks import breaks_in
from tests.mutation.nearest import ROOT, WINGS, modules, rounds


@pytest.mark.parametrize(
    ("line", "broken"),
    [
        ("if a < b: pass", "if a <= b: pass"),
        ("c = a + b", "c = a - b"),
        ("c = a and (b)", "c = a or (b)"),
        ("c = -a", "c =  (a)"),
        ("c = 3", "c = 4"),
        ("c = True", "c = False"),
        ("c = min(a, b)", "c = max(a, b)"),
        ("c += a", "pass"),
        ("c.append(a)", "pass"),
        ("if a.is_warm: pass", "if not (a.is_warm): pass"),
        ("c = [a for a in b if a.known]", "c = [a for a in b if not (a.known)]"),
        ("raise ValueError(a)", "pass"),
        ("def f(x): return x", "def f(x): return None"),
        ("é = a  # a < b\nc = é > a", "é = a  # a < b\nc = é >= a"),
        ("c = (a  # a > b\n     > b)", "c = (a  # a > b\n     >= b)"),
    ],
)
def test_what_a_line_becomes(line: str, broken: str) -> None:
    assert broken in [each.applied(line) for each in breaks_in(line)]


@pytest.mark.parametrize(
    "line",
    ['"""a < 3."""', 'x: "int > 3"', 'c = Refusal(f"{a + 1}", "b")', "if TYPE_CHECKING: import a"],
)
def test_words_and_types_are_left_alone(line: str) -> None:
    assert breaks_in(line) == []


def test_every_break_changes_one_place_and_compiles() -> None:
    text = (ROOT / "gddcast" / "heat" / "daily.py").read_text(encoding="utf-8")
    found = breaks_in(text)
    assert len(found) > 100
    for each in found[::7]:
        after = each.applied(text)
        ast.parse(after)
        matcher = difflib.SequenceMatcher(None, text.splitlines(), after.splitlines())
        assert sum(tag != "equal" for tag, *_ in matcher.get_opcodes()) == 1, each


def test_every_module_has_tests_near_it() -> None:
    for wing in WINGS:
        for module in modules(wing):
            assert any("tests/" in each for asked in rounds(module) for each in asked), module


def test_the_equivalents_are_breaks_of_the_code_as_it_stands() -> None:
    """A line that was written anew takes its excuse along."""
    for each in break_lines.equivalents():
        text = (ROOT / each["module"]).read_text(encoding="utf-8")
        lines = text.splitlines()
        assert len(each["reason"]) > 20
        assert any(
            lines[found.line - 1].strip() == each["line"]
            and str(found).partition(": ")[2] == each["change"]
            for found in breaks_in(text)
        ), f"{each['module']}: {each['line']}"
