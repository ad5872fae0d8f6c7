"""What the engine refuses, and that it says what was expected, what came and where."""

import numpy as np
import pytest
from numpy.typing import NDArray
from test_adjust import decay, linear

from fitting.adjust import Adjustment, adjust
from fitting.errors import BadInput, Unsolvable

FloatArray = NDArray[np.float64]


def test_no_convergence_says_what_still_moves() -> None:
    with pytest.raises(Unsolvable, match=r"in 2 of 2 steps: a would still move .* slipped digit"):
        adjust(decay, [4.0], np.full(4, 1e-6), names=["a"], max_iterations=2)


def test_slopes_of_the_wrong_sign_are_no_convergence() -> None:
    def wrong(state: FloatArray) -> tuple[FloatArray, FloatArray]:
        return 3.0 - state, -np.eye(1)

    with pytest.raises(Unsolvable, match="no convergence in 1 of 25 steps: unknown 0"):
        adjust(wrong, [0.0], [1.0])


def test_unknowns_that_are_free_are_named() -> None:
    design = np.array([[1.0, -1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 2.0, 0.0]])
    names = ["left", "right", "sill", "head"]
    with pytest.raises(Unsolvable, match=r"2 directions .* in: left, right, head; add readings"):
        adjust(linear(design, np.ones(3)), np.zeros(4), np.ones(3), names=names)
    # A prior on each direction settles it.
    sd = [1.0, np.inf, np.inf, 5.0]
    settled = adjust(linear(design, np.ones(3)), np.zeros(4), np.ones(3), prior_sd=sd)
    assert settled.sd[3] == pytest.approx(5.0)


def test_a_direction_that_only_rounding_ties_is_free() -> None:
    design = np.array([[1.0, 1.0], [1.0, 1.0 + 1e-13], [1.0, 1.0]])
    with pytest.raises(Unsolvable, match="1 direction of the state free, seen in: a, b; add a read"):
        adjust(linear(design, np.ones(3)), np.zeros(2), np.ones(3), names=["a", "b"])


def test_only_a_dozen_free_unknowns_are_named() -> None:
    with pytest.raises(Unsolvable, match="unknown 11 and 8 more; add"):
        adjust(linear(np.zeros((1, 20)), np.ones(1)), np.zeros(20), np.ones(1))


def repeated_pair() -> FloatArray:
    """Reading 2 repeats reading 0 with no error of its own."""
    sigma = np.diag([2.0, 1.0, 2.0, 1.0])
    sigma[0, 2] = sigma[2, 0] = 2.0
    return sigma


def negative_later() -> FloatArray:
    sigma = np.eye(5)
    sigma[1, 3] = sigma[3, 1] = 1.5
    return sigma


@pytest.mark.parametrize(
    ("covariance", "message"),
    [
        pytest.param([1.0, 0.0, 1.0], "positive, finite variance, got 0.0 in row 1", id="zero"),
        pytest.param([1.0, 1.0, -4.0], "got -4.0 in row 2", id="negative"),
        pytest.param([np.nan, 1.0], "got nan in row 0", id="nan"),
        pytest.param(np.ones((2, 3)), r"\(m, m\) covariance, got shape \(2, 3\)", id="shape"),
        pytest.param(repeated_pair(), "fails at row 2", id="repeated"),
        pytest.param(negative_later(), "fails at row 3", id="indefinite"),
        pytest.param([[1.0, 0.5], [0.4, 1.0]], "symmetric.* 0.5 in row 0", id="asymmetric"),
        pytest.param([[1.0, np.nan], [np.nan, 1.0]], "symmetric, finite", id="nan inside"),
    ],
)
def test_a_covariance_that_is_none_names_its_row(covariance: FloatArray, message: str) -> None:
    m = len(covariance)
    with pytest.raises(BadInput, match=message):
        adjust(linear(np.ones((m, 1)), np.ones(m)), [0.0], covariance)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"start": [[0.0, 0.0]]}, "one or more finite numbers"),
        ({"start": [0.0, np.nan]}, "one or more finite numbers"),
        ({"start": []}, "one or more finite numbers"),
        ({"linearise": lambda x: (x, np.eye(2))}, r"\(3, 2\) .* got shapes \(2,\) and \(2, 2\)"),
        ({"covariance": [1.0, 1.0]}, "expected 2 differences .* 2 readings"),
        ({"names": ["a"]}, "expected 2 names, one for each unknown, got 1"),
        ({"prior_sd": [1.0]}, r"`prior_sd` of shape \(2,\)"),
        ({"prior_sd": [1.0, 0.0]}, "prior_sd above 0, .* got 0.0 for unknown 1"),
        ({"prior_sd": [np.nan, 1.0], "names": ["a", "b"]}, "got nan for a"),
        ({"prior_mean": [0.0, np.inf]}, "finite prior_mean, got inf for unknown 1"),
        ({"datum": "loose"}, "datum 'fixed' or 'free', got 'loose'"),
        ({"tolerance": 0.0}, "tolerance above 0"),
        ({"max_iterations": 0}, "one iteration or more"),
        ({"linearise": linear(np.ones((3, 2)), np.array([1.0, np.nan, 1.0]))}, "in row 1"),
        ({"linearise": linear(np.full((3, 2), np.nan), np.ones(3))}, "in row 0"),
    ],
)
def test_bad_input_says_what_was_expected(changed: dict[str, object], message: str) -> None:
    design = np.array([[1.0, 0.0], [0.0, 1.0], [1.0, 1.0]])
    call = {
        "linearise": linear(design, np.ones(3)),
        "start": [0.0, 0.0],
        "covariance": np.ones(3),
    }
    with pytest.raises(BadInput, match=message):
        adjust(**{**call, **changed})  # type: ignore[arg-type]


@pytest.fixture
def small() -> Adjustment:
    return adjust(linear(np.eye(2), np.ones(2)), [0.0, 0.0], [1.0, 1.0])


@pytest.mark.parametrize(
    ("question", "message"),
    [
        (([1.0, 0.0],), r"`design` of shape \('k', 2\), got \(2,\)"),
        (([[1.0]],), r"`design` of shape \('k', 2\)"),
        (([[1.0, np.nan]],), r"finite numbers in `design`, got nan at \(0, 1\)"),
        (([[1.0, 0.0]], [[1.0, 0.0]]), "expected `own` beside `cross`"),
        (([[1.0, 0.0]], [[1.0]], [[1.0]]), r"`cross` of shape \(1, 2\)"),
        (([[1.0, 0.0]], None, [[1.0, 0.0]]), r"`own` of shape \(1, 1\)"),
    ],
)
def test_predict_refuses_shapes_that_do_not_fit(
    small: Adjustment, question: tuple[FloatArray, ...], message: str
) -> None:
    with pytest.raises(BadInput, match=message):
        small.predict(*question)


def test_a_cross_covariance_that_cannot_be_is_refused(small: Adjustment) -> None:
    with pytest.raises(BadInput, match="variances of 0 or more"):
        small.predict([[1.0, 0.0]], [[5.0, 0.0]], [[1.0]])


@pytest.mark.parametrize("delta0", [0.0, -1.0, np.nan])
def test_the_smallest_slip_needs_a_power(small: Adjustment, delta0: float) -> None:
    with pytest.raises(BadInput, match="positive delta0"):
        small.smallest_slip(delta0)
