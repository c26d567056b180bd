"""Days as a named dimension: arithmetic on arrays applied to xarray, labels kept."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from gddcast.errors import ArgumentRefusal


def same_units(tmin: Any, tmax: Any) -> str | None:
    """The unit both name, if any does; two different ones are refused."""
    units = {value.attrs["units"] for value in (tmin, tmax) if "units" in value.attrs}
    if len(units) > 1:
        raise ArgumentRefusal(
            "these temperatures", f"their units are {' and '.join(sorted(units))}",
            "Minimum, maximum and thresholds share one scale.",
            "Convert one of them.", slug="units-mixed",
        )  # fmt: skip
    return units.pop() if units else None


def over_days(
    calculate: Callable[..., Any],
    operands: Sequence[Any],
    dim: str,
    attributes: dict[str, Any],
    units: str | None,
    *,
    of: str = " d",
    to: Sequence[str] | None = None,
    goals: Any = None,
) -> Any:
    """``calculate`` over arrays with days last, in and out of xarray, labels kept.

    Operands beyond the first that lack ``dim`` are numbers, or one number a station.
    """
    xarray = sys.modules["xarray"]
    like = operands[0]
    has_days = [dim in getattr(operand, "dims", ()) for operand in operands]

    def with_days_last(*values: Any) -> Any:
        # A threshold by station gains a last axis, so that it is not taken for one by day.
        return calculate(
            *(
                value if days or np.ndim(value) == 0 else np.asarray(value)[..., None]
                for value, days in zip(values, has_days, strict=True)
            )
        )

    result = xarray.apply_ufunc(
        with_days_last, *operands, join="outer",
        input_core_dims=[[dim] if days else [] for days in has_days],
        output_core_dims=[[dim] if to is None else list(to)],
    )  # fmt: skip
    if to is None:
        result = result.transpose(*like.dims, ...)
    elif goals is not None and goals.ndim:
        result = result.assign_coords(goal=goals)
    result.name = like.name if len(operands) == 1 and of == "" else "degree_days"
    result.attrs = {name: _no_upper(value) for name, value in attributes.items()}
    if units is not None:
        result.attrs["units"] = f"{units}{of}"
    return result


def _no_upper(value: Any) -> Any:
    """Infinity is no number of a file's attributes."""
    return "none" if isinstance(value, float) and value == np.inf else value
