"""Joint distributions: what is none is refused."""

import numpy as np
import pytest
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.joint import Joint

FloatArray = NDArray[np.float64]


@pytest.mark.parametrize(
    ("mean", "covariance", "message"),
    [
        ([1.0], [1.0], "k by k"),
        ([1.0, 2.0], [[1.0]], "k by k"),
        ([np.nan], [[1.0]], "finite means, got nan at 0"),
        ([1.0], [[np.inf]], "finite covariance, got inf"),
        ([1.0, 2.0], [[1.0, 0.5], [0.4, 1.0]], r"symmetric .* 0.5 at \(0, 1\) and 0.4"),
        ([1.0, 2.0], [[1.0, 0.0], [0.0, -1.0]], "0 or more, got -1.0 at 1"),
    ],
)
def test_a_joint_distribution_refuses_what_is_none(
    mean: FloatArray, covariance: FloatArray, message: str
) -> None:
    with pytest.raises(BadInput, match=message):
        Joint(mean, covariance)


def test_rounding_below_zero_is_a_standard_deviation_of_zero() -> None:
    assert Joint([0.0, 0.0], [[1.0, 0.0], [0.0, -1e-15]]).sd == pytest.approx([1.0, 0.0])
