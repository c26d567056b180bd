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
from gddcast.text.terminal import Terminal


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words), env={"COLUMNS": "200"})


@pytest.mark.parametrize("columns", ["60", "92"])
def test_pests_are_listed_one_a_line(columns: str) -> None:
    """The whole key, what it is looked for on; cue cards and migrants are marked."""
    answer = CliRunner().invoke(main, ["pests"], env={"COLUMNS": columns})
    assert answer.exit_code == 0
    lines = answer.stdout.splitlines()
    pests = [card for card in load_cards().values() if card.group == "pest"]
    assert len(lines) == len(pests) + 4  # what the columns are, a gap, what marks are, the next
    for card in pests:
        (row,) = (line for line in lines[1:-3] if f" {card.key} " in f" {line} ")
        assert card.hosts[0][:20].split()[0] in row
        marks = row[lines[0].index("key") :].removeprefix(card.key).split()[0]
        assert ("*" in marks) == card.is_cue_card
        assert (">" in marks) == bool(card.comes_from_elsewhere)
    assert "no heat sum" in lines[-2]


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
    page = run("pests", *name, "--all").stdout
    assert "squash vine borer · Melittia cucurbitae" in page
    assert "● 1,000 °F-days (556 °C-days), start not stated  ← used" in page
    assert "above 50 °F (10 °C) · upper threshold not stated · cut-off not stated" in page
    assert "South Dakota State University Extension, 2021 · seen" in page
    assert "Why this one:" in page
    assert "COMMERCIAL FIGURES" in page
    assert "NOT TO BE CONFUSED WITH" in page
    assert "the label is the law" in page


def test_studies_that_differ_stand_side_by_side() -> None:
    """The two squash-bug studies of nymphs, 27 % apart at 25 °C."""
    page = " ".join(run("pests", "squash-bug", "--all").stdout.split())
    assert (
        "at 25 °C: 30.5 (Fargo and Bonjour, 1988), 38.6 (Fielding and Ruesink, 1988), 27 % apart"
        in page
    )
    assert "compiled (may be refitted by the compiler)" in page


def test_every_card_prints_every_number_and_source() -> None:
    """No goal, place or citation of any card is lost on its page."""
    for card in load_cards().values():
        page = " ".join(card_page(card, whole=True, with_sources=True).split())
        for event in card.events:
            assert f"({event.key}" in page
            for number in event.numbers:
                assert heat_both(number.goal, number.unit) in page
                assert " ".join(number.found_in.split()) in page
        for source in card.sources.values():
            assert " ".join(source.citation.split()) in page


def test_a_card_begins_with_the_numbers_used_and_counts_what_it_folds() -> None:
    """At most 25 lines of an ordinary screen, whatever the card; nothing of it is lost by --all."""
    for card in load_cards().values():
        page = card_page(card, terminal=Terminal.of(92))
        flat = " ".join(page.split())
        assert len(page.split("\n")) <= 25, card.key
        assert f"gddcast {card.group}s {card.key} --all" in flat
        used = next((event.default for event in card.events if event.default), None)
        if used is not None and not any(event.days for event in card.events):
            assert heat_both(used.goal, used.unit) in " ".join(page.split("\n")[1:3])
    page = " ".join(run("pests", "squash-vine-borer").stdout.split())
    assert (
        "● first moths: 1,000 °F-days (556 °C-days) above 50 °F (10 °C), start not stated" in page
    )
    assert (
        "Folded: 1 number, 1 stage, 2 signs, 3 commercial figures, 3 look-alikes, 9 notes, "
        "9 sources and methods: gddcast pests squash-vine-borer --all"
    ) in page
    assert "Mistaken for squash bug; paper wasp; bacterial wilt Folded" in page
    (borer,) = (card for card in load_cards().values() if card.key == "squash-vine-borer")
    assert sum(len(event.numbers) for event in borer.events) == page.count("°C-days)") + 1
    assert len(borer.sources) == 9
    assert len(borer.look_alikes) == 3


def test_a_crop_is_counted_from_its_sowing() -> None:
    """357 ± 41 °F-days from sowing to early bloom: Soto-Ortiz et al. (2006), Arizona."""
    page = run("crops", "cantaloupe", "--all").stdout
    assert "● 357 °F-days (198 °C-days), ± 41 °F-days from sowing  ← used" in page
    assert "field sum from a stage of the crop · found in Arizona" in page


def test_what_is_not_known_and_what_to_make_of_disagreement_is_said() -> None:
    page = " ".join(run("pests", "melon-aphid", "--all", "--sources").stdout.split())
    assert "Not known how often" in page
    assert "Which of them Five to eight days at 20 °C" in page
    assert "Not found: address." in page
    page = " ".join(run("pests", "colorado-potato-beetle", "--all").stdout.split())
    assert "44° 44′ N · what counts as day not stated: only told" in page


def test_sources_are_printed_in_full_on_request() -> None:
    assert "SOURCES" not in run("pests", "squash-bug").stdout
    assert "\nSOURCES\n" in run("pests", "squash-bug", "--sources").stdout


def test_a_wrong_name_is_refused_with_near_ones() -> None:
    answer = run("pests", "squash-vine-boer")
    assert answer.exit_code == 3
    assert answer.stdout == ""
    assert "Did you mean squash-vine-borer (squash vine borer, Melittia cucurbitae" in answer.stderr
    other = run("pests", "bean", "aphid")
    assert (other.exit_code, other.stdout) == (3, "")
    assert "Near in spelling, but no more: soybean-aphid" in other.stderr


@pytest.mark.parametrize(("words", "title"), [("hornworm", "hornworms · "), ("pea aphid", "pea ")])
def test_a_name_opens_its_own_card(words: str, title: str) -> None:
    assert run("pests", *words.split()).stdout.startswith(title)


def test_a_name_that_several_share_lists_them_and_says_so() -> None:
    shown = run("pests", "flea", "beetle").stdout
    assert shown.startswith('No one pest is called "flea beetle". In names and plants of:\n')
    for key in ("crucifer-flea-beetle", "eggplant-flea-beetle", "potato-flea-beetle"):
        assert key in shown
    assert "No one pest is called" not in run("pests").stdout


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
    whole = run("pests", "squash-bug", "--all", "--cards", str(tmp_path)).stdout
    assert "in place of the packaged card" in " ".join(whole.split())
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
