"""Day shapes and cut-offs against drawn curves, identities, print and a reference library."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import quad

import gddcast
from gddcast.errors import ArgumentRefusal
from gddcast.heat.cutoffs import CUTOFFS, Cutoff
from gddcast.heat.shapes import SHAPES, Shape

SOME = settings(max_examples=300, deadline=None, derandomize=True)

# Readings and thresholds in 64ths of a degree: sums of them are exact, so a tie is a tie.
temperatures = st.integers(-40 * 64, 60 * 64).map(lambda value: value / 64)
ranges = st.one_of(st.just(0.0), st.integers(1, 40 * 64).map(lambda value: value / 64))
levels = st.integers(-5 * 64, 25 * 64).map(lambda value: value / 64)
widths = st.integers(32, 40 * 64).map(lambda value: value / 64)


@st.composite
def days(draw: st.DrawFn) -> tuple[float, float, float, float]:
    """A day and two thresholds, in any of the six positions, ties included."""
    low = draw(temperatures)
    high = low + draw(ranges)
    lower = draw(st.one_of(levels, st.just(low), st.just(high)))
    upper = draw(st.one_of(widths.map(lambda width: lower + width), st.just(high), st.just(low)))
    if upper <= lower:
        upper = lower + 1.0
    return low, high, lower, upper


def rate(temperature: float, lower: float, upper: float, cutoff: str) -> float:
    """Development at one moment: the quantity every method integrates."""
    if temperature <= lower:
        return 0.0
    if temperature < upper or cutoff == "none":
        return temperature - lower
    if cutoff == "horizontal":
        return upper - lower
    if cutoff == "intermediate":
        return max(0.0, 2.0 * upper - lower - temperature)
    return 0.0


def curve(shape: str, low: float, high: float) -> tuple:
    """Temperature through half a day that stands for the whole, and its inverse."""
    middle, half = (low + high) / 2, (high - low) / 2
    if shape == "single sine":
        return (
            lambda t: middle + half * math.sin(math.pi * (t - 0.5)),
            lambda level: 0.5 + math.asin((level - middle) / half) / math.pi,
        )
    return (lambda t: low + (high - low) * t, lambda level: (level - low) / (high - low))


def drawn_and_added(shape: str, low: float, high: float, lower: float, upper: float, cutoff: str):
    """The day's curve, integrated numerically between the moments it crosses a threshold."""
    if high == low:
        return rate(low, lower, upper, cutoff)
    temperature, moment = curve(shape, low, high)
    bends = [moment(level) for level in (lower, upper, 2 * upper - lower) if low < level < high]
    edges = [0.0, *sorted(bends), 1.0]
    return sum(
        quad(lambda t: rate(temperature(t), lower, upper, cutoff), a, b, epsabs=1e-13)[0]
        for a, b in itertools.pairwise(edges)
    )


@pytest.mark.parametrize("shape", ["single sine", "single triangle"])
@pytest.mark.parametrize("cutoff", ["none", "horizontal", "intermediate", "vertical"])
def test_closed_form_equals_the_drawn_curve(shape: str, cutoff: str) -> None:
    """The area under the day's curve, to 1e-12, in every position of day and thresholds."""

    @SOME
    @given(days())
    def check(day: tuple[float, float, float, float]) -> None:
        low, high, lower, upper = day
        ours = gddcast.degree_days(
            low, high, lower=lower, upper=upper, shape=SHAPES[shape], cutoff=CUTOFFS[cutoff]
        )
        expected = drawn_and_added(shape, low, high, lower, upper, cutoff)
        np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-12)

    check()


def ten_thousand_days() -> tuple[NDArray[np.float64], ...]:
    """Days and thresholds of the same kinds as `days`, ties included. [64ths of a degree]"""
    random = np.random.default_rng(2026)
    low = random.integers(-40 * 64, 60 * 64, 10_000) / 64
    high = low + random.integers(0, 40 * 64, low.size) / 64
    of_the_day = random.integers(0, 8, (2, low.size))
    lower = random.integers(-5 * 64, 25 * 64, low.size) / 64
    lower = np.choose(np.minimum(of_the_day[0], 2), [low, high, lower])
    upper = lower + random.integers(32, 40 * 64, low.size) / 64
    upper = np.choose(np.minimum(of_the_day[1], 2), [low, high, upper])
    return low, high, lower, np.where(upper <= lower, lower + 1.0, upper)


