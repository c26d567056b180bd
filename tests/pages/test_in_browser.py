"""Every page of ours in a real browser: phone, narrow phone, desk and paper.

Accessibility is judged by axe-core (Deque), the rule set of WCAG 2.2 A and AA with its best
practices, as carried by the package axe-playwright-python. The widths: 320 px is the reflow width
of WCAG 2.2, 1.4.10; 360 by 640 px a small phone; 703 px what is left of A4 between 12 mm margins.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.base import AxeResults
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser import chromium
from tests.pages.every_page import PAGES, make_inputs, make_page

pytestmark = pytest.mark.browser

#: Name, width, height, medium.
VIEWS = {
    "320 px": (320, 640, "screen"),
    "phone": (360, 640, "screen"),
    "tablet, dark": (768, 1024, "dark"),
    "phone, dark": (390, 844, "dark"),
    "desk": (1280, 900, "screen"),
    "paper": (703, 1000, "print"),
}
# Everything axe knows, with target sizes (WCAG 2.2, 2.5.8), which it leaves off by itself.
_AXE = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}
# Colours of words in base.css, whose contrast test_report computes; the sheet is black.
_BY_DAY = {"rgb(0, 0, 0)", "rgb(23, 24, 26)", "rgb(91, 89, 82)", "rgb(11, 85, 102)",
           "rgb(166, 63, 0)", "rgb(0, 107, 78)"}  # fmt: skip
_BY_NIGHT = {"rgb(237, 234, 227)", "rgb(174, 171, 163)", "rgb(127, 196, 214)",
             "rgb(240, 151, 92)", "rgb(92, 199, 160)", "rgb(0, 0, 0)"}  # fmt: skip
_ON_PAPER = {"rgb(0, 0, 0)", "rgb(51, 51, 51)", "rgb(0, 70, 90)", "rgb(166, 63, 0)",
             "rgb(0, 107, 78)"}  # fmt: skip
_TEXT_COLOURS = {"dark": _BY_NIGHT, "print": _ON_PAPER}
_TEXTS = """() => {
  const found = new Set();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const holder = texts.currentNode.parentElement;
    if (!texts.currentNode.data.trim() || holder.closest('title, desc, style')) continue;
    const style = getComputedStyle(holder);
    found.add(holder.closest('svg') ? style.fill : style.color);
  }
  return [...found];
}"""
_HIDDEN = """() => [...document.querySelectorAll('main *')]
  .filter(each => !each.closest('svg, nav, .skip, .on-screen, .screen-only')
          && each.textContent.trim() && !each.checkVisibility())
  .map(each => each.outerHTML.slice(0, 120))"""
_WIDE = """() => [...document.querySelectorAll('body *')]
  .filter(each => !each.closest('.wide, svg, .skip, .hidden, thead, .side')
          && each.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
  .map(each => each.outerHTML.slice(0, 120))"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all pages."""
    path = chromium()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The inputs of all pages, and the pages once they are made."""
    folder = tmp_path_factory.mktemp("pages")
    make_inputs(folder)
    return folder


class Opened:
    """A page in the browser, every address it asked for, and axe beside it."""

    def __init__(self, browser: Browser, file: Path) -> None:
        self.file = file
        self.asked: list[str] = []
        self.page = browser.new_page()
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(file.as_uri())
        self.ran = (
            self.page.evaluate(
                "[...document.querySelectorAll('*')].flatMap(each => each.getAttributeNames())"
                ".filter(name => name.startsWith('on'))"
            )
            or self.page.locator("script").count()
        )
        self.page.evaluate(Axe().axe_script)

    def in_view(self, view: str) -> Page:
        """The page as wide as that, on that medium."""
        width, height, medium = VIEWS[view]
        self.page.emulate_media(
            media="print" if medium == "print" else "screen",
            color_scheme="dark" if medium == "dark" else "light",
        )
        self.page.set_viewport_size({"width": width, "height": height})
        return self.page

    def faults(self) -> str:
        """What axe finds; empty where there is nothing."""
        found = AxeResults(self.page.evaluate("options => axe.run(options)", _AXE))
        return found.generate_report() if found.violations_count else ""


@pytest.fixture(params=PAGES, scope="module")
def opened(request: pytest.FixtureRequest, browser: Browser, folder: Path) -> Iterator[Opened]:
    """One page after another, each opened once."""
    opened = Opened(browser, make_page(request.param, folder))
    yield opened
    opened.page.close()


@pytest.mark.parametrize("view", VIEWS)
def test_a_page_is_readable_by_everybody(opened: Opened, view: str) -> None:
    """No fault axe knows, no sideways scroll, nothing fetched, nothing run, text black or blue."""
    page = opened.in_view(view)
    assert opened.faults() == ""
    assert page.evaluate(_WIDE) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert opened.asked == [opened.file.as_uri()]
    assert not opened.ran
    assert set(page.evaluate(_TEXTS)) <= _TEXT_COLOURS.get(VIEWS[view][2], _BY_DAY)
    if view == "paper":
        assert page.evaluate(_HIDDEN) == []


_FIRST_SCREEN = """() => [...document.querySelectorAll('h1, .known, .to-do, .due li h3')]
  .filter(each => !each.closest('.fold'))
  .map(each => [each.className || each.tagName, each.innerText,
                each.getBoundingClientRect().bottom])"""
_READS = """() => [...document.querySelectorAll('main *')]
  .filter(each => !each.closest('svg') && each.checkVisibility()
          && [...each.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
  .map(each => parseFloat(getComputedStyle(each).fontSize))"""


@pytest.mark.parametrize(
    "opened",
    [name for name, words in PAGES.items() if words[0] == "report" and "--year" not in words],
    indirect=True,
)
def test_the_first_screen_of_a_phone_says_what_to_look_for(opened: Opened) -> None:
    """Day, place, what to do and the first pest; words of 16 px, in three sizes."""
    page = opened.in_view("phone")
    page.evaluate("scrollTo(0, 0)")
    found = page.evaluate(_FIRST_SCREEN)
    assert [name for name, _, _ in found[:2]] == ["H1", "known"]
    assert "weather through" in found[1][1] or "no weather known" in found[1][1]
    pests = [each for each in found if each[0] == "H3"]
    for _, said, bottom in [*found[:2], *pests[:1]]:
        assert bottom <= 640, said
    sizes = set(page.evaluate(_READS))
    assert min(sizes) == 16.0
    assert len(sizes) <= 3


@pytest.mark.parametrize(
    "opened", [name for name, words in PAGES.items() if words[0] == "report"], indirect=True
)
def test_a_reader_by_key_meets_the_skip_link_and_no_table(opened: Opened) -> None:
    """The first stop leads to the first thing to do; nothing else but links and folds stops."""
    page = opened.in_view("desk")
    stops = page.evaluate(
        "[...document.querySelectorAll('a, summary, [tabindex]')].map(e => e.tagName)"
    )
    assert set(stops) <= {"A", "SUMMARY"}
    if not stops:  # one side of paper
        return
    assert stops[0] == "A"
    assert page.locator(page.locator(".skip").get_attribute("href") or "").count() == 1


def test_the_battery_would_see_each_fault(browser: Browser, tmp_path: Path) -> None:
    """A page with every fault in it: none of the checks is blind."""
    file = tmp_path / "bad.html"
    file.write_text(
        '<!DOCTYPE html><html><head><title>x</title></head><body><main style="width:2000px">'
        '<h1>Wide</h1><p style="color:#999">pale</p><details><summary>s</summary><p>kept from '
        'paper</p></details><img src="gone.png" onerror="1"></main></body></html>',
        encoding="utf-8",
    )
    bad = Opened(browser, file)
    page = bad.in_view("paper")
    for rule in ("html-has-lang", "color-contrast", "image-alt"):
        assert rule in bad.faults()
    assert page.evaluate(_WIDE)
    assert not page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert len(bad.asked) == 2
    assert bad.ran == ["onerror"]
    assert set(page.evaluate(_TEXTS)) - _ON_PAPER == {"rgb(153, 153, 153)"}
    assert page.evaluate(_HIDDEN)
    page.close()
