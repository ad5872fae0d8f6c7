"""Pieces seated on walls that are drawn, against each wall solved by linear programming."""

import numpy as np
import pytest
from scipy.optimize import linprog

from fitting.joint import Joint
from fitting.seating import Bearing, Seating, resting, seated

WIDTH, STATIONS, DEEP = 1200.0, 26, 9
ALONG = np.linspace(0.0, WIDTH, STATIONS)
YS = np.linspace(0.0, 600.0, DEEP)
HOLLOW = 2e-6 * (ALONG - 500.0) ** 2  # how far the wall stands out, mm
CROWN = -6.0 * np.abs(ALONG / WIDTH - 0.505)
WALLS = 3000


def bearing(turning: tuple[int, int] | None = None, left: bool = True) -> Bearing:
    """A back and one side of a piece square to its walls, held at its left or its right."""
    back = np.column_stack([-ALONG, -np.ones(STATIONS), np.zeros(STATIONS)])
    sign = 1.0 if left else -1.0
    side = sign * np.column_stack([-YS, np.zeros(DEEP), np.ones(DEEP)])
    along = ALONG if left else ALONG - WIDTH
    back[:, 0] = -along
    return Bearing(along, np.vstack([back, side]), (slice(STATIONS, STATIONS + DEEP),), turning)


def clearances(shape: np.ndarray, sd: float = 0.6, reach: float = 150.0) -> Joint:
    """Of a back on that wall, and a side wall that is plane; both uneven in waves, and unsure as a whole."""
    contact = resting(ALONG, shape)[0]
    mean = np.concatenate([contact.gaps, np.zeros(DEEP)])
    covariance = np.zeros((mean.size, mean.size))
    for at, part in ((ALONG, slice(0, STATIONS)), (YS, slice(STATIONS, None))):
        apart = np.subtract.outer(at, at) / reach
        covariance[part, part] = sd**2 * np.exp(-(apart**2) / 2) + 4.0 + 1e-5 * np.outer(at, at)
    return Joint(mean, covariance)


def brute_force(bears: Bearing, clearance: Joint) -> tuple[np.ndarray, np.ndarray]:
    """Walls of their own draws, and how the piece moves on each: no further back in the middle than it can
    go, then sideways till it touches."""
    random = np.random.default_rng(99)
    walls = random.multivariate_normal(clearance.mean, clearance.covariance, WALLS, method="svd")
    moved = np.array([_pushed(bears, wall) for wall in walls])
    return walls, moved


def _pushed(bears: Bearing, wall: np.ndarray) -> np.ndarray:
    middle = bears.along.mean()
    # Turn and motion to the back, for the least clearance in the middle: clearance + effects . motion >= 0.
    found = linprog(
        [-middle, -1.0], A_ub=-bears.effects[:STATIONS, :2], b_ub=wall[:STATIONS], bounds=[(None, None)] * 2
    )
    turn, back = found.x
    side = wall[STATIONS:] + bears.effects[STATIONS:, 0] * turn
    return np.array([turn, back, -bears.effects[-1, 2] * side.min()])


@pytest.fixture(scope="module")
def pushed() -> tuple[Joint, Seating, np.ndarray, np.ndarray]:
    clearance = clearances(HOLLOW)
    return clearance, seated(bearing(), clearance), *brute_force(bearing(), clearance)


ANSWERS = np.array([[-600.0, -1.0, 0.0], [-1200.0, -1.0, 0.0], [0.0, 0.0, 1.0], [-600.0, 0.0, 1.0]])
"""What motions do to the gap behind the middle and the end, and to that beside the front and the back."""


def test_it_stands_as_much_further_out_as_on_walls_solved_one_by_one(pushed):
    _, seating, _, moved = pushed
    moves = moved @ ANSWERS.T
    # Draws are of walls' unevenness alone; those solved one by one have the whole walls' error too.
    sampling = 4 * moves.std(axis=0) / np.sqrt(WALLS)
    assert (np.abs(seating.shift @ ANSWERS.T - moves.mean(axis=0)) < sampling).all()
    assert (seating.shift @ ANSWERS.T)[0] > 0.1


def test_its_motions_vary_as_on_walls_solved_one_by_one(pushed):
    clearance, seating, _, moved = pushed
    foretold = seating.slopes.T @ clearance.covariance @ seating.slopes + seating.rest
    one, other = (np.sqrt(np.diag(ANSWERS @ each @ ANSWERS.T)) for each in (foretold, np.cov(moved.T)))
    assert one == pytest.approx(other, rel=0.08)


def test_what_is_left_open_beside_it_is_as_large_as_on_walls_solved_one_by_one(pushed):
    """The clearances after the piece has moved: the whole walls' common error is gone from them."""
    clearance, seating, walls, moved = pushed
    effects = bearing().effects
    left = np.cov((walls + moved @ effects.T).T)
    carry = np.eye(len(effects)) + effects @ seating.slopes.T
    foretold = carry @ clearance.covariance @ carry.T + effects @ seating.rest @ effects.T
    size, expected = np.sqrt(np.diag(foretold)), np.sqrt(np.diag(left))
    assert size == pytest.approx(expected, rel=0.08, abs=0.02)
    assert np.linalg.eigvalsh(foretold).min() > -1e-9


def test_places_it_is_not_expected_to_touch_count_too(pushed):
    _, seating, _, _ = pushed
    assert 4 < np.count_nonzero(seating.slopes[:STATIONS].any(axis=1)) <= STATIONS
    assert set(seating.used) >= {0, STATIONS}


def test_on_a_known_wall_it_sits_as_expected():
    seating = seated(bearing(), Joint(clearances(HOLLOW).mean, np.zeros((35, 35))))
    assert seating.shift == pytest.approx(np.zeros(3), abs=1e-9)
    assert seating.rest == pytest.approx(np.zeros((3, 3)), abs=1e-12)
    assert np.count_nonzero(seating.slopes.any(axis=1)) == 3


def test_on_a_crown_only_what_evens_it_turns_it():
    clearance = clearances(CROWN)
    _, touching, turning = resting(ALONG, CROWN)
    assert len(touching) == 1
    seating = seated(bearing(turning), clearance)
    assert np.flatnonzero(seating.slopes[:, 0]).tolist() == sorted(turning)
    assert seating.shift[0] == pytest.approx(0.0, abs=1e-9)
    assert seating.shift[1] + 0.5 * WIDTH * seating.shift[0] < -0.05


@pytest.mark.parametrize("shape", [HOLLOW, CROWN], ids=["hollow", "crown"])
def test_a_mirrored_piece_is_seated_on_the_mirrored_walls(shape):
    clearance, turning = clearances(shape), None
    if len(resting(ALONG, shape)[1]) == 1:
        turning = resting(ALONG, shape)[2]
    order = np.concatenate([np.arange(STATIONS)[::-1], np.arange(STATIONS, STATIONS + DEEP)])
    image = Joint(clearance.mean[order], clearance.covariance[np.ix_(order, order)])
    turning_image = None if turning is None else (STATIONS - 1 - turning[1], STATIONS - 1 - turning[0])
    one, other = seated(bearing(turning), clearance), seated(bearing(turning_image, left=False), image)
    sign = np.array([-1.0, 1.0, -1.0])
    assert other.shift * sign == pytest.approx(one.shift, abs=1e-6)
    assert other.slopes[order] * sign == pytest.approx(one.slopes, abs=1e-6)
    assert other.rest * np.outer(sign, sign) == pytest.approx(one.rest, abs=1e-6)
