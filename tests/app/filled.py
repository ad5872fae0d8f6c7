"""Jobs to look at: an alcove in which everything is read, and a room whose readings contradict one another.

The alcove stands nowhere: its walls are drawn, and a simulated fitter reads there what the walk asks for.
"""

from __future__ import annotations

import math
import struct
import zlib
from dataclasses import dataclass, field
from dataclasses import replace as replaced
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import numpy as np
from msgspec.structs import replace
from simulated.fitter import read
from simulated.laws import draw
from simulated.site import Site, plain_site

from survey.app.walk_list import next_missing, walk_rows
from survey.decisions import decide
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.findings import fit
from survey.records import (
    LengthReading,
    Photo,
    Position,
    Reading,
    StraightedgeCheck,
    Survey,
    TypedLength,
    Withdrawal,
)
from survey.records.hand import Hand

PLACE = (
    'job "Alcove vanity, upstairs bath" in inches to 1/16 level line 40 marked "pencil line on all walls"',
    "room bath back back old",
    "wall left wood stud spacing 16",
    "wall back wood stud spacing 16",
    "wall right masonry",
    "corner left-back joins left and back inside",
    "corner back-right joins back and right inside",
    "casing door-casing on left toward left width 2 1/4 projection 11/16 bottom 0 top 80",
    "drain drain on back diameter 1 1/2 stub 3",
    "cold cold on back diameter 1/2 stub 2",
    "hot hot on back diameter 1/2 stub 2",
    "outlet outlet on back plate width 2 3/4 plate height 4 1/2",
    "light mirror-light on back plate width 4 1/2 plate height 4 1/2",
    "stud stud-1 on back width 1 1/2 proved nail",
    "stud stud-2 on back width 1 1/2 proved nail",
    "stud stud-3 on back width 1 1/2 proved magnet",
    (
        "cabinet vanity on back width 46 height 31 depth 21 bottom 3 1/2, left meets left filler gap 3/4, "
        'right meets right filler, material "birch plywood"'
    ),
    (
        "hinged door left-door width 22 7/8 height 20 thickness 3/4 of vanity hinge left from left 1/16 "
        "from top 10 pull 1 1/4 material walnut"
    ),
    (
        "drawer wide-drawer width 42 height 6 thickness 18 of vanity slide clearance 1/2 sides 1/2 "
        'front thickness 3/4 pull 1 1/4 material "birch plywood"'
    ),
    "filler left-filler left of vanity thickness 3/4 material walnut grain along height",
    "filler right-filler right of vanity thickness 3/4 material walnut grain along height",
    (
        "top counter on vanity thickness 1 1/4 overhang 1, left meets left net gap 1/16, "
        "right meets right net gap 1/16, back meets back scribed, material walnut grain along width"
    ),
    (
        "shelf towel-shelf on back width 47 height 8 thickness 3/4 up 58, right meets right scribed, "
        "back meets back scribed, material walnut grain along width"
    ),
    'bought basin "undermount basin, oval" width 18 1/2 depth 15 1/4 measured in hand of counter',
    "cut out basin-hole in counter for basin oval over drain least 2",
    "stock walnut-board walnut board length 96 width 24 thickness 1 1/2",
    "way front-door step 1 doorway width 32 1/4 height 80",
    "way hall step 2 corner width 36 next width 34 height 96",
)
SHELF_UP = TypedLength("58", "in")
POSITIONS = (
    "position door-casing along 26 1/2 from left-back up 34",
    "position door-casing along 26 5/8 from left-back up 4",
    "position drain along 24 1/8 from left-back up 18",
    "position cold along 20 3/16 from left-back up 21",
    "position hot along 28 1/8 from left-back up 21",
    "position outlet along 41 3/4 from left-back up 43",
    "position mirror-light along 24 from left-back up 76",
    "position stud-1 along 8 1/4 from left-back up 40",
    "position stud-2 along 24 5/16 from left-back up 40",
    "position stud-3 along 40 3/8 from left-back up 40",
)
NOTES = (
    'note "The tiler comes on Tuesday; keep the lower hole for the tub spout."',
    'note "Plaster is loose for a hand\'s breadth above the base." about left',
    'note "Trap arm leans a little to the right." about drain',
)


@dataclass
class Clockwork:
    """Ids and times in order, so that two fillings are the same."""

    at: datetime = datetime(2025, 5, 6, 8, 30, tzinfo=UTC)
    count: int = 0
    hand: Hand = field(init=False)

    def __post_init__(self) -> None:
        self.hand = Hand("mk", "a phone", self.taken, self.new_id)

    def taken(self) -> datetime:
        self.at += timedelta(seconds=40)
        return self.at

    def new_id(self) -> str:
        self.count += 1
        return sha256(b"filled %d" % self.count).hexdigest()[:32]


