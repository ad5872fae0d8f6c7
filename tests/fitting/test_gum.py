"""Worked examples of measurement uncertainty that the trade of measuring agrees on.

GUM (JCGM 100:2008) H.1, end-gauge calibration: inputs and results as quoted in public test files of a BSD
uncertainty library; its second-order figure of 34 nm from memory. NIST Technical Note 1900 E13 is left out:
its inputs follow Student's t, and `draws_of` knows normals only.
"""

import numpy as np
import pytest

from fitting.adjust import adjust
from fitting.chance import draws_of
from fitting.joint import Joint

NAMES = ("standard", "difference", "expansion", "temperature", "expansion apart", "temperature apart")
MEANS = np.array([50.000623e6, 215.0, 11.5, -0.1, 0.0, 0.0])  # nm, nm, 1e-6/K, K, 1e-6/K, K
SDS = np.array([25.0, 9.7, 1.2, 0.41, 0.58, 0.029])


def length(x: np.ndarray) -> np.ndarray:
    standard, difference, expansion, temperature, apart, warmer = x.T
    return standard + difference - 1e-6 * standard * (apart * temperature + expansion * warmer)


def sensitivities() -> np.ndarray:
    standard, _, expansion, temperature, apart, _ = MEANS
    by = np.array([0.0, apart, temperature, expansion]) * standard * -1e-6
    return np.array([1.0, 1.0, *by])


def test_the_end_gauge_by_first_order():
    made = adjust(lambda x: ((MEANS - x) / SDS, np.diag(1 / SDS)), MEANS, np.ones(6), names=NAMES)
    gauge = made.predict(sensitivities()[None])
    assert length(MEANS) == pytest.approx(50.000838e6, abs=0.5)
    assert gauge.sd[0] == pytest.approx(31.71, abs=0.005)  # printed as 32 nm
    parts = np.abs(sensitivities()) * SDS
    assert parts[[0, 1, 4, 5]] == pytest.approx([25.0, 9.7, 2.9, 16.6], abs=0.1)  # as printed


def test_the_end_gauge_by_draws_shows_what_first_order_leaves_out():
    # Expansion and temperature only count together, so first order says 32 where 34 is right.
    drawn = length(draws_of(Joint(MEANS, np.diag(SDS**2)), 200_000))
    assert drawn.std() == pytest.approx(33.9, abs=0.2)
    assert drawn.std() > 31.71 + 1.5


def test_a_gap_near_nothing_is_not_what_first_order_says():
    """JCGM 102: of √(re² + im²) near zero, first order says 1 ± 10, draws say 13 ± 7 (in 1/1000)."""
    parts = draws_of(Joint([1.0, 0.0], np.diag([100.0, 100.0])), 200_000)
    size = np.hypot(*parts.T)
    assert (size.mean(), size.std()) == (pytest.approx(12.6, abs=0.1), pytest.approx(6.6, abs=0.1))