def added_at_nodes(
    shape: str, days: tuple[NDArray[np.float64], ...], cutoff: str
) -> NDArray[np.float64]:
    """The day's curve, added up at Gauss-Legendre nodes between the moments it crosses a level."""
    low, high, lower, upper = days
    middle, half = (low + high) / 2, np.maximum((high - low) / 2, 1e-300)
    y = np.stack([(level - middle) / half for level in (lower, upper, 2 * upper - lower)])
    y = np.clip(y, -1.0, 1.0)
    moments = 0.5 + np.arcsin(y) / np.pi if shape == "single sine" else (1 + y) / 2
    edges = np.sort(np.vstack([np.zeros_like(low), moments, np.ones_like(low)]), axis=0)
    nodes, weights = np.polynomial.legendre.leggauss(24)
    begin, width = edges[:-1, :, None], np.diff(edges, axis=0)[..., None]
    at = begin + width * (nodes + 1) / 2
    wave = np.sin(np.pi * (at - 0.5)) if shape == "single sine" else 2 * at - 1
    heat = rates(middle[:, None] + half[:, None] * wave, lower[:, None], upper[:, None], cutoff)
    return np.asarray((heat * weights * width / 2).sum(axis=(0, 2)))


def rates(
    temperature: NDArray[np.float64],
    lower: NDArray[np.float64],
    upper: NDArray[np.float64],
    cutoff: str,
) -> NDArray[np.float64]:
    """`rate` of arrays."""
    above = {
        "none": temperature - lower,
        "horizontal": upper - lower,
        "intermediate": np.maximum(0.0, 2 * upper - lower - temperature),
        "vertical": np.zeros_like(temperature),
    }[cutoff]
    heat = np.where(temperature < upper, temperature - lower, above)
    return np.where(temperature <= lower, 0.0, heat)


@pytest.mark.parametrize("shape", ["single sine", "single triangle"])
@pytest.mark.parametrize("cutoff", ["none", "horizontal", "intermediate", "vertical"])
def test_ten_thousand_days_equal_their_drawn_curves(shape: str, cutoff: str) -> None:
    days = ten_thousand_days()
    low, high, lower, upper = days
    ours = gddcast.degree_days(
        low, high, lower=lower, upper=upper, shape=SHAPES[shape], cutoff=CUTOFFS[cutoff]
    )
    np.testing.assert_allclose(ours, added_at_nodes(shape, days, cutoff), rtol=0, atol=1e-12)


@SOME
@given(days(), st.sampled_from(sorted(CUTOFFS)))
def test_floor_the_readings_is_half_of_each_reading(
    day: tuple[float, float, float, float], cutoff: str
) -> None:
    """Half the day at the minimum, half at the maximum, each by the rate of development."""
    low, high, lower, upper = day
    name = cutoff
    if cutoff == "cap the readings":
        low_, high_, name = min(low, upper), min(high, upper), "none"
    else:
        low_, high_ = low, high
    ours = gddcast.degree_days(
        low, high, lower=lower, upper=upper,
        shape=gddcast.floor_the_readings, cutoff=CUTOFFS[cutoff],
    )  # fmt: skip
    expected = (rate(low_, lower, upper, name) + rate(high_, lower, upper, name)) / 2
    if cutoff == "vertical" and high == upper > low:
        expected += (upper - lower) / 2  # a day that only just comes to it is not stopped by it
    np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-12)


@SOME
@given(days(), st.sampled_from(["none", "horizontal", "intermediate", "vertical"]))
def test_floor_the_mean_is_the_rate_at_the_mean(
    day: tuple[float, float, float, float], cutoff: str
) -> None:
    """All day at the mean."""
    low, high, lower, upper = day
    ours = gddcast.degree_days(
        low, high, lower=lower, upper=upper, shape=gddcast.floor_the_mean, cutoff=CUTOFFS[cutoff]
    )
    np.testing.assert_allclose(
        ours, rate((low + high) / 2, lower, upper, cutoff), rtol=0, atol=1e-12
    )


@SOME
@given(days())
def test_methods_keep_their_order(day: tuple[float, float, float, float]) -> None:
    """Mean ≤ triangle ≤ sine ≤ readings; vertical ≤ intermediate ≤ horizontal ≤ none."""
    low, high, lower, upper = day
    shapes = ("floor the mean", "single triangle", "single sine", "floor the readings")
    plain = [gddcast.degree_days(low, high, lower=lower, shape=SHAPES[name]) for name in shapes]
    assert np.all(np.diff(plain) >= -1e-12)
    for name in shapes:
        capped = [
            gddcast.degree_days(
                low, high, lower=lower, upper=upper, shape=SHAPES[name], cutoff=CUTOFFS[cutoff]
            )
            for cutoff in ("vertical", "intermediate", "horizontal", "none")
        ]
        assert np.all(np.diff(capped) >= -1e-12)
        assert 0.0 <= capped[2] <= upper - lower + 1e-12


