"""Student's t against SciPy's, and against a table printed before either."""

import numpy as np
import pytest
from scipy.special import stdtrit

from gddcast.outlook.student_t import student_t


@pytest.mark.parametrize("freedom", [2, 3, 4, 5, 8, 15, 33, 94, 203])
def test_a_quantile_is_scipy_s(freedom: int) -> None:
    shares = [0.001, 0.05, 0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9, 0.95, 0.999]
    ours = [student_t(freedom, share) for share in shares]
    np.testing.assert_allclose(ours, stdtrit(freedom, shares), rtol=0, atol=1e-11)


def test_a_printed_value_is_met() -> None:
    # Student (1908) and every table since, two-sided 5 %.
    printed = {4: 2.776, 10: 2.228, 30: 2.042}
    for freedom, value in printed.items():
        assert round(student_t(freedom, 0.975), 3) == value
