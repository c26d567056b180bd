"""What a command works on: a bare file, or a book with its journal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.book_here import Here
    from gddcast.crops.succession import Rules
    from gddcast.journal.entries import Journal
    from gddcast.outlook.forecast_archive import ForecastArchive
    from gddcast.scouting.windows import Habits
    from gddcast.today.plan import Overrule, SeasonPlan
    from gddcast.units import Unit
    from gddcast.weather.series import DailySeries


@dataclass(frozen=True, slots=True)
class Record:
    """Weather, cards and what was written down; nothing was where only a file is given."""

    series: DailySeries
    today: dt.date
    cards: dict[str, Card]
    journal: Journal
    overrule: Overrule | None = None
    has_book: bool = False
    first_pick_days: tuple[int, int] = (45, 50)  # common practice, unless the book says otherwise
    picking_days: int = 21
    rules: Rules | None = None
    habits: Habits | None = None
    watch: tuple[str, ...] | None = None
    show: Unit | None = None
    patch_up_to: int = 5
    forecasts: ForecastArchive | None = None
    here: Here | None = None
    #: Days to start looking that a calendar was told, by organism, event and clock.
    in_calendar: Mapping[tuple[str, str, str], dt.date] = field(default_factory=dict)

    def plan(self, watch: Iterable[str] | None = None) -> SeasonPlan:
        """The season plan of the watch list named, else of the book's own."""
        from gddcast.today.plan import season_plan

        return season_plan(
            self.series, self.cards, self.today,
            watch=self.watch if watch is None else watch,
            journal=self.journal, habits=self.habits, overrule=self.overrule,
            patch_up_to=self.patch_up_to, forecasts=self.forecasts,
        )  # fmt: skip

    @property
    def begins(self) -> tuple[int, int]:
        """Month and day on which its seasons begin."""
        return self.series.place.season_begins


def open_record(
    file: Path | None,
    book_folder: Path | None,
    on: dt.date | None,
    *,
    no_input: bool,
    cards: Path | None = None,
    forecasts: Path | None = None,
    **how: Any,
) -> Record:
    """The file named, with the past forecasts of another, else the book meant."""
    from gddcast.journal.entries import Journal
    from gddcast.readers.card_files import load_cards

    if file is None:
        if forecasts is not None:
            raise _kept_in_the_book(forecasts)
        from gddcast.cli.book_here import open_here

        return record_of(open_here(book_folder, on, no_input=no_input), cards)
    from gddcast.cli.opening import open_series

    series, today = open_series(file, on=on, no_input=no_input, **how)
    kept = None
    if forecasts is not None:
        from gddcast.outlook.forecast_archive import laid_behind
        from gddcast.readers.forecast_file import read_forecasts

        kept = read_forecasts(forecasts)
        series = laid_behind(series, kept, today)
    return Record(series, today, load_cards(own=cards), Journal(), forecasts=kept)


def _kept_in_the_book(forecasts: Path) -> Refusal:
    return Refusal(
        str(forecasts), "a season book keeps its own forecasts",
        "--forecasts goes with a bare temperature file.",
        f"Bring them into the book once:  {shell('gddcast', 'weather', 'add', forecasts)}",
        slug="book-has-own",
    )  # fmt: skip


def record_of(here: Here, cards: Path | None = None) -> Record:
    """What a book holds."""
    from gddcast.readers.card_files import load_cards

    rules = here.book.settings.succession
    known = here.cards() if cards is None else load_cards(own=cards)
    return Record(
        here.book.series(here.today), here.today, known,
        here.book.journal(), here.book.overrule, has_book=True, here=here,
        first_pick_days=rules.first_pick_days, picking_days=rules.picking_days_wanted,
        rules=here.book.rules, habits=here.book.habits, watch=here.book.watched(known),
        show=here.book.show,
        patch_up_to=here.book.settings.weather.patch_up_to_days, forecasts=here.book.forecasts(),
        in_calendar=here.book.days_told("calendar", here.season.name, here.today),
    )  # fmt: skip
