"""NIST StRD linear regression sets: certified digits that normal equations cannot keep.

Data and certified values: NIST Statistical Reference Datasets, Longley and Norris
(itl.nist.gov/div898/strd; US government, public). LRE is the number of correct digits,
−log10 of the relative error.
"""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from fitting.adjust import Adjustment, adjust

FloatArray = NDArray[np.float64]
GATE = 9.0  # digits

# Employment (y), then price deflator, product, unemployment, armed forces, population, year.
LONGLEY = np.array(
    [
        [60323, 83.0, 234289, 2356, 1590, 107608, 1947],
        [61122, 88.5, 259426, 2325, 1456, 108632, 1948],
        [60171, 88.2, 258054, 3682, 1616, 109773, 1949],
        [61187, 89.5, 284599, 3351, 1650, 110929, 1950],
        [63221, 96.2, 328975, 2099, 3099, 112075, 1951],
        [63639, 98.1, 346999, 1932, 3594, 113270, 1952],
        [64989, 99.0, 365385, 1870, 3547, 115094, 1953],
        [63761, 100.0, 363112, 3578, 3350, 116219, 1954],
        [66019, 101.2, 397469, 2904, 3048, 117388, 1955],
        [67857, 104.6, 419180, 2822, 2857, 118734, 1956],
        [68169, 108.4, 442769, 2936, 2798, 120445, 1957],
        [66513, 110.8, 444546, 4681, 2637, 121950, 1958],
        [68655, 112.6, 482704, 3813, 2552, 123366, 1959],
        [69564, 114.2, 502601, 3931, 2514, 125368, 1960],
        [69331, 115.7, 518173, 4806, 2572, 127852, 1961],
        [70551, 116.9, 554894, 4007, 2827, 130081, 1962],
    ]
)
LONGLEY_CERTIFIED = [
    -3482258.63459582,
    15.0618722713733,
    -0.0358191792925910,
    -2.02022980381683,
    -1.03322686717359,
    -0.0511041056535807,
    1829.15146461355,
]
LONGLEY_CERTIFIED_SD = [
    890420.383607373,
    84.9149257747669,
    0.0334910077722432,
    0.488399681651699,
    0.214274163161675,
    0.226073200069370,
    455.478499142212,
]
LONGLEY_CERTIFIED_VARIANCE = 92936.0061673238

NORRIS_X = """
.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 .4 .6 775.5 666.9 338.0 447.5 11.6
556.0 228.1 995.8 887.6 120.2 .3 .3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 .5
"""
NORRIS_Y = """
.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 .3 .1 778.1 668.8 339.3 448.9 10.8
557.7 228.3 998.0 888.8 119.6 .3 .6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 .2
"""
NORRIS_CERTIFIED = [-0.262323073774029, 1.00211681802045]
NORRIS_CERTIFIED_SD = [0.232818234301152, 4.29796848199937e-4]
NORRIS_CERTIFIED_RESIDUAL_SD = 0.884796396144373


def digits(found: FloatArray, certified: list[float]) -> float:
    """Fewest correct digits; 15 where there is no difference to see."""
    error = np.abs(found / np.array(certified) - 1)
    return float(-np.log10(np.maximum(error, 1e-15)).min())


def longley() -> tuple[FloatArray, FloatArray]:
    return np.column_stack([np.ones(16), LONGLEY[:, 1:]]), LONGLEY[:, 0]


def norris() -> tuple[FloatArray, FloatArray]:
    x = np.array(NORRIS_X.split(), dtype=float)
    return np.column_stack([np.ones(36), x]), np.array(NORRIS_Y.split(), dtype=float)


def straight(design: FloatArray, observed: FloatArray) -> Adjustment:
    unknowns = design.shape[1]
    return adjust(
        lambda state: (observed - design @ state, design),
        np.zeros(unknowns),
        np.ones(observed.size),
    )


def by_normal_equations(design: FloatArray, observed: FloatArray) -> FloatArray:
    found: FloatArray = np.linalg.solve(design.T @ design, design.T @ observed)
    return found


def test_longley_keeps_the_certified_digits() -> None:
    result = straight(*longley())
    assert result.sigma0 is not None
    assert digits(result.state, LONGLEY_CERTIFIED) >= GATE
    assert digits(result.sd * result.sigma0, LONGLEY_CERTIFIED_SD) >= GATE
    assert digits(np.array([result.sigma0**2]), [LONGLEY_CERTIFIED_VARIANCE]) >= GATE


def test_normal_equations_would_not_pass_the_gate() -> None:
    assert digits(by_normal_equations(*longley()), LONGLEY_CERTIFIED) < GATE


def test_longley_without_its_constant_centred_is_the_same_plane() -> None:
    """Shifting the year's origin to 1947 moves only the constant (algebra)."""
    design, observed = longley()
    design[:, 6] -= 1947
    result = straight(design, observed)
    slope = np.array(LONGLEY_CERTIFIED)
    slope[0] += 1947 * slope[6]
    assert digits(result.state[1:], LONGLEY_CERTIFIED[1:]) >= GATE
    assert result.state[0] == pytest.approx(slope[0], rel=1e-7)


def test_norris_keeps_the_certified_digits() -> None:
    result = straight(*norris())
    assert result.sigma0 is not None
    assert digits(result.state, NORRIS_CERTIFIED) >= GATE
    assert digits(result.sd * result.sigma0, NORRIS_CERTIFIED_SD) >= GATE
    assert digits(np.array([result.sigma0]), [NORRIS_CERTIFIED_RESIDUAL_SD]) >= GATE


@pytest.mark.parametrize("problem", [longley, norris], ids=["Longley", "Norris"])
def test_redundancy_numbers_are_one_minus_leverage(
    problem: Callable[[], tuple[FloatArray, FloatArray]],
) -> None:
    """The hat matrix by singular values, an independent way to the same numbers."""
    design, observed = problem()
    basis, _, _ = np.linalg.svd(design / np.linalg.norm(design, axis=0), full_matrices=False)
    control = straight(design, observed).control
    assert control == pytest.approx(1 - np.sum(basis**2, axis=1), abs=1e-10)
