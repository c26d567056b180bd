"""Lower threshold and heat sum of a stage, from the days it took at constant temperatures.

Development rate, 1/days, rises along a straight line over most of the range an insect lives in:

    1/days = (T − t)/K      t  lower threshold, where the line meets zero. [°C]
                            K  heat sum of the stage, one over the slope. [°C·d]

The line ends at the optimum: jars warmer than it are named and left out. t and K of one fit lean
on each other and stay a pair.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.errors import Refusal

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]

# Jars closer than this stand for one temperature when the optimum is looked for. [°C]
_SAME_TEMPERATURE = 1.0
# Resamples of the bootstrap: enough that its own noise moves a 95 % limit by a few per cent.
_RESAMPLES = 1999


@dataclass(frozen=True, slots=True, eq=False)
class Rearing:
    """One stage reared in jars, each at its own constant temperature.

    Parameters
    ----------
    temperature : array_like, shape (jars,)
        Temperature of each jar. [°C]
    days : array_like, shape (jars,)
        Mean time the stage took; +∞ where nobody finished it. [d]
    n : array_like, shape (jars,), optional
        Insects that finished. Default: one a jar, so that every jar weighs the same.
    source : str
        File or table it came from, for people.

    Examples
    --------
    >>> dock_beetle = Rearing([18, 21.5, 25, 28], [28.2, 21.6, 16.1, 15.0])
    >>> line = threshold_line(dock_beetle)
    >>> round(line.lower.value, 1), round(line.heat.value, 1)
    (7.1, 304.6)
    """

    temperature: Array
    days: Array
    n: Array | None = None
    source: str = "these jars"

    def __post_init__(self) -> None:
        for name in ("temperature", "days", "n"):
            value = getattr(self, name)
            if value is None:
                continue
            array = np.array(value, dtype=np.float64)
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        jars = self.temperature.size
        given = [self.days, *([] if self.n is None else [self.n])]
        if any(each.shape != (jars,) for each in given) or self.temperature.ndim != 1:
            raise _unusable(self, "its columns have different lengths", "Every jar needs both.")
        if not np.all(self.days > 0) or not np.all(np.isfinite(self.temperature)):
            raise _unusable(self, "a duration is not above zero", "Durations are days, above 0.")
        if self.n is not None and not np.all(self.n > 0):
            raise _unusable(self, "a count of insects is not above zero", "A jar has insects.")

    def __len__(self) -> int:
        return int(self.temperature.size)

    @property
    def rate(self) -> Array:
        """Development a day; 0 where nobody finished. [1/d]"""
        return 1.0 / self.days

    @property
    def weight(self) -> Array:
        """Insects behind each jar, or 1."""
        return np.ones(len(self)) if self.n is None else self.n

    def only(self, jars: NDArray[np.bool_]) -> Rearing:
        """The jars a mask keeps."""
        n = None if self.n is None else self.n[jars]
        return Rearing(self.temperature[jars], self.days[jars], n, self.source)


def _unusable(rearing: Rearing, problem: str, expected: str) -> Refusal:
    return Refusal(
        rearing.source, problem, expected, "Check it against the notebook it was copied from.",
        slug="rearing-unusable",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A jar the line does not use, and why."""

    temperature: float  # [°C]
    days: float
    reason: str


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number found from data, with how far it can be trusted.

    Parameters
    ----------
    value : float
    error : float
        Standard error by the delta method.
    low, high : float
        95 % interval by the delta method and Student's t.
    boot_low, boot_high : float
        95 % interval by the bootstrap.
    """

    value: float
    error: float
    low: float
    high: float
    boot_low: float = float("nan")
    boot_high: float = float("nan")


@dataclass(frozen=True, slots=True)
class ThresholdLine:
    """The straight part of the rate curve.

    Parameters
    ----------
    lower : Estimate
        Lower threshold. [°C]
    heat : Estimate
        Heat sum. [°C·d]
    jars : int
        Jars on the line.
    r_squared : float
        Share of the rates' variance the line explains.
    left_out : tuple of LeftOut
    notes : tuple of str
        What a careful reader should know of this fit.
    """

    lower: Estimate
    heat: Estimate
    jars: int
    r_squared: float
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]

    def __repr__(self) -> str:
        lower, heat = (
            f"{each.value:.4g} ({each.low:.4g} to {each.high:.4g})"
            for each in (self.lower, self.heat)
        )
        return f"<ThresholdLine of {self.jars} jars: lower {lower} °C, heat {heat} °C·d>"

    def to_frame(self) -> pd.DataFrame:
        """Table with the lower threshold [°C] and the heat sum [°C·d], and both their intervals."""
        import pandas as pd

        return pd.DataFrame.from_dict(
            {"lower": asdict(self.lower), "heat": asdict(self.heat)}, orient="index"
        )

    def rate_at(self, temperature: ArrayLike) -> Array:
        """Rate the line gives, zero below the threshold. [1/d]"""
        above = np.asarray(temperature, dtype=np.float64) - self.lower.value
        return np.maximum(above, 0.0) / self.heat.value


def temperature_groups(temperature: Array) -> NDArray[np.intp]:
    """Number of the group each jar belongs to, coolest first; groups lie over 1 °C apart."""
    order = np.argsort(temperature, kind="stable")
    steps = np.diff(temperature[order]) > _SAME_TEMPERATURE
    groups = np.empty(temperature.size, dtype=np.intp)
    groups[order] = np.concatenate([[0], np.cumsum(steps)])
    return groups


def fastest_group(rearing: Rearing) -> tuple[float, float]:
    """Coolest and warmest jar of the group that developed fastest on average. [°C]

    Neighbouring jars are judged together because one quick jar is no optimum.
    """
    groups = temperature_groups(rearing.temperature)
    weight = np.bincount(groups, rearing.weight)
    mean = np.bincount(groups, rearing.rate * rearing.weight) / weight
    inside = rearing.temperature[groups == int(np.argmax(mean))]
    return float(inside.min()), float(inside.max())


def split_at_optimum(
    rearing: Rearing, *, up_to: float | None = None
) -> tuple[Rearing, tuple[LeftOut, ...]]:
    """The jars on the straight part, and those left out with the reason.

    Parameters
    ----------
    rearing : Rearing
    up_to : float, optional
        Warmest temperature to keep, where you know better. Default: the fastest jars'. [°C]
    """
    _, optimum = fastest_group(rearing)
    limit = optimum if up_to is None else up_to
    finished = np.isfinite(rearing.days)
    kept = finished & (rearing.temperature <= limit)
    left_out = []
    for temperature, days in zip(rearing.temperature[~kept], rearing.days[~kept], strict=True):
        if not np.isfinite(days):
            reason = "nobody finished the stage"
        elif up_to is not None:
            reason = f"warmer than the {up_to:g} °C you set"
        else:
            reason = f"above the optimum: slower than the jars near {optimum:.4g} °C"
        left_out.append(LeftOut(float(temperature), float(days), reason))
    return rearing.only(kept), tuple(left_out)


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Weighted least-squares lines through many sets of rates at once, shape (sets, jars)."""

    lower: Array
    heat: Array
    lower_error: Array
    heat_error: Array
    fitted: Array
    leverage: Array


