"""A farm as the list of farms has it."""

from __future__ import annotations

from dataclasses import dataclass

from gddcast.errors import Refusal
from gddcast.weather.series import Place


@dataclass(frozen=True, slots=True)
class Farm:
    """One farm of a list.

    Parameters
    ----------
    name : str
        As the list calls it, else its file or folder.
    place : Place
        Where it lies; what the list leaves out is the list's own place.
    file : str
        Its temperatures, or its season book's folder, from the folder of the list.
    is_book : bool
        Whether it keeps a season book.
    site : str, optional
        Which thermometer of a file that holds several.
    unit : str, optional
        Scale of the file, where the file does not say.
    dates : str, optional
        Order of the file's numeric dates.
    watch : tuple of str, optional
        Names of cards watched there; the list's own where it says nothing.
    neighbour : str, optional
        Farm whose record may lend to this one.
    is_listed : bool, default: True
        Whether the list names it; else it only stands in the folder.
    fault : Refusal, optional
        What is wrong with it in the list itself; nothing else of it is used then.
    """

    name: str
    place: Place
    file: str
    is_book: bool = False
    site: str | None = None
    unit: str | None = None
    dates: str | None = None
    watch: tuple[str, ...] | None = None
    neighbour: str | None = None
    is_listed: bool = True
    fault: Refusal | None = None

    @property
    def initials(self) -> str:
        """First letters of its name, for what is handed on.

        Examples
        --------
        >>> Farm("Cold Spring Flats", Place("x"), "flats.csv").initials
        'CSF'
        """
        return "".join(word[0].upper() for word in self.name.replace("-", " ").split())
