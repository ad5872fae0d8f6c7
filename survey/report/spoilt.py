"""Which reading keeps a room from coming together: the one without which it does."""

from __future__ import annotations

from typing import Final

from fitting.errors import FittingError, Unsolvable
from fitting.site import know_room
from survey.finding import Finding, finding
from survey.observe import Observed

MOST_TRIED: Final = 100
"""Records that are left out in turn, so that nobody waits longer than some seconds."""


def makes_no_room(observed: Observed, problem: FittingError) -> Finding:
    """Return the finding of readings that make no room; it names each record without which they do.

    A digit that slipped by tens of centimetres pulls the room so far that the adjustment does not settle, so
    nothing is judged by its residual. Leaving one record out at a time is slow and needs no residuals.

    Parameters
    ----------
    observed
        What was read, with a plan; together it makes no room.
    problem
        What the fitting said; told in its words where it is not that nothing settles.
    """
    names = dict.fromkeys(what.record for what in observed.what.values())
    spoil = [name for name in names if len(names) <= MOST_TRIED and _is_well_without(observed, name)]
    if not spoil:
        why = "no room comes near all of it" if isinstance(problem, Unsolvable) else str(problem)
        do = "look for two slipped digits, or walls and corners that are named the wrong way round"
        return finding(206, why=why, do=do)
    words = [next(what.words for what in observed.what.values() if what.record == name) for name in spoil]
    each = " or ".join(f"the {each}" for each in words)
    do = "look for a slipped digit in it, and read it again; then `correct` its line, or `withdraw` it"
    return finding(206, spoil, why=f"it comes together without {each}", do=do)


def _is_well_without(observed: Observed, record: str) -> bool:
    rest = [reading for reading in observed.readings if observed.what[reading.key].record != record]
    assert observed.plan is not None
    try:
        know_room(observed.plan, rest, observed.prior)
    except FittingError:
        return False
    return True
