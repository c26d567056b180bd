"""A file of several thermometers cut into a text each, so that no reader goes through all for one.

Only where a column is headed as a site's; files told apart otherwise are read whole.
"""

from __future__ import annotations

from collections.abc import Mapping

from gddcast.readers.columns import meaning
from gddcast.readers.headers import cells_of, header_in
from gddcast.readers.sites import MOST_SITES


def texts_by_site(text: str) -> Mapping[str, str]:
    r"""The lines of each site, under all lines that stand above the first of any.

    Returns
    -------
    mapping of str to str
        Empty where no column is headed as a site's, or where it does not name two to two hundred.

    Examples
    --------
    >>> found = texts_by_site("site,date,max_f,min_f\nA,2026-05-01,70,50\nB,2026-05-01,71,51\n")
    >>> list(found), found["B"].splitlines()[-1]
    (['A', 'B'], 'B,2026-05-01,71,51')
    """
    lines = text.lstrip("\ufeff").splitlines()
    header = header_in(lines, ())
    if header is None:
        return {}
    at, delimiter = header
    names = cells_of(lines[at].lstrip("# "), delimiter)
    columns = [place for place, name in enumerate(names) if meaning(name).kind == "site"]
    if len(columns) != 1:
        return {}
    (column,) = columns
    above, found = lines[: at + 1], dict[str, list[str]]()
    for line in lines[at + 1 :]:
        cells = cells_of(line, delimiter)
        site = cells[column].strip() if len(cells) > column else ""
        if site:
            found.setdefault(site, []).append(line)
        elif not found:
            above.append(line)  # units, under the names of the columns
    if not 1 < len(found) <= MOST_SITES:
        return {}
    return {site: "\n".join([*above, *own]) + "\n" for site, own in found.items()}