def _fit_lines(temperature: Array, rate: Array, weight: Array) -> _Lines:
    total = weight.sum()
    centre = temperature @ weight / total
    away = temperature - centre
    spread = away**2 @ weight
    mean = rate @ weight / total
    slope = rate @ (away * weight) / spread
    fitted = mean[:, None] + slope[:, None] * away
    variance = (rate - fitted) ** 2 @ weight / (temperature.size - 2)
    lower, heat = centre - mean / slope, 1.0 / slope
    # Campbell et al. (1974): the mean rate and the slope are uncorrelated, so their relative
    # variances add. This is the delta method.
    relative = variance / spread / slope**2
    lower_error = np.abs(mean / slope) * np.sqrt(variance / total / mean**2 + relative)
    leverage = weight / total + weight * away**2 / spread
    return _Lines(lower, heat, lower_error, np.abs(heat) * np.sqrt(relative), fitted, leverage)


def threshold_line(
    rearing: Rearing, *, up_to: float | None = None, seed: int = 0, resamples: int = _RESAMPLES
) -> ThresholdLine:
    """Lower threshold and heat sum by the x-intercept of the straight part.

    Parameters
    ----------
    rearing : Rearing
        Jars; each weighs as many insects as it had, where that is known.
    up_to : float, optional
        Warmest temperature on the line. Default: that of the fastest jars. [°C]
    seed : int, default: 0
        Seed of the bootstrap: the same seed gives the same interval.
    resamples : int, default: 1999
        Bootstrap samples; 0 leaves the bootstrap out.

    Returns
    -------
    ThresholdLine

    Raises
    ------
    Refusal
        If fewer than three jars at two temperatures are left, or warmth does not speed them up.

    Notes
    -----
    The bootstrap redraws the residuals, each inflated for its leverage, and reads the
    studentised (t) quantiles: with four to eight temperatures plain percentiles are too narrow.

    References
    ----------
    Campbell, A., Frazer, B. D., Gilbert, N., Gutierrez, A. P. and Mackauer, M. (1974).
    Temperature requirements of some aphids and their parasites. Journal of Applied Ecology 11,
    431-438 (x-intercept and its standard errors; formulas from memory).
    """
    kept, left_out = split_at_optimum(rearing, up_to=up_to)
    check_line(kept)
    temperature, rate, weight = kept.temperature, kept.rate, kept.weight
    fit = _fit_lines(temperature, rate[None, :], weight)
    if not fit.heat[0] > 0 or not np.isfinite(fit.heat[0]):
        raise _unusable(kept, "warmth does not speed development up", "Rates rise with warmth.")
    boot = _bootstrap(temperature, rate, weight, fit, seed, resamples)
    around = rate - rate @ weight / weight.sum()
    lost = (rate - fit.fitted[0]) ** 2 @ weight
    line = ThresholdLine(
        lower=_estimate(fit.lower[0], fit.lower_error[0], len(kept) - 2, boot[0]),
        heat=_estimate(fit.heat[0], fit.heat_error[0], len(kept) - 2, boot[1]),
        jars=len(kept),
        r_squared=float(1.0 - lost / (around**2 @ weight)),
        left_out=left_out,
        notes=(),
    )
    return _with_notes(line, kept)