def true_alcove(seed: int = 7) -> Site:
    """Draw the walls: 48 inches from side to side, a little out of square, the left one leaning out."""
    rng = np.random.default_rng([seed, 2])
    width, side = 48 * 25.4, 30 * 25.4
    surfaces = tuple(
        draw("plastered", length, ends, rng)
        for length, ends in ((side, (False, True)), (width, (True, True)), (side, (True, False)))
    )
    turns = (math.radians(0.55), math.radians(0.25))
    site = plain_site(width, side, side, turns, (-0.003, 0.001, 0.0015), surfaces, seed)  # type: ignore[arg-type]
    return replaced(site, level_line=40 * 25.4)


def filled_alcove(tools: str = "straightedge", most: int = 1000) -> Survey:
    """Return the alcove with what the walk asks for, but at most so many readings."""
    clockwork, site, rng = Clockwork(), true_alcove(), np.random.default_rng(7)
    survey = Survey(dictate(PLACE, Survey([]), clockwork.hand))
    survey = survey.plus(*dictate(POSITIONS, survey, clockwork.hand))
    count = 0
    while count < most and (row := next_missing(walk_rows(survey, tools))) is not None:  # type: ignore[arg-type]
        survey = survey.plus(_taken(row.line.reading, site, rng, clockwork.hand))
        count += 1
    if count < most:
        checks = [_at_shelf(survey, wall) for wall in ("back", "right")]
        survey = survey.plus(*(_taken(asked, site, rng, clockwork.hand) for asked in checks))
    return survey.plus(*dictate(NOTES, survey, clockwork.hand))


def _at_shelf(survey: Survey, wall: str) -> StraightedgeCheck:
    """Return a wall's check at the height of the shelf, which the walk does not ask for."""
    one = next(one for one in survey.of(StraightedgeCheck) if (one.wall, one.run) == (wall, "level"))
    return replace(one, up=SHELF_UP)


def _taken(asked: Reading, site: Site, rng: np.random.Generator, hand: Hand) -> Reading:
    reading = asked if isinstance(asked, Position) else read(asked, site, rng)
    return replace(reading, id=hand.new_id(), taken=hand.taken(), person=hand.person, device=hand.device)


def write_filled(path: Path) -> Survey:
    """Write the filled alcove with a photo and a decision; return it."""
    clockwork = Clockwork(datetime(2025, 5, 6, 12, tzinfo=UTC), 10_000)
    survey, picture = filled_alcove(), photo()
    name = sha256(picture).hexdigest()
    shot = Photo(
        id=clockwork.new_id(), taken=clockwork.taken(), about="drain", sha256=name, media_type="image/png"
    )
    survey = survey.plus(shot)
    decision = decide(survey, fit(survey), "counter", "go with this size", hand=clockwork.hand)
    survey = survey.plus(decision)
    SurveyFile.create(path, survey.records, {name: picture}).close()
    return survey


def write_changed(path: Path, filled: Survey) -> Survey:
    """Write the filled alcove after more was read and planned: a shelf gone, sizes and a name changed."""
    counter, vanity, shelf, door = (
        filled.named[name][0] for name in ("counter", "vanity", "towel-shelf", "left-door")
    )
    changed = [
        replace(counter, id="changed-1", replaces=(counter.id,), overhang=TypedLength("1 1/2", "in")),
        replace(vanity, id="changed-2", replaces=(vanity.id,), width=TypedLength("45 1/2", "in")),
        replace(door, id="changed-3", replaces=(door.id,), name="door"),
        Withdrawal(id="changed-4", taken=shelf.taken, replaces=(shelf.id,), because="no room for it"),
    ]
    survey = filled.plus(*changed)
    SurveyFile.create(path, survey.records).close()
    return survey


def write_doubtful(path: Path) -> Survey:
    """Write the alcove with the first width an inch too small; return it."""
    survey = filled_alcove()
    width = survey.of(LengthReading)[0]
    misread = replace(width, reads=TypedLength("47 1/16", "in"))
    survey = Survey(misread if record is width else record for record in survey.records)
    SurveyFile.create(path, survey.records).close()
    return survey


def write_half_read(path: Path, most: int = 7) -> Survey:
    """Write the alcove as it is after so many readings; return it."""
    survey = filled_alcove(most=most)
    SurveyFile.create(path, survey.records).close()
    return survey


def photo(width: int = 320, height: int = 240) -> bytes:
    """Paint a wall with a pipe in it, as PNG."""
    rows = bytearray()
    for y in range(height):
        rows.append(0)
        for x in range(width):
            out = math.hypot(x - 150, y - 130)
            shade = 70 + out if out < 40 else 205 - 0.1 * x - 0.12 * y + (8 if (x // 80 + y // 60) % 2 else 0)
            rows += bytes(int(min(max(shade + tint, 0), 255)) for tint in (8, 2, -8))

    def chunk(kind: bytes, content: bytes) -> bytes:
        return (
            struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = chunk(b"IHDR", head), chunk(b"IDAT", zlib.compress(bytes(rows))), chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)
