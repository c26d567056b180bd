"""From what a screen knows to what the browser is sent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.responses import HTMLResponse, Response

from gddcast.errors import Refusal
from gddcast.pages import paper
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.requests import Request


@dataclass(frozen=True, slots=True)
class Shown:
    """A screen about to be filled: a template of ``templates/web``, and its context."""

    template: str
    page: object
    tab: str = ""
    status: int = 200
    headers: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Refused:
    """What ``web/refused.html`` shows: why something was not done."""

    title: str
    expected: str


def shown(request: Request, screen: Shown) -> Response:
    """The screen as HTML; its styles, scripts and forms are marked as ours."""
    template = paper.templates().get_template(f"web/{screen.template}")
    session = request.scope["session"]
    html = template.render(
        page=screen.page, paper="a4", tab=screen.tab, nonce=request.scope["nonce"],
        token=request.scope["token"], tabs=request.app.state.tabs,
        may_log=session is not None and session.writes,
        is_here=session is not None and session.is_local,
    )  # fmt: skip
    return HTMLResponse(html, screen.status, screen.headers)


def our_page(request: Request, html: str) -> Response:
    """A whole page of ours, made for a file, with its one style sheet marked as ours."""
    return HTMLResponse(html.replace("<style>", f'<style nonce="{request.scope["nonce"]}">', 1))


def notice_html(request: Request, notice: object) -> str:
    """A notice alone, for a screen that is open."""
    template = paper.templates().get_template("web/notice.html")
    return template.render(notice=notice, token=request.scope["token"], may_log=True)


def script(_: Request) -> Response:
    """The few lines of script of our own."""
    template = paper.templates().get_template("web/page.js")
    return Response(template.render(), media_type="text/javascript")


def refused(refusal: Refusal) -> Shown:
    """A refusal as a screen: where, what was found, what was expected.

    Its cure is a command; here the form it came from is the cure.
    """
    title = capital(f"{refusal.where}: {refusal.problem}.")
    return Shown("refused.html", Refused(title, refusal.expected), status=422)