def check_line(rearing: Rearing) -> None:
    """Refuse jars that no line with an error can be drawn through."""
    temperatures = np.unique(temperature_groups(rearing.temperature)).size
    if len(rearing) < 3 or temperatures < 2:
        raise Refusal(
            rearing.source,
            f"{len(rearing)} jars at {temperatures} temperatures are left for the line",
            "A line and its error need at least three jars at two or more temperatures.",
            "Rear at more temperatures below the optimum.",
            slug="too-few-jars",
        )


def _estimate(value: float, error: float, freedom: int, boot: tuple[float, float]) -> Estimate:
    from scipy.special import stdtrit

    reach = float(stdtrit(freedom, 0.975)) * float(error)
    return Estimate(
        float(value), float(error), float(value) - reach, float(value) + reach, *boot
    )  # fmt: skip


def _bootstrap(
    temperature: Array, rate: Array, weight: Array, fit: _Lines, seed: int, resamples: int
) -> tuple[tuple[float, float], tuple[float, float]]:
    unknown = (float("nan"), float("nan"))
    room = 1.0 - fit.leverage
    # A jar that alone fixes its end of the line has no residual to redraw.
    if resamples == 0 or rate.size < 4 or np.any(room < 1e-9):
        return unknown, unknown
    scaled = (rate - fit.fitted[0]) * np.sqrt(weight / room)
    scaled -= scaled.mean()
    draw = np.random.default_rng(seed).integers(0, rate.size, (resamples, rate.size))
    again = _fit_lines(temperature, fit.fitted + scaled[draw] / np.sqrt(weight), weight)
    return (
        _studentised(fit.lower[0], fit.lower_error[0], again.lower, again.lower_error),
        _studentised(fit.heat[0], fit.heat_error[0], again.heat, again.heat_error),
    )


def _studentised(value: float, error: float, values: Array, errors: Array) -> tuple[float, float]:
    usable = errors > 0.0
    if not np.any(usable):  # every residual is zero: the jars lie on the line
        return float(value), float(value)
    t = (values[usable] - value) / errors[usable]
    high, low = np.quantile(t, [0.025, 0.975], method="hazen")
    return float(value - low * error), float(value - high * error)


def _with_notes(line: ThresholdLine, rearing: Rearing) -> ThresholdLine:
    from dataclasses import replace

    notes = []
    coolest, warmest = float(rearing.temperature.min()), float(rearing.temperature.max())
    if coolest < line.lower.value:
        notes.append(
            f"The jar at {coolest:.1f} °C developed although it lies below the threshold found: "
            "a straight line fails at its cold end."
        )
    if coolest - line.lower.value > 8.0:
        notes.append(
            f"The coolest jar stands {coolest - line.lower.value:.0f} °C above the threshold: "
            "the line is stretched far, and its standard error does not know that it may bend."
        )
    if np.unique(temperature_groups(rearing.temperature)).size < 4:
        notes.append("Fewer than four temperatures: treat both numbers as a sketch.")
    if not line.left_out and fastest_group(rearing)[1] == warmest:
        notes.append("No jar was warm enough to slow down: the optimum is not known from these.")
    return replace(line, notes=tuple(notes))
