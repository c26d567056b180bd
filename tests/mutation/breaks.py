"""One place of a module broken: what can be broken there, and the text it becomes.

Only one place differs between the two texts; comments, docstrings and layout stay. Types, names
and what a refusal says are left alone: words are proof-read, not calculated.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass

_COMPARED: dict[type[ast.cmpop], tuple[str, str]] = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
    ast.In: ("in", "not in"),
    ast.NotIn: ("not in", "in"),
}
_CALCULATED: dict[type[ast.operator], tuple[str, str]] = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "/"),
    ast.Mod: ("%", "+"),
    ast.Pow: ("**", "*"),
    ast.BitAnd: ("&", "|"),
    ast.BitOr: ("|", "&"),
}
_OPPOSITES = {
    "min": "max", "max": "min", "any": "all", "all": "any", "minimum": "maximum",
    "maximum": "minimum", "floor": "ceil", "ceil": "floor",
    "left": "right", "right": "left", "sin": "cos", "cos": "sin",
}  # fmt: skip
#: Said to people, or to the type checker: not a matter of arithmetic.
_WORDS = ("Refusal", "Fault", "Wrong", "Trouble", "TypeVar", "cast")


@dataclass(frozen=True, slots=True)
class Break:
    """One change: where it stands, what was there, what comes instead."""

    line: int
    begin: int  # offset in the text
    end: int
    old: str
    new: str

    def applied(self, text: str) -> str:
        """The module with this one place broken."""
        return text[: self.begin] + self.new + text[self.end :]

    def __str__(self) -> str:
        return f"line {self.line}: {' '.join(self.old.split())} → {' '.join(self.new.split())}"


def breaks_in(text: str) -> list[Break]:
    """Every break of a module, in the order of its text; each of them still compiles."""
    found = _Search(text)
    found.visit(ast.parse(text))
    return sorted(found.breaks, key=lambda each: (each.begin, each.end, each.new))


class _Search(ast.NodeVisitor):
    def __init__(self, text: str) -> None:
        self.text = text
        self.breaks: list[Break] = []
        self._lines = [line.encode() for line in text.splitlines(keepends=True)]
        self._starts = [0]
        for line in text.splitlines(keepends=True):
            self._starts.append(self._starts[-1] + len(line))

    def _offset(self, line: int, column: int) -> int:
        return self._starts[line - 1] + len(self._lines[line - 1][:column].decode())

    def _bounds(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return (
            self._offset(node.lineno, node.col_offset),
            self._offset(node.end_lineno, node.end_col_offset),
        )

    def _broken(self, line: int, begin: int, end: int, new: str) -> None:
        each = Break(line, begin, end, self.text[begin:end], new)
        try:
            ast.parse(each.applied(self.text))
        except SyntaxError:
            return
        self.breaks.append(each)

    def _whole(self, node: ast.expr | ast.stmt, new: str) -> None:
        self._broken(node.lineno, *self._bounds(node), new)

    def _between(self, left: ast.expr, right: ast.expr, signs: tuple[str, str]) -> None:
        """A sign that stands between two expressions, perhaps among brackets and line ends."""
        begin, end = self._bounds(left)[1], self._bounds(right)[0]
        gap = re.sub(r"#[^\n]*", lambda remark: " " * len(remark[0]), self.text[begin:end])
        sign = r"\s+".join(map(re.escape, signs[0].split()))
        where = re.search(rf"(?<![\w<>=!*/]){sign}(?![\w<>=!*/])", gap)
        if where:
            line = self.text[: begin + where.start()].count("\n") + 1
            self._broken(line, begin + where.start(), begin + where.end(), signs[1])

    def visit_Compare(self, node: ast.Compare) -> None:
        operands = [node.left, *node.comparators]
        for at, sign in enumerate(node.ops):
            self._between(operands[at], operands[at + 1], _COMPARED[type(sign)])
        self.generic_visit(node)

    def visit_BinOp(self, node: ast.BinOp) -> None:
        words = isinstance(node.left, ast.Constant | ast.JoinedStr) and not isinstance(
            getattr(node.left, "value", None), int | float
        )
        if type(node.op) in _CALCULATED and not words:
            self._between(node.left, node.right, _CALCULATED[type(node.op)])
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        signs = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
        for left, right in zip(node.values, node.values[1:], strict=False):
            self._between(left, right, signs)
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        inner = self.text[slice(*self._bounds(node.operand))]
        if isinstance(node.op, ast.Not | ast.USub | ast.Invert):
            self._whole(node, f" ({inner})")
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self._whole(node, str(not value))
        elif isinstance(value, int | float):
            self._whole(node, repr(value + 1))

    def visit_If(self, node: ast.If) -> None:
        if ast.unparse(node.test) != "TYPE_CHECKING":
            self._turned(node.test)
            self.generic_visit(node)

    def visit_IfExp(self, node: ast.IfExp) -> None:
        self._turned(node.test)
        self.generic_visit(node)

    def visit_comprehension(self, node: ast.comprehension) -> None:
        for test in node.ifs:
            self._turned(test)
        self.generic_visit(node)

    def _turned(self, test: ast.expr) -> None:
        begin, end = self._bounds(test)
        if not isinstance(test, ast.Compare | ast.UnaryOp):  # else its sign is broken anyway
            self._broken(test.lineno, begin, end, f"not ({self.text[begin:end]})")

    def visit_Call(self, node: ast.Call) -> None:
        name = ast.unparse(node.func).rpartition(".")[2]
        if any(name.endswith(each) for each in _WORDS):
            return
        if name in _OPPOSITES and node.func.end_lineno and node.func.end_col_offset:
            end = self._offset(node.func.end_lineno, node.func.end_col_offset)
            self._broken(node.func.end_lineno, end - len(name), end, _OPPOSITES[name])
        self.generic_visit(node)

    def visit_Expr(self, node: ast.Expr) -> None:
        if isinstance(node.value, ast.Constant):
            return  # a docstring
        if isinstance(node.value, ast.Call):
            self._whole(node, "pass")
        self.generic_visit(node)

    def visit_Raise(self, node: ast.Raise) -> None:
        if node.exc is not None:
            self._whole(node, "pass")

    def visit_AugAssign(self, node: ast.AugAssign) -> None:
        self._whole(node, "pass")
        self.visit(node.value)

    def visit_Continue(self, node: ast.Continue) -> None:
        self._whole(node, "pass")

    def visit_Return(self, node: ast.Return) -> None:
        if node.value is not None and not isinstance(node.value, ast.Constant):
            self._whole(node, "return None")
            self.visit(node.value)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self.visit(node.value)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        for default in [*node.args.defaults, *filter(None, node.args.kw_defaults)]:
            self.visit(default)
        for statement in node.body:
            self.visit(statement)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        for statement in node.body:
            self.visit(statement)


def listed(text: str) -> Iterator[str]:
    """The breaks of a module in words, one a line."""
    yield from map(str, breaks_in(text))
