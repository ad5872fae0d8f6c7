"""Roughly where things are along their walls: first guesses, and readings that lie off their wall."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final

from fitting.site import Along, Distance, Gaps, Leaning, Level, Spot
from fitting.site.plan import LENGTH_IF_UNKNOWN
from survey.finding import Finding, finding
from survey.observe.ground import Ground
from survey.observe.observed import Seen, SiteReading

Links = defaultdict[tuple[str, str], list[tuple[str, float, bool]]]
"""By wall and point: another point, how far it is to its right, and whether its side was said."""

SLACK_MM: Final = 25.0
"""How far beyond a wall's length a place may be read before it is off the wall."""


@dataclass
class Whereabouts:
    """What readings say at first sight, before any adjustment.

    `lengths` by wall, from corner to corner, with the reading's record in `length_records`; `guesses` are
    lengths from opposite walls; `places` are mm from a wall's left end (its right end, negative, where it
    has no left one), by wall and point.
    """

    lengths: dict[str, float] = field(default_factory=dict)
    length_records: dict[str, str] = field(default_factory=dict)
    guesses: dict[str, float] = field(default_factory=dict)
    places: dict[tuple[str, str], float] = field(default_factory=dict)

    def length(self, wall: str) -> float:
        """Return a wall's length as far as it can be guessed."""
        return self.lengths.get(wall, self.guesses.get(wall, LENGTH_IF_UNKNOWN))

    @property
    def starts(self) -> dict[str, float]:
        """The lengths that the adjustment starts from."""
        return {**self.guesses, **self.lengths}


def whereabouts(seen: Iterable[Seen], ground: Ground, origin: str | None) -> Whereabouts:
    """Gather first guesses from what was observed."""
    found = Whereabouts()
    links: Links = defaultdict(list)
    for one in seen:
        reading = one.reading
        if isinstance(reading, Distance):
            _take_length(found, reading, one.what.record, ground)
            _link_distance(links, reading, ground)
        elif isinstance(reading, Along):
            wall = ground.walls_of(reading.feature)[0]
            sign = -1.0 if ground.at_right_end(reading.start, wall) else 1.0
            links[wall, reading.start].append((reading.feature, sign * reading.value, True))
            links[wall, reading.feature].append((reading.start, -sign * reading.value, True))
    _place_ends(found, ground, origin)
    _follow(found, links)
    _spread(found, links)
    return found


def _take_length(found: Whereabouts, reading: Distance, record: str, ground: Ground) -> None:
    """Take a wall's length from its corners, or guess it from spots on the walls at its ends."""
    walls = [_walls(end, ground) for end in (reading.first, reading.second)]
    both_corners = all(
        isinstance(end, str) and end in ground.corners for end in (reading.first, reading.second)
    )
    if both_corners:
        for wall in set(walls[0]) & set(walls[1]):
            if reading.value > found.lengths.get(wall, 0.0):
                found.lengths[wall], found.length_records[wall] = reading.value, record
        return
    for left, between, right in _alcoves(ground):
        if any(left in walls[k] and right in walls[1 - k] for k in (0, 1)):
            found.guesses.setdefault(between, reading.value)


def _alcoves(ground: Ground) -> Iterator[tuple[str, str, str]]:
    """Give each wall that has corners at both ends, between its two neighbours."""
    right_of = {corner.left_wall: corner.right_wall for corner in ground.corners.values()}
    for corner in ground.corners.values():
        if corner.right_wall in right_of:
            yield corner.left_wall, corner.right_wall, right_of[corner.right_wall]


def _walls(end: Spot | str, ground: Ground) -> tuple[str, ...]:
    return (end.wall,) if isinstance(end, Spot) else ground.walls_of(end)


def _link_distance(links: Links, reading: Distance, ground: Ground) -> None:
    """Link two features of one wall; which of them is on the right is not said."""
    first, second = reading.first, reading.second
    if isinstance(first, str) and isinstance(second, str):
        for wall in set(ground.walls_of(first)) & set(ground.walls_of(second)):
            links[wall, first].append((second, reading.value, False))
            links[wall, second].append((first, reading.value, False))


def _place_ends(found: Whereabouts, ground: Ground, origin: str | None) -> None:
    for corner in ground.corners.values():
        found.places[corner.right_wall, corner.name] = 0.0
    lefts = {corner.right_wall for corner in ground.corners.values()}
    for corner in ground.corners.values():
        wall = corner.left_wall
        found.places[wall, corner.name] = found.length(wall) if wall in lefts else 0.0
    if origin is not None:
        found.places.setdefault((ground.walls_of(origin)[0], origin), 0.0)


