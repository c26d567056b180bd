"""The page in a real browser: every screen, narrow and wide, by day and by night, by keys alone.

Accessibility is judged by axe-core (Deque), as in tests/pages/test_in_browser.py. The widths: 320
px is the reflow width of WCAG 2.2, 1.4.10; 390 px a phone, 768 px a tablet, 1280 px a desk. Buttons
are 48 px at least: WCAG 2.2, 2.5.5 asks for 44, thumbs in gloves for more.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event, Thread
from time import monotonic, sleep

import pytest
import uvicorn
from axe_playwright_python.base import AxeResults
from axe_playwright_python.sync_playwright import Axe
from click.testing import CliRunner
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from gddcast.cli import main
from gddcast.cli.demo_book import DEMO_TODAY
from gddcast.cli.page_book import PageBook
from gddcast.cli.page_farms import PageFarms
from gddcast.weather.stations import Near, Station
from gddcast.web import working
from gddcast.web.app import page_app
from gddcast.web.farms import farms_app
from gddcast.web.guard import Guard
from gddcast.web.keys import Keys
from gddcast.web.serving import listen, names_of
from tests.browser import chromium
from tests.farms.twelve import TODAY, laid_out, twelve

pytestmark = pytest.mark.browser

SAMPLES = Path(__file__).parents[1] / "samples"
SCREENS = {
    "today": "/", "saw": "/saw?organism=squash-bug&event=eggs&where=row+2", "ahead": "/ahead",
    "why": "/why?organism=squash-vine-borer&event=moths", "card": "/card?organism=squash-bug",
    "beds": "/beds", "seasons": "/seasons", "record": "/record",
    "settings": "/settings", "walked": "/walked", "devices": "/devices",
    "refused": "/saw?organism=unicorn",
}  # fmt: skip
_STATION = Near(
    Station("72530", "Larkhollow <b> Airfield", share=0.98, last=DEMO_TODAY), 12.0, 40.0, ()
)
WIDTHS = (320, 390, 768, 1280)
_AXE = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}
_SMALL = """() => [...document.querySelectorAll(
    'button, .button, input:not([type=hidden]), select')]
  .filter(each => each.checkVisibility() && !each.closest('label.choice')
          && each.getBoundingClientRect().height < 48)
  .map(each => each.outerHTML.slice(0, 120))"""


class Serving:
    """An app in a thread of its own, as the command serves it."""

    def __init__(self, app_of: Callable[[Keys, int], Guard]) -> None:
        self.keys = Keys()
        sockets, port = listen(0)
        self.home = f"http://127.0.0.1:{port}"
        app = app_of(self.keys, port)
        self._server = uvicorn.Server(uvicorn.Config(app, lifespan="off", log_level="critical"))
        self._thread = Thread(target=self._server.run, kwargs={"sockets": sockets}, daemon=True)
        self._thread.start()
        end = monotonic() + 20
        while not self._server.started and monotonic() < end:
            sleep(0.05)

    @property
    def start(self) -> str:
        """The address that opens it."""
        return f"{self.home}/start?key={self.keys.start}"

    def end(self) -> None:
        """Stop, in order."""
        self._server.should_exit = True
        self._thread.join(20)


class Served(Serving):
    """The page of a book."""

    def __init__(self, folder: Path | None, scratch: Path) -> None:
        self.book = PageBook(folder, DEMO_TODAY)
        super().__init__(
            lambda keys, port: page_app(self.book, keys, names_of(port), port, scratch)
        )


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    path = chromium()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def served(demo: Path, tmp_path: Path) -> Iterator[Served]:
    (tmp_path / "scratch").mkdir()
    served = Served(Path(shutil.copytree(demo, tmp_path / "patch")), tmp_path / "scratch")
    yield served
    served.end()


@pytest.fixture(scope="module")
def shown(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One book for all screens that are only looked at, its names as hostile as can be."""
    from gddcast.journal.entries import Sighting, Sowing

    folder = tmp_path_factory.mktemp("shown")
    (folder / "scratch").mkdir()
    served = Served(Path(shutil.copytree(demo, folder / "patch")), folder / "scratch")
    with served.book._book().writing() as pen:
        bed = "<script>document.title='x'</script>\"'><img src=x onerror=\"document.title='x'\">"
        pen.add(Sowing("summer-squash", served.book.day(), bed, "</style><b>", name="W" * 90))
        pen.add(Sighting("squash-bug", "eggs", served.book.day(), where=bed, note="{{ 7 * 7 }}"))
    yield served
    served.end()


