"""A linear program of few unknowns and many bounds, by the dual simplex."""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog

from simulated.laws import FloatArray

MOST_STEPS = 300
"""More happen only where a corner is degenerate; then the library's solver is asked."""
FRESH = 20
"""After so many steps the inverse is made anew; between, it is only changed."""
KEPT = 1e-9
"""A bound of rows of about unit size counts as kept within this."""


def most(objective: FloatArray, rows: FloatArray, limits: FloatArray, box: FloatArray) -> FloatArray:
    """Return x (n,) that makes `objective @ x` greatest, with `rows @ x <= limits` and |x| <= box.

    Start in the box's best corner; the bound that is broken most comes in, the one whose multiplier vanishes
    first goes out, till none is broken (Chvatal, Linear Programming, chapter 10; from memory). Scale unknowns
    so that they are of like size.

    >>> most(np.array([1.0, 1.0]), np.array([[1.0, 2.0]]), np.array([4.0]), np.array([3.0, 3.0]))
    array([3. , 0.5])

    Raises
    ------
    ValueError
        Where nothing keeps all bounds.
    """
    n = objective.size
    A = np.vstack([np.eye(n), -np.eye(n), rows])
    b = np.concatenate([box, box, limits])
    active = np.where(objective >= 0.0, np.arange(n), np.arange(n) + n)
    inverse = np.diag(np.where(objective >= 0.0, 1.0, -1.0))
    for number in range(MOST_STEPS):
        if number % FRESH == FRESH - 1:
            inverse = np.linalg.inv(A[active])
        x = inverse @ b[active]
        broken = A @ x - b
        worst = int(np.argmax(broken))
        if broken[worst] <= KEPT:
            return np.asarray(x)
        multipliers, enters = objective @ inverse, A[worst] @ inverse
        can = enters > 1e-11
        if not can.any():
            raise ValueError("expected bounds that can be kept together, got none that can: widen the box")
        steps = np.full(n, np.inf)
        steps[can] = np.maximum(multipliers[can], 0.0) / enters[can]
        # Of ties the largest pivot: it keeps the inverse well-conditioned.
        ties = np.flatnonzero(steps <= steps.min() + 1e-12)
        leaves = ties[np.argmax(enters[ties])]
        active[leaves] = worst
        enters[leaves] -= 1.0
        inverse = inverse - np.outer(inverse[:, leaves], enters / (1.0 + enters[leaves]))
    bounds = np.column_stack([-box, box])
    found = linprog(-objective, A_ub=rows, b_ub=limits, bounds=bounds, method="highs")
    if found.x is None:
        raise ValueError(f"expected bounds that can be kept together: {found.message}")
    return np.asarray(found.x)
