"""Answers for programs keep to their schemas in ``data/schemas``."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from gddcast.cli import main
from tests.real_records import SAMPLES

SCHEMAS = Path(__file__).parents[2] / "data" / "schemas"
LARK = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")


@pytest.mark.parametrize(
    ("name", "arguments", "code"),
    [
        ("ahead", ["ahead", LARK, "--on", "2026-06-11"], 0),
        ("ahead", ["ahead", LARK, "--on", "2026-06-11", "--since", "2026-06-01"], 0),
        ("ahead", ["ahead", str(SAMPLES / "11_gap_14_days.csv"), "--on", "2026-06-11"], 0),
        ("why", ["why", LARK, "squash-vine-borer", "--on", "2026-06-11"], 0),
        ("heat", ["heat", LARK, "--lower", "50F"], 0),
        (
            "sow-plan",
            [
                "sow",
                "plan",
                LARK,
                "--crop",
                "summer squash",
                "--sown",
                "2026-05-20",
                "--sown",
                "2026-09-20",
                "--on",
                "2026-06-11",
            ],
            0,
        ),
        (
            "sow-plan",
            ["sow", "plan", LARK, "--crop", "tomato", "--sown", "2026-05-20", "--on", "2026-06-11"],
            0,
        ),
        ("sow-last", ["sow", "last", LARK, "--crop", "cucumber", "--on", "2026-06-11"], 0),
        (
            "sow-last",
            ["sow", "last", LARK, "--crop", "cantaloupe", "--frost", "-40F", "--on", "2026-06-11"],
            0,
        ),
        ("seasons", ["seasons", LARK, "--on", "2026-06-11"], 0),
        ("seasons", ["seasons", LARK, "--pest", "squash-vine-borer", "--on", "2026-06-11"], 0),
        ("sow-first", ["sow", "first", LARK, "--on", "2026-06-11"], 0),
        ("backtest", ["backtest", LARK, "--pests", "squash-vine-borer"], 0),
        ("refusal", ["heat", str(SAMPLES / "02_celsius_no_unit.csv"), "--lower", "50F"], 3),
    ],
)
def test_answer_keeps_to_its_schema(name: str, arguments: list[str], code: int) -> None:
    """One object on stdout, whatever happened."""
    result = CliRunner().invoke(main, [*arguments, "--json"])
    assert result.exit_code == code, result.output
    schema = json.loads((SCHEMAS / f"{name}.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(result.stdout), schema)


def test_a_backtest_says_nothing_beside_its_schema() -> None:
    """What a schema does not name is refused, at the top and within."""
    words = ["backtest", LARK, "--pests", "squash-vine-borer", "--on", "2026-06-11", "--json"]
    answer = json.loads(CliRunner().invoke(main, words).stdout)
    schema = json.loads((SCHEMAS / "backtest.json").read_text(encoding="utf-8"))
    answer["leads"][0]["hits"] = 3
    with pytest.raises(jsonschema.ValidationError, match="hits"):
        jsonschema.validate(answer, schema)
    del answer["leads"][0]["hits"], answer["leads"][0]["held_interval"]
    with pytest.raises(jsonschema.ValidationError, match="held_interval"):
        jsonschema.validate(answer, schema)


def test_schemas_can_fail() -> None:
    """An answer without its dots is not an answer."""
    result = CliRunner().invoke(main, ["ahead", LARK, "--on", "2026-06-11", "--json"])
    answer = json.loads(result.stdout)
    dated = next(item for item in answer["items"] if item["sum_reached"])
    del dated["sum_reached"]["high_end"]["year_dots"]
    schema = json.loads((SCHEMAS / "ahead.json").read_text(encoding="utf-8"))
    with pytest.raises(jsonschema.ValidationError, match="year_dots"):
        jsonschema.validate(answer, schema)