def _let_in(browser: Browser, served: Serving, **how: object) -> tuple[BrowserContext, Page]:
    context = browser.new_context(**how)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(served.start)
    assert page.url == f"{served.home}/"
    return context, page


def _for_everybody(page: Page, name: str) -> None:
    """No fault axe knows, no sideways scroll, no small target, at every width."""
    page.evaluate(Axe().axe_script)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        where = f"{name} at {width} px"
        found = AxeResults(page.evaluate("options => axe.run(options)", _AXE))
        assert not found.violations_count, f"{where}: {found.generate_report()}"
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where
        assert page.evaluate(_SMALL) == [], where


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_screen_is_for_everybody(browser: Browser, shown: Served, scheme: str) -> None:
    """No fault axe knows, no sideways scroll, no small target, nothing fetched from elsewhere."""
    context, page = _let_in(browser, shown, color_scheme=scheme)
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    for name, path in SCREENS.items():
        page.goto(shown.home + path)
        assert page.title() != "x", name
        _for_everybody(page, f"{name}, {scheme}")
    assert all(each.startswith(shown.home) for each in asked)
    assert [each for each in said if "422" not in each] == []
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_farms_are_for_everybody(browser: Browser, tmp_path: Path, scheme: str) -> None:
    """Twelve farms, five broken: the map, the table and the lists of what is wrong."""
    farms = PageFarms(laid_out(twelve(tmp_path / "twelve")), TODAY)
    serving = Serving(lambda keys, port: farms_app(farms, keys, names_of(port), port))
    context, page = _let_in(browser, serving, color_scheme=scheme)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    screens = {"farms": "/", "farm": "/farm?name=Ashby+Ridge", "refused": "/farm?name=Larch+Page"}
    for name, path in screens.items():
        page.goto(serving.home + path)
        _for_everybody(page, f"{name}, {scheme}")
    assert [each for each in said if "422" not in each] == []
    page.goto(f"{serving.home}/")
    page.get_by_role("link", name="Gull Point").click()
    assert "Gull Point" in page.title()
    page.get_by_role("link", name="Its season’s report").click()
    expect(page).to_have_title("Gull Point, Thu 11 June 2026")
    context.close()
    serving.end()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_what_a_form_leads_to_is_for_everybody(
    browser: Browser, shown: Served, scheme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that asks, one that cannot be read, one judged; faults; stations; joining, set-up."""
    context, page = _let_in(browser, shown, color_scheme=scheme)
    for file in ("02_celsius_no_unit.csv", "garden.png", "larkhollow_2014_2026_f.csv"):
        page.goto(f"{shown.home}/record")
        content = (SAMPLES / file).read_bytes() if file.endswith("csv") else b"\x89PNG\r\n\x1a\n"
        page.set_input_files("#file", {"name": file, "mimeType": "", "buffer": content})
        page.click("text=Look at it")
        _for_everybody(page, f"{file}, {scheme}")
    page.goto(f"{shown.home}/record")
    page.fill("#low", "90")
    page.fill("#high", "20")
    page.click("text=Note it")
    _for_everybody(page, f"a reading refused, {scheme}")
    page.goto(f"{shown.home}/walked")
    page.fill("#rows", "pest,saw\nunicorn,no\n")
    page.click("text=Log them")
    _for_everybody(page, f"rows refused, {scheme}")
    page.goto(f"{shown.home}/settings")
    page.fill("#timezone", "Nowhere")
    page.click("text=Change it")
    _for_everybody(page, f"settings refused, {scheme}")
    page.goto(f"{shown.home}/record")
    page.click("li:has-text('Weather from weather.csv') >> text=Undo")
    _for_everybody(page, f"an undo asked about, {scheme}")
    page.goto(f"{shown.home}/join?code=x")
    _for_everybody(page, f"join, {scheme}")
    monkeypatch.setattr(PageBook, "stations", lambda _: (_STATION,))
    page.goto(f"{shown.home}/record")
    page.click("text=Look for stations near here")
    _for_everybody(page, f"stations, {scheme}")
    monkeypatch.setattr(PageBook, "stations", lambda _: sleep(3))
    monkeypatch.setattr(working, "SOON", 0.01)
    monkeypatch.setattr(working, "AGAIN", 60)
    page.goto(f"{shown.home}/record")
    page.click("text=Look for stations near here")
    _for_everybody(page, f"a fetch under way, {scheme}")
    context.close()


def test_a_find_by_keys_alone(browser: Browser, served: Served) -> None:
    """Tab, type, Enter: from Today to an entry and back."""
    context, page = _let_in(browser, served)
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent.trim()") == "Saw it":
            break
    ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert ring == "solid"
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert "/saw?" in page.url
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent.trim()") == "Log it":
            break
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert "Logged:" in page.inner_text("main")
    assert served.book.journal().sightings[-1].kind == "saw"
    context.close()


def _tab_to(page: Page, says: str) -> None:
    """Press Tab until what has the focus says so, or is called so."""
    for _ in range(250):
        page.keyboard.press("Tab")
        if says in page.evaluate(
            "[document.activeElement.textContent.trim(), document.activeElement.id]"
        ):
            return
    raise AssertionError(f"no Tab leads to {says} on {page.url}")


def _press(page: Page, says: str) -> str:
    """Tab to a button, Enter; what the next screen says."""
    _tab_to(page, says)
    with page.expect_navigation():
        page.keyboard.press("Enter")
    return page.inner_text("main")


def test_forms_by_keys_alone(
    browser: Browser, served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The place, rows of a copy, a file's question, stations, a find out of reach, joining."""
    context, page = _let_in(browser, served)
    page.goto(f"{served.home}/settings")
    _tab_to(page, "hour")
    page.keyboard.type("7")
    assert "Changed: hour of reading." in _press(page, "Change it")
    page.goto(f"{served.home}/walked")
    _tab_to(page, "rows")
    page.keyboard.type("pest,bed,day,saw\nsquash-bug,row 9,2026-06-11,no\n")
    assert "1 clean look. " in _press(page, "Log them")
    page.goto(f"{served.home}/record")
    page.set_input_files("#file", SAMPLES / "02_celsius_no_unit.csv")
    _press(page, "Look at it")
    page.focus("input[name=unit]:checked")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowDown")
    assert "Weather record:" in _press(page, "Read it so")
    assert "[entry " in _press(page, "Keep it")
    monkeypatch.setattr(PageBook, "stations", lambda _: (_STATION,))
    assert "Whose weather is like yours?" in _press(page, "Look for stations near here")
    _tab_to(page, "Fetch it")
    page.goto(served.home)
    _loaded_forms(page)
    context.set_offline(True)
    _tab_to(page, "Saw it")
    page.keyboard.press("Enter")
    page.wait_for_selector(".pest > form[action='/saw']")
    assert page.evaluate("document.activeElement.name") == "event"
    _tab_to(page, "Log it")
    page.keyboard.press("Enter")
    page.wait_for_selector("#taps:has-text('kept on this device: 1')")
    assert page.evaluate("document.activeElement.textContent") == "Saw it"
    context.set_offline(False)
    other = browser.new_context()
    phone = other.new_page()
    code = served.keys.code("phone", writes=False).text
    phone.goto(f"{served.home}/join?code={code}")
    assert "Thursday 11 June" in _press(phone, "Open it here")
    assert phone.locator("form[method=post], a[href^='/saw']").count() == 0
    other.close()
    context.close()


def test_forms_without_scripts(
    browser: Browser, served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same, and a fetch that takes long: its screen looks again by itself."""
    context, page = _let_in(browser, served, java_script_enabled=False)
    page.goto(f"{served.home}/settings")
    page.fill("#hour", "7")
    page.click("text=Change it")
    assert "Changed: hour of reading." in page.inner_text("main")
    page.goto(f"{served.home}/walked")
    page.fill("#rows", "pest,bed,day,saw\nsquash-bug,row 9,2026-06-11,no\n")
    page.click("text=Log them")
    assert "1 clean look. " in page.inner_text("main")
    may_end = Event()

    def stations(_: PageBook) -> tuple[Near, ...]:
        may_end.wait(30)
        return (_STATION,)

    monkeypatch.setattr(PageBook, "stations", stations)
    monkeypatch.setattr(working, "SOON", 0.05)
    monkeypatch.setattr(working, "AGAIN", 1)
    page.goto(f"{served.home}/record")
    page.click("text=Look for stations near here")
    assert "It is being fetched" in page.inner_text("main")
    may_end.set()
    page.wait_for_selector("text=Whose weather is like yours?")
    page.goto(f"{served.home}/record")
    page.click("li:has-text('Weather from weather.csv') >> text=Undo")
    assert "4,524 days of weather" in page.inner_text("main")
    page.click("text=Undo all of it >> nth=-1")
    assert "Withdrawn: weather from weather.csv" in page.inner_text("main")
    page.click("text=Take it back >> nth=0")
    assert "Back again: weather from weather.csv" in page.inner_text("main")
    page.goto(f"{served.home}/join?code={served.keys.code('phone', writes=False).text}")
    page.click("text=Open it here")
    assert page.url == f"{served.home}/"
    context.close()


def test_the_whole_job_without_scripts(browser: Browser, served: Served) -> None:
    """Bring a messy file, answer it, note a reading, look, find, undo, print: plain forms do."""
    context, page = _let_in(browser, served, java_script_enabled=False)
    page.goto(f"{served.home}/record")
    page.set_input_files("#file", SAMPLES / "02_celsius_no_unit.csv")
    page.click("text=Look at it")
    page.check("input[name=unit][value=C]")
    page.click("form:has(fieldset) >> text=Read it so")
    page.click("text=Keep it")
    assert page.url.startswith(f"{served.home}/record?said=")
    page.fill("#low", "48")
    page.fill("#high", "81")
    page.click("text=Note it")
    page.click("nav >> text=Today")
    looks = len(served.book.journal().sightings)
    page.click("button:has-text('Looked, none') >> nth=0")
    assert len(served.book.journal().sightings) == looks + 1
    page.click("text=Undo")
    assert len(served.book.journal().sightings) == looks
    page.click("text=Saw it >> nth=0")
    page.click("text=Log it")
    assert "Logged:" in page.content() or "It is so" in page.content()
    page.goto(f"{served.home}/sheet")
    colour = page.locator("h1").first
    assert colour.is_visible()
    context.close()


def test_a_page_of_a_stranger_gets_nothing(
    browser: Browser, served: Served, tmp_path: Path
) -> None:
    """A form, a frame and a script of another origin, in a browser that was let in."""
    context, page = _let_in(browser, served)
    looks = len(served.book.journal().sightings)
    answer = page.request.get(f"{served.home}/")
    assert answer.status == 200
    evil = tmp_path / "evil.html"
    evil.write_text(
        f'<form method="post" action="{served.home}/looked"><input name="organism" '
        f'value="squash-bug"></form><iframe src="{served.home}/"></iframe>'
        f'<script>fetch("{served.home}/").then(() => document.title = "read")'
        '.catch(() => document.title = "kept out")</script>',
        encoding="utf-8",
    )
    page.goto(evil.as_uri())
    page.wait_for_function("document.title")
    assert page.title() == "kept out"
    with page.expect_navigation():
        page.evaluate("document.forms[0].submit()")
    assert "not of this page" in page.content()
    assert len(served.book.journal().sightings) == looks
    context.close()


def test_taps_out_of_reach_are_kept_and_sent_once(browser: Browser, served: Served) -> None:
    """In the garden: two taps while nobody answers, then one entry each, in order."""
    context, page = _let_in(browser, served)
    looks = served.book.journal().sightings
    context.set_offline(True)
    page.click("button:has-text('Looked, none') >> nth=0")
    page.click("button:has-text('Looked, none') >> nth=1")
    page.wait_for_selector("#taps:has-text('kept on this device: 2')")
    assert served.book.journal().sightings == looks
    _in_reach_again(context, page)
    placed = served.book.journal().sightings[len(looks) :]
    assert [each.kind for each in placed] == ["none", "none"]
    assert all(each.seen_on == DEMO_TODAY for each in placed)
    assert page.locator(".pest .notice").count() == 2
    with page.expect_navigation():
        page.click(".pest .notice >> text=Undo >> nth=0")
    assert len(served.book.journal().sightings) == len(looks) + 1
    context.close()


def _in_reach_again(context: BrowserContext, page: Page) -> None:
    context.set_offline(False)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_selector("#taps", state="hidden")


def _loaded_forms(page: Page) -> None:
    """Wait until the form of every find is there to be opened out of reach."""
    page.wait_for_load_state("networkidle")


def test_a_find_out_of_reach_is_kept_with_its_own_day(browser: Browser, served: Served) -> None:
    """The whole form opens without the kitchen; a look before it keeps its turn."""
    context, page = _let_in(browser, served)
    before = served.book.journal()
    _loaded_forms(page)
    context.set_offline(True)
    page.click("button:has-text('Looked, none') >> nth=1")
    page.get_by_label("Saw it: Squash bug, row 2").click()
    form = page.locator(".pest > form[action='/saw']")
    form.locator("[name=seen]").fill("2026-06-09")
    form.locator("[name=event]").select_option("eggs")
    form.locator("[name=with]").fill("3")
    form.locator("[name=looked]").fill("10")
    form.locator("text=Log it").click()
    page.wait_for_selector("#taps:has-text('kept on this device: 2')")
    assert "Squash bug seen, first egg masses, row 2, 2026-06-09" in page.inner_text("#taps")
    assert form.count() == 0
    _in_reach_again(context, page)
    look, find = served.book.journal().sightings[len(before.sightings) :]
    assert (look.kind, look.seen_on) == ("none", DEMO_TODAY)
    assert (find.organism, find.event, find.where) == ("squash-bug", "eggs", "row 2")
    assert (find.seen_on.isoformat(), find.plants_with) == ("2026-06-09", 3)
    assert "Logged:" in page.inner_text(".pest >> nth=1")
    context.close()


def test_a_find_opened_in_reach_and_sent_out_of_it(browser: Browser, served: Served) -> None:
    """What was typed is kept; back in reach this screen, or Today, sends it once."""
    context, page = _let_in(browser, served)
    finds = len(served.book.journal().sightings)
    page.goto(f"{served.home}/saw?organism=cabbage-maggot&event=flies&where=kale")
    context.set_offline(True)
    page.fill("#note", "dusk, \u201cmany\u201d <b>")
    page.click("text=Log it")
    page.wait_for_selector("#taps:has-text('Cabbage maggot seen')")
    assert len(served.book.journal().sightings) == finds
    context.set_offline(False)
    page.goto(f"{served.home}/")
    page.wait_for_selector("#taps", state="hidden")
    assert served.book.journal().sightings[-1].note == "dusk, \u201cmany\u201d <b>"
    assert len(served.book.journal().sightings) == finds + 1
    context.close()


def test_what_cannot_be_placed_is_shown(browser: Browser, served: Served) -> None:
    """A find that may be a slip, and a pest nobody knows, wait for their person."""
    context, page = _let_in(browser, served)
    page.evaluate(
        """() => localStorage.setItem(`taps of ${document.getElementById("screen").dataset.book}`,
        JSON.stringify([
          {id: "a", fields: [["organism", "unicorn"], ["seen", "2026-06-10"]],
           said: "Looked, none: unicorn", day: "2026-06-10", at: ""},
          {id: "b", fields: [["organism", "squash-vine-borer"], ["event", "moths"],
           ["seen", "2026-05-25"]], said: "Moths", day: "2026-05-25", at: ""}]))"""
    )
    page.reload()
    page.wait_for_selector("#taps:has-text('Not placed: Looked, none: unicorn, 2026-06-10.')")
    page.get_by_label("Forget it: Looked, none: unicorn, 2026-06-10").click()
    page.wait_for_selector("#taps:has-text('before the fastest past year')")
    page.click("text=It is so: log it")
    page.wait_for_selector("#taps", state="hidden")
    assert served.book.journal().sightings[-1].seen_on.isoformat() == "2026-05-25"
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_saved_copy_gives_its_answers_back(
    browser: Browser, served: Served, tmp_path: Path, scheme: str
) -> None:
    """A file without any network: answered, read by the page and by the command alike."""
    context, page = _let_in(browser, served, color_scheme=scheme)
    before = served.book.journal().sightings
    with page.expect_download() as download:
        page.click("text=A copy of today")
    copy = tmp_path / download.value.suggested_filename
    download.value.save_as(copy)
    assert copy.name == "brackenrise-patch-2026-06-11.html"
    context.set_offline(True)
    page.goto(copy.as_uri())
    asked: list[str] = []  # by the copy, which is loaded once more below; not by Today, as it goes
    page.on("request", lambda request: asked.append(request.url))
    first, second = (page.locator("form[data-pest]").nth(at) for at in (1, 2))
    first.get_by_label("Saw it").check()
    first.get_by_label("What you saw").select_option("eggs")
    first.get_by_label("Plants with it").fill("3")
    assert "To be mended: Squash bug, row 2." in page.inner_text("#kept")
    assert not page.is_visible("#save")
    first.get_by_label("Plants looked at").fill("10")
    first.get_by_label("Note").fill('=1+1, "many"')
    second.get_by_label("Looked, none").check()
    _for_everybody(page, "copy")
    page.reload()
    assert "2 of 5 answered." in page.inner_text("#kept")
    rows = page.input_value("#rows")
    with page.expect_download() as download:
        page.click("#save")
    table = tmp_path / "answers.csv"
    download.value.save_as(table)
    assert table.read_bytes() == rows.encode()
    assert copy.as_uri() in asked
    assert [each for each in asked if not each.startswith(("file:", "data:", "blob:"))] == []

    context.set_offline(False)
    page.goto(f"{served.home}/walked")
    page.fill("#rows", rows.replace("eggs", "wings"))
    page.click("text=Log them")
    assert 'found stage "wings"' in page.inner_text(".fault")
    assert served.book.journal().sightings == before
    page.goto(f"{served.home}/walked")
    page.set_input_files("#file", table)
    page.click("text=Log them")
    assert "Logged: 1 find, 1 clean look." in page.inner_text("main")
    find, look = served.book.journal().sightings[len(before) :]
    assert (find.event, find.plants_with, find.note) == ("eggs", 3, '=1+1, "many"')
    assert look.kind == "none"
    page.click("text=Undo")
    assert served.book.journal().sightings == before
    run = CliRunner().invoke(
        main, ["saw", "--from", str(table), "--book", str(served.book.folder), "--on", "2026-06-11"]
    )
    assert run.exit_code == 0, run.stderr
    assert len(served.book.journal().sightings) == len(before) + 2
    context.close()


def test_a_place_is_made_in_the_page(
    browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No book yet: one form, then a reading; nobody needs a terminal again."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "scratch").mkdir()
    served = Served(None, tmp_path / "scratch")
    context = browser.new_context(
        geolocation={"latitude": 41.234, "longitude": -89.4}, permissions=["geolocation"]
    )
    page = context.new_page()
    page.goto(served.start)
    assert page.url == f"{served.home}/setup"
    _for_everybody(page, "set-up")
    page.emulate_media(color_scheme="dark")
    _for_everybody(page, "set-up by night")
    assert page.input_value("#spot") == "unknown"  # an unasked "open shade" silences a warning
    page.fill("#name", "Garden <b>")
    page.click("#here")
    page.wait_for_function("document.getElementById('at').value")
    assert page.input_value("#at") == "41.23, -89.40"
    page.fill("#timezone", "America/Chicago")
    page.check("input[value=kale]")
    with page.expect_navigation():
        page.click("text=Make the book")
    assert page.url.startswith(f"{served.home}/record?said=")
    assert "Made the season book of Garden <b>" in page.inner_text("main")
    book = served.book._book().book
    assert (book.place.latitude, book.place.timezone) == (41.23, "America/Chicago")
    assert book.settings.grow == ("kale",)
    page.goto(f"{served.home}/setup")
    assert page.url == f"{served.home}/record"
    context.close()
    served.end()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_class_s_screens_are_for_everybody(browser: Browser, scheme: str) -> None:
    """The same battery; a slider and its typed twin say the same."""
    from gddcast.readers.card_files import load_cards
    from gddcast.web.classroom import class_app

    sockets, port = listen(0)
    app = class_app(load_cards(), names_of(port), port)
    server = uvicorn.Server(uvicorn.Config(app, lifespan="off", log_level="critical"))
    thread = Thread(target=server.run, kwargs={"sockets": sockets}, daemon=True)
    thread.start()
    page = browser.new_page(color_scheme=scheme)
    for path in (
        "/",
        "/cards",
        "/card?organism=squash-vine-borer",
        "/day?high=95&low=70&lower=50&upper=86",
    ):
        page.goto(f"http://127.0.0.1:{port}{path}")
        page.evaluate(Axe().axe_script)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 800})
            found = AxeResults(page.evaluate("options => axe.run(options)", _AXE))
            assert not found.violations_count, f"{path}: {found.generate_report()}"
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.goto(f"http://127.0.0.1:{port}/")
    page.locator("#high + input").fill("90")
    assert page.input_value("#high") == "90"
    page.fill("#high", "81")
    assert page.locator("#high + input").input_value() == "81"
    with page.expect_navigation():
        page.click("text=Step by step")
    assert "81" in page.inner_text("main")
    page.goto(f"http://127.0.0.1:{port}/card?organism=squash-vine-borer")
    page.locator("#high + input").fill("94")
    page.wait_for_selector("#tried:has-text('27.5 °F-days')")
    page.close()
    server.should_exit = True
    thread.join(20)
