"""The same calculators for people whose days stand in a pandas Series or table.

A thin layer above the arithmetic: days are the index, so a table is turned before and after, and
the result comes back with the index and columns it came with. ``.attrs`` says how it was counted.
"""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from gddcast.heat import daily
from gddcast.heat.daily import Cutoff, Shape, horizontal, single_sine


def _is_pandas(value: object) -> bool:
    # Whoever holds a table has imported pandas; nobody else has to.
    pandas = sys.modules.get("pandas")
    return pandas is not None and isinstance(value, pandas.Series | pandas.DataFrame)


def degree_days(
    tmin: ArrayLike,
    tmax: ArrayLike,
    *,
    lower: ArrayLike,
    upper: ArrayLike = np.inf,
    shape: Shape = single_sine,
    cutoff: Cutoff = horizontal,
) -> Any:
    """Degree-days of each day; pandas in gives pandas out, days being the index.

    Everything else is as in :func:`gddcast.heat.daily.degree_days`.

    Examples
    --------
    >>> import pandas as pd
    >>> days = pd.date_range("2026-05-01", periods=2)
    >>> low, high = pd.Series([46.0, 60.0], days), pd.Series([72.0, 85.0], days)
    >>> degree_days(low, high, lower=50).round(1).tolist()
    [9.7, 22.5]
    """
    counted = {"lower": lower, "upper": upper, "shape": shape, "cutoff": cutoff}
    if not (_is_pandas(tmin) or _is_pandas(tmax)):
        return daily.degree_days(tmin, tmax, **counted)  # type: ignore[arg-type]
    if _is_pandas(tmin) and _is_pandas(tmax):
        tmin, tmax = tmin.align(tmax)  # type: ignore[union-attr]
    like: Any = tmin if _is_pandas(tmin) else tmax
    low, high = (np.asarray(each).T for each in (tmin, tmax))
    heat = np.asarray(daily.degree_days(low, high, **counted)).T  # type: ignore[arg-type]
    result = type(like)(heat, **{axis: getattr(like, axis) for axis in _labels(like)})
    result.attrs["counted"] = {**counted, "shape": shape.name, "cutoff": cutoff.name}
    return result


def _labels(like: Any) -> tuple[str, ...]:
    return ("index", "columns") if like.ndim == 2 else ("index", "name")