@SOME
@given(days(), st.sampled_from(sorted(SHAPES)), st.sampled_from(sorted(CUTOFFS)))
def test_fahrenheit_in_gives_nine_fifths_of_celsius(
    day: tuple[float, float, float, float], shape: str, cutoff: str
) -> None:
    """A heat sum is a difference: it scales by 9/5 and has no 32."""
    method = {"shape": SHAPES[shape], "cutoff": CUTOFFS[cutoff]}
    low, high, lower, upper = day
    in_c = gddcast.degree_days(low, high, lower=lower, upper=upper, **method)
    in_f = gddcast.degree_days(
        *(value * 1.8 + 32 for value in (low, high)),
        lower=lower * 1.8 + 32, upper=upper * 1.8 + 32, **method,
    )  # fmt: skip
    np.testing.assert_allclose(in_f, in_c * 1.8, rtol=0, atol=1e-6)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("cutoff", CUTOFFS.values(), ids=CUTOFFS)
class TestEveryMethod:
    """One battery that every shape with every cut-off must pass."""

    LOW = np.array([4.0, 12.0, -3.0, 21.0, 30.0])
    HIGH = np.array([16.0, 24.0, 5.0, 39.0, 44.0])

    def heat(self, low, high, shape: Shape, cutoff: Cutoff, **limits):
        """Degree-days between 10 and 30 unless said otherwise."""
        limits = {"lower": 10.0, "upper": 30.0} | limits
        return gddcast.degree_days(low, high, shape=shape, cutoff=cutoff, **limits)

    def test_unknown_stays_unknown(self, shape: Shape, cutoff: Cutoff) -> None:
        """NaN in gives NaN out, and spoils no other day."""
        low, high = self.LOW.copy(), self.HIGH.copy()
        low[1] = high[3] = np.nan
        single = Shape(shape.name, shape.g, shape.s)
        heat = self.heat(low, high, single, cutoff)
        assert np.isnan(heat).tolist() == [False, True, False, True, False]

    def test_a_nan_cannot_hide_the_upper_threshold(self, shape: Shape, cutoff: Cutoff) -> None:
        """A hot day keeps its cut-off though an unknown day stands beside it."""
        both = self.heat(
            [np.nan, 30.0], [np.nan, 44.0], Shape(shape.name, shape.g, shape.s), cutoff
        )
        assert both[1] == self.heat(30.0, 44.0, shape, cutoff)

    def test_swapped_readings_are_unknown(self, shape: Shape, cutoff: Cutoff) -> None:
        """A minimum above its maximum is impossible, and impossible is not zero."""
        assert np.isnan(self.heat(20.0, 12.0, shape, cutoff))

    def test_a_flat_day_is_exact(self, shape: Shape, cutoff: Cutoff) -> None:
        """60/60 above 50 gives 10, not 10 and a rounding."""
        assert gddcast.degree_days(60, 60, lower=50, upper=86, shape=shape, cutoff=cutoff) == 10.0

    def test_cold_days_give_nothing(self, shape: Shape, cutoff: Cutoff) -> None:
        """The sum never falls."""
        assert self.heat(-5.0, 10.0, shape, cutoff) == 0.0

    def test_shapes_broadcast(self, shape: Shape, cutoff: Cutoff) -> None:
        """Many thresholds against many days are the single answers, stacked."""
        lower = np.array([[5.0], [10.0], [15.0]])
        stacked = self.heat(self.LOW, self.HIGH, shape, cutoff, lower=lower)
        for row, level in zip(stacked, lower[:, 0], strict=True):
            alone = self.heat(self.LOW, self.HIGH, shape, cutoff, lower=level)
            np.testing.assert_array_equal(row, alone)

    def test_members_by_days_is_each_member(self, shape: Shape, cutoff: Cutoff) -> None:
        """The last axis is days, whatever stands before it."""
        low, high = np.stack([self.LOW, self.LOW - 2]), np.stack([self.HIGH, self.HIGH + 3])
        both = self.heat(low, high, shape, cutoff)
        np.testing.assert_array_equal(both[1], self.heat(low[1], high[1], shape, cutoff))

    def test_blocks_leave_no_seam(
        self, shape: Shape, cutoff: Cutoff, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Cut into blocks of three days or whole, the answer is the same."""
        whole = self.heat(self.LOW, self.HIGH, shape, cutoff)
        monkeypatch.setattr("gddcast.heat.daily._BLOCK", 3)
        np.testing.assert_array_equal(self.heat(self.LOW, self.HIGH, shape, cutoff), whole)

    def test_single_precision_comes_back(self, shape: Shape, cutoff: Cutoff) -> None:
        """float32 in gives float32 out, computed in float64."""
        low, high = self.LOW.astype(np.float32), self.HIGH.astype(np.float32)
        heat = self.heat(low, high, shape, cutoff)
        assert heat.dtype == np.float32
        exact = self.heat(self.LOW, self.HIGH, shape, cutoff)
        np.testing.assert_allclose(heat, exact, rtol=0, atol=4e-6)

    def test_no_day_is_no_heat(self, shape: Shape, cutoff: Cutoff) -> None:
        """An empty series has an empty answer."""
        assert self.heat([], [], shape, cutoff).shape == (0,)

    def test_warmer_is_never_less_below_the_upper_threshold(
        self, shape: Shape, cutoff: Cutoff
    ) -> None:
        """Below the upper threshold a warmer day never gives less."""
        low = np.linspace(-10.0, 10.0, 60)
        heat = self.heat(low, low + 12.0, Shape(shape.name, shape.g, shape.s), cutoff)
        assert np.all(np.diff(heat) >= -1e-12)

    def test_infinite_upper_threshold_is_none(self, shape: Shape, cutoff: Cutoff) -> None:
        """No product of infinity and zero anywhere."""
        none = self.heat(self.LOW, self.HIGH, shape, gddcast.no_cutoff, upper=np.inf)
        uppers = np.full(self.LOW.shape, np.inf)
        for upper in (np.inf, uppers):
            np.testing.assert_array_equal(
                self.heat(self.LOW, self.HIGH, shape, cutoff, upper=upper), none
            )

    def test_numbers_lists_and_integers_are_taken(self, shape: Shape, cutoff: Cutoff) -> None:
        """Scalars, lists and whole numbers give what arrays of floats give."""
        listed = self.heat([4, 12, -3, 21, 30], [16, 24, 5, 39, 44], shape, cutoff)
        np.testing.assert_array_equal(listed, self.heat(self.LOW, self.HIGH, shape, cutoff))
        assert np.ndim(self.heat(4, 16, shape, cutoff)) == 0


def test_double_shapes_take_the_next_night() -> None:
    """Half the day runs to tonight's minimum and half to tomorrow's; the last uses its own."""
    low, high = np.array([4.0, 14.0, 9.0]), np.array([16.0, 22.0, 20.0])
    for double, single in (
        (gddcast.double_sine, gddcast.single_sine),
        (gddcast.double_triangle, gddcast.single_triangle),
    ):
        first = gddcast.degree_days(low, high, lower=10.0, shape=single)
        second = gddcast.degree_days([14.0, 9.0, 9.0], high, lower=10.0, shape=single)
        both = gddcast.degree_days(low, high, lower=10.0, shape=double)
        np.testing.assert_allclose(both, (first + second) / 2, rtol=0, atol=1e-12)


def test_a_night_warmer_than_the_day_before_runs_up() -> None:
    """The half day between them is ordered, not negative."""
    both = gddcast.degree_days([2.0, 12.0], [9.0, 18.0], lower=5.0, shape=gddcast.double_sine)
    first = gddcast.degree_days(2.0, 9.0, lower=5.0)
    second = gddcast.degree_days(9.0, 12.0, lower=5.0)
    np.testing.assert_allclose(both[0], (first + second) / 2, rtol=0, atol=1e-12)


def test_an_unknown_next_night_is_unknown() -> None:
    """Only the last day may fall back on its own minimum."""
    heat = gddcast.degree_days(
        [4.0, np.nan, 9.0], [16.0, 22.0, 20.0], lower=10.0, shape=gddcast.double_sine
    )
    assert np.isnan(heat).tolist() == [True, True, False]


def test_vertical_has_nothing_at_the_upper_threshold_itself() -> None:
    """60/80 between 50 and 90 by readings is 20; 92/99 is 0; a day held at 90 is 0."""
    method = {"lower": 50, "upper": 90, "cutoff": gddcast.vertical}
    readings = method | {"shape": gddcast.floor_the_readings}
    assert gddcast.degree_days(60, 80, **readings) == 20.0
    assert gddcast.degree_days(92, 99, **readings) == 0.0
    for shape in SHAPES.values():
        assert gddcast.degree_days(90, 90, **method, shape=shape) == 0.0


def test_a_tie_at_the_upper_threshold_is_a_tie_in_every_scale() -> None:
    """Half a day at 5.1 counts nothing, half at 20.1 counts 10.1: by hand. So with 5 and 20.

    20.1 °C and 68.18 °F are the same reading; in binary 5.1 + 20.1 − 2·20.1 is not 5.1 − 20.1.
    """
    readings = {"shape": gddcast.floor_the_readings, "cutoff": gddcast.vertical}
    for unit in (lambda t: t, lambda t: t * 1.8 + 32.0):
        size = unit(1.0) - unit(0.0)
        heat = gddcast.degree_days(
            unit(5.1), unit(20.1), lower=unit(10.0), upper=unit(20.1), **readings
        )
        assert heat == pytest.approx(5.05 * size, abs=1e-8)
        for shape in SHAPES.values():
            held = gddcast.degree_days(
                unit(20.1), unit(20.1), lower=unit(10.0), upper=unit(20.1), shape=shape,
                cutoff=gddcast.vertical,
            )  # fmt: skip
            assert held == 0.0
    assert gddcast.degree_days(5.0, 20.0, lower=10.0, upper=20.0, **readings) == 5.0


@pytest.mark.parametrize("shape", ["floor the readings", "single sine", "single triangle"])
def test_a_maximum_at_the_upper_threshold_is_not_above_it(shape: str) -> None:
    """5.1 and 20.1 over 10: half of 10.1 by the readings; rounding makes no tie a crossing.

    Arithmetic of the definition, McMaster & Wilhelm (1997), interpretation 2: (0 + 10.1) / 2.
    """
    day = {"lower": 10.0, "shape": shape, "cutoff": "vertical"}
    at = gddcast.degree_days(5.1, 20.1, upper=20.1, **day)
    np.testing.assert_allclose(at, gddcast.degree_days(5.1, 20.1, **day), rtol=0, atol=1e-6)
    if shape == "floor the readings":
        np.testing.assert_allclose(at, 5.05, rtol=0, atol=1e-9)
    assert gddcast.degree_days(5.1, 20.1, upper=20.0, **day) < at - 0.05


@given(tenths=st.integers(500, 1100), shape=st.sampled_from(sorted(SHAPES)))
def test_a_flat_day_at_the_threshold_is_one_in_either_scale(tenths: int, shape: str) -> None:
    """Development stops at the threshold itself, though (F − 32)/1.8 and (F − 32)·5/9 differ."""
    held, upper = (tenths / 10 - 32) / 1.8, (tenths / 10 - 32) * 5 / 9
    heat = gddcast.degree_days(held, held, lower=5.0, upper=upper, shape=shape, cutoff="vertical")
    np.testing.assert_allclose(heat, 0.0, rtol=0, atol=1e-6)


def test_capping_readings_is_not_capping_the_mean() -> None:
    """39/84 °F over readings of 60 and 90 gives 33; capping the mean would give 36."""
    cap = gddcast.degree_days(
        60, 90, lower=39, upper=84, shape=gddcast.floor_the_mean, cutoff=gddcast.cap_the_readings
    )
    level = gddcast.degree_days(60, 90, lower=39, upper=84, shape=gddcast.floor_the_mean)
    assert (cap, level) == (33.0, 36.0)


@pytest.mark.parametrize(
    ("swing", "part"), [("single sine", 1 / np.pi), ("single triangle", 1 / 4)]
)
def test_a_threshold_at_the_mean_leaves_a_known_share_of_the_swing(swing: str, part: float) -> None:
    """W/π under a sine, W/4 under a triangle: exact identities."""
    ours = gddcast.degree_days(40.0, 60.0, lower=50.0, shape=SHAPES[swing])
    np.testing.assert_allclose(ours, 10.0 * part, rtol=0, atol=1e-14)


@pytest.mark.parametrize(
    ("cutoff", "expected"),
    [("none", 35.00), ("horizontal", 28.48), ("intermediate", 21.97), ("vertical", 10.94)],
)
def test_one_hot_day_by_every_cutoff(cutoff: str, expected: float) -> None:
    """60/110 °F with 50/88, single sine: computed once by quadrature, kept as a landmark."""
    ours = gddcast.degree_days(60, 110, lower=50, upper=88, cutoff=CUTOFFS[cutoff])
    np.testing.assert_allclose(ours, expected, rtol=0, atol=0.005)


@pytest.mark.parametrize(
    ("lower", "upper"), [(30.0, 10.0), (10.0, 10.0), (np.nan, 20.0), (5.0, np.nan)]
)
def test_crossed_thresholds_are_refused(lower: float, upper: float) -> None:
    """A lower threshold is a number below the upper one."""
    with pytest.raises(ArgumentRefusal, match="lower threshold is a number below the upper"):
        gddcast.degree_days(1.0, 2.0, lower=lower, upper=upper)


def test_hourly_readings_of_a_sine_come_close_to_the_sine() -> None:
    """24 mid-hour readings of a true sine: within 0.0013 of the range under a horizontal cut."""
    hours = (np.arange(24) + 0.5) / 24
    readings = 20.0 + 12.0 * np.sin(2 * np.pi * (hours - 0.25))
    for cutoff, share in (("none", 0.0013), ("horizontal", 0.0013), ("intermediate", 0.0025)):
        method = {"lower": 10.0, "upper": 28.0, "cutoff": CUTOFFS[cutoff]}
        ours = gddcast.hourly_degree_days(readings, **method)
        np.testing.assert_allclose(
            ours, gddcast.degree_days(8.0, 32.0, **method), rtol=0, atol=share * 24.0
        )


def test_hourly_keeps_unknown_hours_unknown_and_days_apart() -> None:
    """A day with a missing reading has no answer; its neighbour keeps its own."""
    readings = np.full((2, 24), 15.0)
    readings[0, 7] = np.nan
    heat = gddcast.hourly_degree_days(readings, lower=10.0, upper=14.0, cutoff=gddcast.vertical)
    assert np.isnan(heat[0])
    assert heat[1] == 0.0


@pytest.mark.filterwarnings("ignore")  # the reference library's own, of its dependencies
def test_floor_the_mean_sums_equal_a_reference_library() -> None:
    """A year of floor-the-mean sums equals xclim's growing degree days on the same days."""
    xclim = pytest.importorskip("xclim.indices", reason="xclim is not installed")
    xarray = pytest.importorskip("xarray", reason="xarray is not installed")
    rng = np.random.default_rng(7)
    mean = 12.0 - 12.0 * np.cos(np.arange(365) / 58.1) + rng.normal(0.0, 3.0, 365)
    half = np.abs(rng.normal(6.0, 2.0, 365))
    days = np.datetime64("2025-01-01") + np.arange(365)
    tas = xarray.DataArray(
        mean, dims="time", coords={"time": days.astype("datetime64[ns]")}, attrs={"units": "degC"}
    )
    theirs = float(xclim.growing_degree_days(tas, thresh="10 degC", freq="YS")[0])
    ours = gddcast.degree_days(mean - half, mean + half, lower=10.0, shape=gddcast.floor_the_mean)
    np.testing.assert_allclose(ours.sum(), theirs, rtol=0, atol=1e-6)


def test_half_a_day_stands_at_each_reading_and_nothing_beyond_them() -> None:
    """The slope of the readings' curve: a half inside the day's range, nought at its ends."""
    share = gddcast.floor_the_readings.s
    assert share is not None
    np.testing.assert_array_equal(share(np.array([0.0, 0.5, 0.999, 1.0])), [0.5, 0.5, 0.5, 0.0])


@pytest.mark.parametrize(
    ("lower", "upper"),
    [
        ([10.0, 30.0], 20.0),
        (10.0, [20.0, 10.0]),
        ([10.0, -math.inf], 20.0),
        ([10.0, math.nan], 20.0),
    ],
)
def test_of_several_thresholds_each_lower_one_lies_below_its_upper_one(
    lower: object, upper: object
) -> None:
    with pytest.raises(ArgumentRefusal, match="a number below the upper one"):
        gddcast.degree_days([5.0, 5.0], [25.0, 25.0], lower=lower, upper=upper)


def test_a_counting_says_its_limits_and_its_shape() -> None:
    limited = gddcast.Counting(10.0, 30.0, "double sine", "vertical")
    assert repr(limited) == "<Counting above 10 °C, cut-off vertical at 30 °C, double sine>"
    assert repr(gddcast.Counting(10.0)) == "<Counting above 10 °C, single sine>"
