"""Quantiles of Student's t for whole degrees of freedom, from its closed form.

SciPy has them, and importing it takes twice as long as NumPy: too long for every answer that has
few years to go by.
"""

from __future__ import annotations

import math
from functools import cache

# Newton's steps from below never pass the root; of 4 to 100 degrees of freedom and shares of one
# in a thousand they need 40 at most.
_STEPS = 200


@cache
def student_t(freedom: int, share: float) -> float:
    """Value that a share of Student's t lies below.

    Parameters
    ----------
    freedom : int
        Degrees of freedom, 2 or more.
    share : float
        0 to 1, both excluded.

    Returns
    -------
    float

    Notes
    -----
    With t = √ν·tan θ the share within ±t is, for even ν, sin θ·Σ aₖ cos²ᵏ θ, and for odd ν
    2/π·(θ + sin θ cos θ·Σ bₖ cos²ᵏ θ) (Abramowitz & Stegun 1964, 26.7.3 and 26.7.4; from memory).
    It grows in θ ever more slowly, so that Newton's steps from θ = 0 meet it from below.

    Examples
    --------
    >>> round(student_t(10, 0.975), 6)
    2.228139
    """
    within = abs(2.0 * share - 1.0)
    odd = freedom % 2
    density = 2.0 * math.exp(math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2))
    density /= math.sqrt(math.pi)
    angle = 0.0
    for _ in range(_STEPS):
        cosine = math.cos(angle)
        term = total = 1.0
        for k in range(1, (freedom - odd) // 2):
            term *= (2 * k - 1 + odd) / (2 * k + odd) * cosine * cosine
            total += term
        held = math.sin(angle) * total
        if odd:
            held = 2.0 / math.pi * (angle + held * cosine)
        step = (within - held) / (density * cosine ** (freedom - 1))
        if angle + step <= angle:
            break
        angle += step
    return math.copysign(math.sqrt(freedom) * math.tan(angle), share - 0.5)
