"""How much larger a piece could be and still go, or how much must come off: by halving."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from fitting.errors import BadInput
from fitting.getting_in.passing import FloatArray, Passing

STEP: Final = 0.5
"""mm; how near an amount is found: half of 1/32 in, about."""
MOST: Final = 150.0
"""mm; how far it is looked for: who must take off more makes another piece."""


def spare(goes: Callable[[float], Passing], most: float = MOST, step: float = STEP) -> float | None:
    """Find the greatest amount with which it surely goes.

    Parameters
    ----------
    goes : callable
        Answers for a piece larger by an amount (mm; below 0: smaller); what is larger goes no easier.
    most, step : float
        How far it is looked for to both sides, and how near it is found (mm).

    Returns
    -------
    float or None
        It surely goes with this; not with `step` more, unless that is `most`. Below 0: so much must come off.
        None where not even ``-most`` helps.

    Examples
    --------
    >>> from fitting.getting_in.tilt import cabinet_profile, tilt_up
    >>> round(spare(lambda more: tilt_up(cabinet_profile(2390 + more, 700), 2500)))
    10
    """
    if not 0 < step < most:
        raise BadInput(f"spare: expected a step above 0 and below {most:g} mm, got {step:g}")
    now = goes(0.0).verdict == "goes"
    low, high = (0.0, most) if now else (-most, 0.0)
    if goes(most if now else -most).verdict == "goes":
        if now:
            return most
    elif not now:
        return None
    while high - low > step:
        middle = (low + high) / 2
        if goes(middle).verdict == "goes":
            low = middle
        else:
            high = middle
    return low


def longer(ring: FloatArray, by: float, axis: int) -> FloatArray:
    """Stretch a ring at its middle along x (axis 0) or y (axis 1); its ends keep their shape and share it.

    Examples
    --------
    >>> longer(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 5.0], [0.0, 5.0]]), 2.0, 0)[:, 0].tolist()
    [-1.0, 11.0, 11.0, -1.0]
    """
    stretched = np.array(ring, dtype=np.float64)
    low, high = ring[:, axis].min(), ring[:, axis].max()
    if by <= low - high:
        raise BadInput(f"longer: expected to leave something of {high - low:g} mm, got {by:g}")
    stretched[:, axis] += np.where(ring[:, axis] > (low + high) / 2, by / 2, -by / 2)
    return stretched
