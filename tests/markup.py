"""What a browser would make of a page: its tags, its attributes, its text."""

from __future__ import annotations

from html.parser import HTMLParser


class Markup(HTMLParser):
    """A page read as HTML."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: set[str] = set()
        self._text: list[str] = []
        self.feed(html)

    @property
    def text(self) -> str:
        """All of its words."""
        return "".join(self._text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep the tag and the names of its attributes."""
        self.tags.append(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        self._text.append(data)
