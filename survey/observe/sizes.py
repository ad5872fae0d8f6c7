"""Typed sizes of features that tie their edges to their own point: a casing's far edge to its near one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set

from fitting.site import Along
from survey.finding import Finding
from survey.observe.accuracy import graduation, length_accuracy
from survey.observe.ground import Ground, LeftOut
from survey.observe.observed import Seen
from survey.observe.register import seen
from survey.records import Electrical, Feature, Mark, RoughIn, Trim, TypedLength

SIDES = {"left": -0.5, "right": 0.5}
"""How many widths an edge lies along from the centre."""


def ties(
    points: Set[str], readings: Iterable[Seen], ground: Ground
) -> tuple[list[Seen], set[str], list[Finding]]:
    """Return a reading for each edge that was referred to and whose feature has a size.

    Returns
    -------
    list of Seen
        Edge against the feature's own point, keyed `(feature's id, edge)`.
    set of str
        The features' own points, which may not have been referred to.
    list of Finding
        Sizes that cannot be.
    """
    heights = dict(_heights(readings))
    found: list[Seen] = []
    own: set[str] = set()
    findings: list[Finding] = []
    for point in sorted(points - ground.corners.keys() - ground.struck.keys()):
        name, _, edge = point.partition(":")
        thing = ground.things[name]
        typed = None if isinstance(thing, Mark) else _width(thing, edge)
        up = heights.get(point, heights.get(name))
        if isinstance(thing, Mark) or typed is None or up is None:
            continue
        try:
            found.append(_tie(thing, edge, typed, up, ground))
            own.add(name)
        except LeftOut as left_out:
            findings.append(left_out.finding(thing.id))
    return found, own, findings


def _tie(thing: Feature, edge: str, typed: TypedLength, up: float, ground: Ground) -> Seen:
    """Tie an edge by a width read between two edges; what tape it was is not said, so it shares nothing."""
    width = ground.size(typed, f"the width of `{thing.name}`")
    share = (1.0 if thing.toward == "right" else -1.0) if isinstance(thing, Trim) else SIDES[edge]
    sd = length_accuracy("tape", "mark", graduation(typed, ground.step_mm)).total(width)
    reading = Along((thing.id, edge), share * width, sd, f"{thing.name}:{edge}", thing.name, up)
    return seen(reading, f"width of {thing.name}")


def _width(thing: Feature, edge: str) -> TypedLength | None:
    """Return the size along the wall that ends at an edge, if it was typed."""
    if isinstance(thing, Trim):
        return thing.width if thing.type == "casing" and edge == "far" else None
    if edge not in SIDES:
        return None
    if isinstance(thing, RoughIn):
        return thing.diameter
    return thing.plate_width if isinstance(thing, Electrical) else getattr(thing, "width", None)


def _heights(readings: Iterable[Seen]) -> Iterator[tuple[str, float]]:
    for one in readings:
        if isinstance(one.reading, Along):
            yield one.reading.feature, one.reading.up
            yield one.reading.start, one.reading.up
