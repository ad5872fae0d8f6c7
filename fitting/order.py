"""In which order things are done, from what must be there before what, and which of it contradicts itself."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from fitting.errors import BadInput

Why = Literal[
    "stands on",
    "hangs on",
    "is scribed against",
    "closes the gap beside",
    "blocks the way of",
    "is measured after",
    "must be in before",
]

LOOKED_AT: Final = 400
"""Partial answers after which a knot is told without proof that no smaller set unties it."""


@dataclass(frozen=True)
class Relation:
    """What ties one thing to another: `thing` ... `other`, as in "the top stands on the cabinet".

    Only with `must be in before` comes the thing itself first; with all others it waits for the other.
    """

    thing: str
    why: Why
    other: str

    @property
    def first(self) -> str:
        """What comes first."""
        return self.thing if self.why == "must be in before" else self.other

    @property
    def then(self) -> str:
        """What waits for it."""
        return self.other if self.why == "must be in before" else self.thing


@dataclass(frozen=True)
class Knot:
    """Things that wait for one another in a circle.

    Attributes
    ----------
    things
        All that are tied into it, in the order given.
    untied_by
        The relations to give up, fewest; of several such sets always the same one.
    is_fewest
        False only where a knot is so tangled that no proof was found that fewer would not do.
    """

    things: tuple[str, ...]
    untied_by: tuple[Relation, ...]
    is_fewest: bool


@dataclass(frozen=True)
class WorkOrder:
    """An order of work.

    Attributes
    ----------
    levels
        What can be done together; each thing as early as what it waits for allows. Within a level, in the
        order given.
    knots
        What contradicts itself; the levels are those without the relations that untie them.
    kept
        The relations that the levels obey, in the order given.
    """

    levels: tuple[tuple[str, ...], ...]
    knots: tuple[Knot, ...]
    kept: tuple[Relation, ...]

    def waits_for(self, thing: str) -> tuple[Relation, ...]:
        """Return the relations for which a thing comes after others."""
        return tuple(one for one in self.kept if one.then == thing)


def order_of_work(things: Sequence[str], relations: Iterable[Relation]) -> WorkOrder:
    """Put things in an order that no relation contradicts.

    Parameters
    ----------
    things
        Names, each once; where nothing decides between two, the one given first comes first.
    relations
        Among these things. The same pair may be tied by several.

    Raises
    ------
    BadInput
        A name given twice, one that is not among the things, or a thing tied to itself.

    Examples
    --------
    >>> order = order_of_work(
    ...     ["splash", "top", "box", "filler"],
    ...     [
    ...         Relation("top", "stands on", "box"),
    ...         Relation("splash", "is scribed against", "top"),
    ...         Relation("filler", "closes the gap beside", "box"),
    ...     ],
    ... )
    >>> order.levels
    (('box',), ('top', 'filler'), ('splash',))

    A circle is named, with the least to give up:

    >>> circle = order_of_work("ab", [Relation("a", "stands on", "b"), Relation("b", "hangs on", "a")])
    >>> circle.knots[0].things, len(circle.knots[0].untied_by), circle.levels
    (('a', 'b'), 1, (('b',), ('a',)))
    """
    kept = list(dict.fromkeys(relations))
    _refuse(things, kept)
    place = {thing: at for at, thing in enumerate(things)}
    arcs = _arcs(kept, place)
    knots = []
    for tied in _tied_together(len(things), arcs):
        inside = {arc: count for arc, count in arcs.items() if arc[0] in tied and arc[1] in tied}
        cut, is_fewest = _fewest(inside)
        given_up = tuple(one for one in kept if (place[one.first], place[one.then]) in cut)
        knots.append(Knot(tuple(things[at] for at in sorted(tied)), given_up, is_fewest))
        kept = [one for one in kept if one not in given_up]
    levels = _levels(len(things), _arcs(kept, place))
    return WorkOrder(tuple(tuple(things[at] for at in level) for level in levels), tuple(knots), tuple(kept))


Arc = tuple[int, int]
"""What comes first, and what waits for it, by their places among the things."""


def _refuse(things: Sequence[str], relations: Iterable[Relation]) -> None:
    known = set(things)
    if len(known) < len(things):
        double = next(one for at, one in enumerate(things) if one in things[:at])
        raise BadInput(f"expected each thing once, got `{double}` more than once")
    for one in relations:
        for name in (one.thing, one.other):
            if name not in known:
                raise BadInput(f"expected relations among the things given, got `{name}`, which is none")
        if one.thing == one.other:
            raise BadInput(f"expected relations of two things, got `{one.thing}` that {one.why} itself")


def _arcs(relations: Iterable[Relation], place: Mapping[str, int]) -> dict[Arc, int]:
    """Count the relations from each thing to each that waits for it."""
    arcs: dict[Arc, int] = {}
    for one in relations:
        arc = place[one.first], place[one.then]
        arcs[arc] = arcs.get(arc, 0) + 1
    return arcs


def _levels(count: int, arcs: Iterable[Arc]) -> list[list[int]]:
    """Return what can be done together; the arcs have no circle."""
    waiting: dict[int, set[int]] = {at: set() for at in range(count)}
    for first, then in arcs:
        waiting[then].add(first)
    levels = []
    while waiting:
        level = [at for at, others in waiting.items() if not others & waiting.keys()]
        levels.append(level)
        for at in level:
            del waiting[at]
    return levels


def _tied_together(count: int, arcs: Iterable[Arc]) -> list[set[int]]:
    """Return the sets of things of which each waits for each other, by their first member."""
    after: list[set[int]] = [set() for _ in range(count)]
    for first, then in arcs:
        after[first].add(then)
    reached = [_reached(at, after) for at in range(count)]
    sets: list[set[int]] = []
    for at in range(count):
        tied = {other for other in reached[at] if at in reached[other]}
        if tied and tied not in sets:
            sets.append(tied)
    return sets


def _reached(start: int, after: Sequence[set[int]]) -> set[int]:
    """Return all that comes after a thing, itself only where it waits for itself."""
    seen: set[int] = set()
    to_see = [start]
    while to_see:
        for other in after[to_see.pop()] - seen:
            seen.add(other)
            to_see.append(other)
    return seen


def _fewest(arcs: Mapping[Arc, int]) -> tuple[set[Arc], bool]:
    """Return the arcs of least count without which no circle is left, and whether that is proved.

    One arc at least of any circle must go: try each of a shortest one, with so many relations in all, then
    with one more. Circles that share no arc each need one of their own, so what they need in all is a bound.
    """
    looked_at = [0]
    allowed = sum(_least_in(arcs, circle) for circle in _apart(arcs))
    while looked_at[0] < LOOKED_AT:
        found = _within(dict(arcs), allowed, looked_at)
        if found is not None:
            return found, True
        allowed += 1
    return _by_circles(arcs), False


def _within(arcs: dict[Arc, int], allowed: int, looked_at: list[int]) -> set[Arc] | None:
    """Return arcs of that count at the most that leave no circle, or nothing."""
    looked_at[0] += 1
    if allowed < 0:
        return None
    apart = list(_apart(arcs))
    if not apart:
        return set()
    if looked_at[0] >= LOOKED_AT or sum(_least_in(arcs, circle) for circle in apart) > allowed:
        return None
    for arc in apart[0]:
        rest = {other: count for other, count in arcs.items() if other != arc}
        found = _within(rest, allowed - arcs[arc], looked_at)
        if found is not None:
            return found | {arc}
    return None


def _by_circles(arcs: Mapping[Arc, int]) -> set[Arc]:
    """Return arcs without which no circle is left; each of them closes one that the others leave open."""
    rest: dict[Arc, int] = dict(arcs)
    gone: list[Arc] = []
    while circle := _shortest_circle(rest):
        arc = min(circle, key=lambda one: (rest[one], one))
        gone.append(arc)
        del rest[arc]
    for arc in sorted(gone, key=lambda one: -arcs[one]):
        if not _shortest_circle([*rest, arc]):
            rest[arc] = arcs[arc]
    return arcs.keys() - rest.keys()


def _apart(arcs: Mapping[Arc, int]) -> Iterator[list[Arc]]:
    """Give circles of which no two share an arc, shortest first, until none is left."""
    rest = dict(arcs)
    while circle := _shortest_circle(rest):
        yield circle
        for arc in circle:
            del rest[arc]


def _least_in(arcs: Mapping[Arc, int], circle: Iterable[Arc]) -> int:
    return min(arcs[arc] for arc in circle)


def _shortest_circle(arcs: Iterable[Arc]) -> list[Arc]:
    """Return the arcs of a shortest circle, nothing where there is none."""
    after: dict[int, list[int]] = {}
    for first, then in sorted(arcs):
        after.setdefault(first, []).append(then)
    best: list[Arc] = []
    for start in after:
        circle = _circle_through(start, after, len(best) or math.inf)
        if circle:
            best = circle
    return best


def _circle_through(start: int, after: Mapping[int, Sequence[int]], shorter_than: float) -> list[Arc]:
    """Return a shortest circle through a thing, nothing where none is that short."""
    came: dict[int, int] = {}
    ring, length = [start], 0
    while ring and (length := length + 1) < shorter_than:
        following = []
        for here in ring:
            for there in after.get(here, ()):
                if there == start:
                    return _back(start, here, came)
                if there not in came:
                    came[there] = here
                    following.append(there)
        ring = following
    return []


def _back(start: int, last: int, came: Mapping[int, int]) -> list[Arc]:
    arcs = [(last, start)]
    while last != start:
        arcs.insert(0, (came[last], last))
        last = came[last]
    return arcs
