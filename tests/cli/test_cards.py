"""``gddcast pests`` and ``gddcast crops`` as a person types them."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.readers.card_files import load_cards
from gddcast.text.cards.card_json import card_whole
from gddcast.text.cards.card_page import card_page
from gddcast.text.cards.card_template import card_template
from gddcast.text.cards.card_words import heat_both


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words), env={"COLUMNS": "200"})


def test_pests_are_listed_one_a_line() -> None:
    """Key, Latin name, events by how they are dated; cue cards and migrants say so."""
    answer = run("pests")
    assert answer.exit_code == 0
    lines = {line.split()[0]: line for line in answer.stdout.splitlines() if line}
    pests = {key: card for key, card in load_cards().items() if card.group == "pest"}
    assert pests.keys() <= lines.keys()
    for key, card in pests.items():
        assert " ".join(card.latin.split()[:2]) in lines[key]
        assert all(event.key in lines[key] for event in card.events)
        assert ("CUE CARD" in lines[key]) == card.is_cue_card
        assert ("COMES FROM ELSEWHERE" in lines[key]) == bool(card.comes_from_elsewhere)
    assert "date: moths" in lines["squash-vine-borer"]


def test_crops_are_listed_without_pests() -> None:
    answer = run("crops")
    assert answer.exit_code == 0
    assert "squash-vine-borer" not in answer.stdout
    assert "cantaloupe" in answer.stdout


def test_a_search_shows_how_to_tell_look_alikes_apart() -> None:
    """A word that several cards share is a question, not a choice."""
    answer = run("pests", "squash")
    assert "squash-bug " in answer.stdout
    assert "squash-vine-borer " in answer.stdout
    assert "not squash vine borer: " in answer.stdout


@pytest.mark.parametrize("name", [("squash-vine-borer",), ("squash", "vine", "borer")])
def test_a_card_shows_numbers_in_both_units_with_their_method(name: tuple[str, ...]) -> None:
    """The printed unit first; what the source leaves out is said.

    1,000 °F-days above 50 °F: South Dakota State University Extension (2021).
    """
    page = run("pests", *name).stdout
    assert "squash vine borer · Melittia cucurbitae" in page
    assert "● 1,000 °F-days (556 °C-days) from not stated  ← used" in page
    assert "above 50 °F (10 °C) · upper threshold not stated · cut-off not stated" in page
    assert "South Dakota State University Extension, 2021 · seen" in page
    assert "Why this one:" in page
    assert "COMMERCIAL FIGURES" in page
    assert "NOT TO BE CONFUSED WITH" in page
    assert "the label is the law" in page


def test_studies_that_differ_stand_side_by_side() -> None:
    """The two squash-bug studies of nymphs, 27 % apart at 25 °C."""
    page = " ".join(run("pests", "squash-bug").stdout.split())
    assert (
        "at 25 °C: 30.5 (Fargo and Bonjour, 1988), 38.6 (Fielding and Ruesink, 1988), 27 % apart"
        in page
    )
    assert "compiled (may be refitted by the compiler)" in page


def test_every_card_prints_every_number_and_source() -> None:
    """No goal, place or citation of any card is lost on its page."""
    for card in load_cards().values():
        page = " ".join(card_page(card, with_sources=True).split())
        for event in card.events:
            assert f"({event.key}" in page
            for number in event.numbers:
                assert heat_both(number.goal, number.unit) in page
                assert " ".join(number.found_in.split()) in page
        for source in card.sources.values():
            assert " ".join(source.citation.split()) in page


def test_a_crop_is_counted_from_its_sowing() -> None:
    """357 ± 41 °F-days from sowing to early bloom: Soto-Ortiz et al. (2006), Arizona."""
    page = run("crops", "cantaloupe").stdout
    assert "● 357 °F-days (198 °C-days), ± 41 °F-days from sowing  ← used" in page
    assert "field sum from a stage of the crop · found in Arizona" in page


def test_sources_are_printed_in_full_on_request() -> None:
    assert "SOURCES" not in run("pests", "squash-bug").stdout
    assert "\nSOURCES\n" in run("pests", "squash-bug", "--sources").stdout


def test_a_wrong_name_is_refused_with_near_ones() -> None:
    answer = run("pests", "squash-vine-boer")
    assert answer.exit_code == 3
    assert answer.stdout == ""
    assert "Did you mean squash-vine-borer (squash vine borer, Melittia cucurbitae" in answer.stderr


def test_json_gives_every_quantity_its_unit() -> None:
    answer = json.loads(run("pests", "squash-vine-borer", "--json").stdout)
    assert answer["schema"] == "gddcast/pests/1"
    (card,) = answer["items"]
    number = next(event for event in card["events"] if event["key"] == "moths")["numbers"][0]
    assert number["goal"] == {"low": 1000, "high": 1000, "unit": "degF-day"}
    assert number["lower"] == {"value": 50, "unit": "degF"}
    assert number["upper"] == number["starts_from"] == "not stated"


def test_json_of_all_cards_is_json() -> None:
    """Infinity and NaN are no JSON: a threshold ruled out is a word."""

    def refuse(word: str) -> None:
        raise AssertionError(word)

    for group in ("pests", "crops"):
        json.loads(run(group, "--json").stdout, parse_constant=refuse)
    for card in load_cards().values():
        json.loads(json.dumps(card_whole(card)), parse_constant=refuse)


def test_check_names_every_fault_and_exits_3(tmp_path: Path) -> None:
    file = tmp_path / "my-beetle.toml"
    text = card_template("pest").replace("lower = 50 ", "lower = 500 ").replace("hosts", "host", 1)
    file.write_text(text, "utf-8")
    answer = run("pests", "check", str(file))
    assert answer.exit_code == 3
    assert answer.stdout == ""
    assert "it has 3 faults" in answer.stderr
    assert "Did you mean hosts?" in answer.stderr
    assert "500 °F" in answer.stderr


def test_new_card_is_written_once_and_passes_its_check(tmp_path: Path) -> None:
    file = tmp_path / "my-beetle.toml"
    assert run("pests", "new", "-o", str(file)).exit_code == 0
    answer = run("pests", "check", str(file))
    assert (answer.exit_code, answer.stdout) == (
        0,
        f"{file}: no faults. my beetle, 1 event, numbers: 1 from memory.\n",
    )
    file.write_text("mine", "utf-8")
    again = run("pests", "new", "-o", str(file))
    assert again.exit_code == 3
    assert "--force" in again.stderr
    assert file.read_text("utf-8") == "mine"
    assert run("pests", "new", "-o", str(file), "--force").exit_code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["my-beetle.toml"]


def test_own_cards_are_used_with_a_note(tmp_path: Path) -> None:
    (tmp_path / "squash-bug.toml").write_text(card_template("pest"), "utf-8")
    answer = run("pests", "squash-bug", "--cards", str(tmp_path))
    # The name went with the packaged card; the key still finds it.
    assert answer.stdout.startswith("my beetle · ")
    assert "in place of the packaged card" in " ".join(answer.stdout.split())
    assert "squash-bug: your own card" in answer.stderr


def test_help_loads_no_pydantic() -> None:
    """``gddcast --help`` and the help of pests answer without the validators."""
    code = (
        "import sys; from gddcast.cli import main\n"
        "try: main(['pests', '--help'])\n"
        "except SystemExit: pass\n"
        "sys.exit('pydantic' in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
