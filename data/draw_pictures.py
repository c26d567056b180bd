"""Draw the two pictures of the README from the demo; run as ``python data/draw_pictures.py``.

It needs Matplotlib, Playwright and Debian's chromium, as the tests do.
"""

from __future__ import annotations

import shutil
import tempfile
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageOps
from playwright.sync_api import sync_playwright

from gddcast.cli import main
from gddcast.cli.demo_book import DEMO_TODAY, make_demo_book

FOLDER = Path(__file__).parent / "pictures"
_PRINTED = {"width": 703, "height": 1030}  # A4 between margins of 12 mm, 96 dots an inch
_MARGIN = 45


def gddcast(*words: object) -> None:
    """Run a command."""
    main([str(word) for word in words], standalone_mode=False)


def draw_dots(book: Path) -> None:
    """The season's heat up to the borer's sum, one dot a past year."""
    gddcast(
        "chart", "season", "--book", book, "--on", DEMO_TODAY, "--pest", "squash-vine-borer",
        "-f", "-o", FOLDER / "dots.svg",
    )  # fmt: skip


def draw_sheet(book: Path, folder: Path) -> None:
    """The first side of the scouting sheet, as a browser prints it on A4, in sixteen greys."""
    page = folder / "sheet.html"
    gddcast("sheet", "--book", book, "--on", DEMO_TODAY, "-o", page)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        view = browser.new_page(viewport=_PRINTED)
        view.emulate_media(media="print")
        view.goto(page.as_uri())
        shown = view.locator(".side").first.screenshot()
        browser.close()
    side = ImageOps.expand(Image.open(BytesIO(shown)).convert("L"), _MARGIN, "white")
    grey = side.quantize(16)
    grey.save(FOLDER / "sheet.png", optimize=True)


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        demo = Path(made) / "demo"
        make_demo_book(demo)
        draw_dots(demo)
        draw_sheet(demo, Path(made))