def _follow(found: Whereabouts, links: Links, starts: Iterable[tuple[str, str]] = ()) -> None:
    """Walk from what has a place to what is linked to it, nearest links first."""
    waiting = deque(starts or found.places)
    while waiting:
        wall, point = waiting.popleft()
        here = found.places[wall, point]
        for other, apart, signed in links.get((wall, point), ()):
            if (wall, other) not in found.places:
                there = here + apart
                if not signed and there > found.length(wall) + SLACK_MM:
                    there = here - apart
                found.places[wall, other] = there
                waiting.append((wall, other))


def _spread(found: Whereabouts, links: Links) -> None:
    """Give places apart to what nothing ties to an end: points at one place have no distance to follow."""
    loose = [key for key in links if key not in found.places]
    for number, (wall, point) in enumerate(loose):
        if (wall, point) not in found.places:
            found.places[wall, point] = found.length(wall) * (number + 1) / (len(loose) + 1)
            _follow(found, links, [(wall, point)])


def off_the_wall(
    seen: Iterable[Seen], found: Whereabouts, ground: Ground
) -> tuple[list[Seen], list[Finding]]:
    """Leave out readings, and stations of checks, that lie off their wall; give a finding for each.

    Only walls read from corner to corner have a length to hold them against; on any wall nothing lies past
    the corner that it is counted from.
    """
    kept: list[Seen] = []
    findings: list[Finding] = []
    for one in seen:
        off = [
            mm for wall, start, mm in _claims(one.reading, ground) if _is_off(wall, start, mm, found, ground)
        ]
        if not off:
            kept.append(one)
            continue
        wall = next(wall for wall, start, mm in _claims(one.reading, ground) if mm == off[0])
        more = f" (and {len(off) - 1} more)" if len(off) > 1 else ""
        findings.append(_said_off(one, wall, ground.say(off[0]) + more, found, ground))
        if isinstance(one.reading, Gaps):
            kept += _stations_on(one, one.reading, found, ground)
    return kept, findings


def _said_off(one: Seen, wall: str, value: str, found: Whereabouts, ground: Ground) -> Finding:
    """Tell what lies off a wall by its length; where that was not read, by the corner it is counted from."""
    what = one.what.words
    if wall in found.lengths:
        records, length = (one.what.record, found.length_records[wall]), ground.say(found.lengths[wall])
        return finding(201, records, what=what, value=value, wall=wall, length=length)
    corner = next(start for at, start, _ in _claims(one.reading, ground) if at == wall)
    return finding(209, [one.what.record], what=what, value=value, wall=wall, corner=corner)


def _claims(reading: SiteReading, ground: Ground) -> Iterator[tuple[str, str, float]]:
    """Give where a reading says it lies: wall, from what, how far along."""
    if isinstance(reading, Gaps):
        for along in dict.fromkeys(reading.along):
            yield reading.wall, reading.start, along
    elif isinstance(reading, Leaning | Level):
        yield reading.wall, reading.start, reading.along
    elif isinstance(reading, Along):
        yield ground.walls_of(reading.feature)[0], reading.start, reading.value
    elif isinstance(reading, Distance):
        for end in (reading.first, reading.second):
            if isinstance(end, Spot):
                yield end.wall, end.start, end.out


def _is_off(wall: str, start: str, along: float, found: Whereabouts, ground: Ground) -> bool:
    length, here = found.lengths.get(wall), found.places.get((wall, start))
    if length is None and start in ground.corners:
        return along < -SLACK_MM
    if length is None or here is None or not -SLACK_MM <= here <= length + SLACK_MM:
        return False
    there = here - along if ground.at_right_end(start, wall) else here + along
    return not -SLACK_MM <= there <= length + SLACK_MM


def _stations_on(one: Seen, check: Gaps, found: Whereabouts, ground: Ground) -> list[Seen]:
    """Return the check with the stations that are on the wall, if two are left."""
    on = [
        number
        for number, along in enumerate(check.along)
        if not _is_off(check.wall, check.start, along, found, ground)
    ]
    if len(on) < 2:
        return []
    left = replace(
        check,
        along=tuple(check.along[k] for k in on),
        up=tuple(check.up[k] for k in on),
        read=tuple(check.read[k] for k in on),
        sd=tuple(check.sd[k] for k in on),
    )
    return [Seen(left, replace(one.what, at=tuple(one.what.at[k] for k in on)))]
