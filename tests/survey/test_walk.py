"""What to read, in which order: the walks of every kind of place, what is done, what else could be read.

Sizes of the default walks were found good by drawing rooms (a study of ours); minutes and order are common
practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from datetime import UTC, datetime
from itertools import pairwise

import msgspec
import pytest

from survey.dictation import dictate
from survey.errors import RecordError
from survey.findings import fit
from survey.observe import observe
from survey.records import (
    Drop,
    Lean,
    LengthReading,
    Position,
    Spot,
    StraightedgeCheck,
    Survey,
    ThreeSides,
)
from survey.records.limits import refuse_impossible
from survey.walk import Line, candidates, done, place_of, walk, what_is_read, without_start

MM = "job Vanity in mm to 1 mm level line 1000"
INCH = "job Vanity in inches to 1/16 level line 36"
ALCOVE = (
    "room bath",
    "wall left",
    "wall back",
    "wall right",
    "corner left-back joins left and back",
    "corner back-right joins back and right",
)
CORNER = ("room bath", "wall left", "wall back", "corner left-back joins left and back")
RIGHT_CORNER = ("room bath", "wall right", "wall back", "corner back-right joins back and right")
WALL = ("room bath", "wall back", "mark m1 on back")
ROOM = (
    "room bath",
    *(f"wall {name}" for name in ("left", "back", "right", "front")),
    "corner left-back joins left and back",
    "corner back-right joins back and right",
    "corner right-front joins right and front",
    "corner front-left joins front and left",
)
SLANTED = (*ALCOVE[:4], "corner left-back joins left and back nominal 120", ALCOVE[5])
BREAST = (
    "room study",
    "wall back",
    "wall side",
    "wall face",
    "corner back-side joins back and side",
    "corner side-face joins side and face outside",
)
PLACES = {
    "alcove": ALCOVE,
    "corner": CORNER,
    "corner at the right": RIGHT_CORNER,
    "wall": WALL,
    "room": ROOM,
    "slanted": SLANTED,
    "breast": BREAST,
}
BOX = "cabinet vanity on back width 1400 height 500 depth 550 bottom 330"
ENDS = ("left", "right", "back")
VANITY = (
    f"{BOX}, left meets left filler gap 30, right meets right filler",
    "filler strip-l left of vanity thickness 18",
    "filler strip-r right of vanity thickness 18",
    f"top counter on vanity thickness 30 overhang 20, {', '.join(f'{w} meets {w} net gap 2' for w in ENDS)}",
)
LINEN = (
    "tall cabinet linen on back width 600 height 2000 depth 400, left meets left filler gap 30",
    "filler strip left of linen thickness 18",
)
END = "panel end on back along 650 from left-back shows left depth 420 thickness 18 height 2000"
PANEL = (f"{END}, back meets back scribed",)
THINGS = (
    "casing trim on left toward left width 60 projection 15 bottom 0 top 2000",
    "drain drain on back diameter 40 stub 60",
    "stop valve valve on back stub 60 handle 40",
    "stud s1 on back width 38 proved nail",
    "outlet o1 on back plate width 70 plate height 115",
    "door entry on left",
)
PLANS = {
    "nothing": (),
    "vanity": VANITY,
    "linen": LINEN,
    "panel": PANEL,
    "everything": (*VANITY, *LINEN, *PANEL, *THINGS),
}
TOOLS = ("straightedge", "laser")
JARGON = re.compile(
    r"station|residual|sigma|standard|deviation|observ|covarian|nominal|plan frame|datum|orthogon|redundan"
    r"|parameter|coordinate|record|z = |[a-z]_[a-z]|\bid\b|None|nan",
    re.IGNORECASE,
)


def survey_of(*lines: str, job: str = MM) -> Survey:
    return Survey(dictate([job, *lines], Survey([])))


def walked(*lines: str, tools: str = "straightedge", job: str = MM) -> tuple[Line, ...]:
    survey = survey_of(*lines, job=job)
    return walk(place_of(survey), survey, tools)


def kinds(lines) -> Counter:
    return Counter(type(line.reading).__name__ for line in lines)


def summed(lines) -> tuple[int, float]:
    return sum(line.numbers for line in lines), round(sum(line.minutes for line in lines), 1)


def filled(survey: Survey, lines) -> Survey:
    """The survey with the template readings of these lines."""
    return survey.plus(*(line.reading for line in lines))


PLANNED = [
    pytest.param(place, plan, id=f"{place}, {plan}")
    for place in PLACES
    for plan in PLANS
    if plan == "nothing" or place in ("alcove", "slanted", "room") or (place, plan) in {("corner", "linen")}
]


# --- The place


@pytest.mark.parametrize(
    ("lines", "kind", "walls"),
    [
        (WALL, "wall", ("back",)),
        (CORNER, "corner", ("left", "back")),
        (RIGHT_CORNER, "corner", ("back", "right")),
        (ALCOVE, "alcove", ("left", "back", "right")),
        (ROOM, "room", ("back", "right", "front", "left")),
        (BREAST, "corner", ("back", "side", "face")),
    ],
)
def test_a_place_is_named_by_what_adjoins_its_back_wall(lines, kind, walls):
    place = place_of(survey_of(*lines))
    assert (place.kind, place.walls) == (kind, walls)


@pytest.mark.parametrize(
    ("job", "sizes"), [(MM, (1500, 600, 860)), (INCH, (60 * 25.4, 24 * 25.4, 34 * 25.4))], ids=["mm", "in"]
)
def test_what_nobody_said_is_nominal(job, sizes):
    place = place_of(survey_of(*ALCOVE, job=job))
    assert (place.length("back"), place.depth, place.height) == pytest.approx(sizes)
    assert place.lengths == (None, None, None)


def test_sizes_come_from_pieces_and_from_what_was_read():
    read = "length (left 30 from left-back) to (right 30 from back-right) up 850 reads 1432 with tape hooked"
    place = place_of(survey_of(*ALCOVE, *VANITY, read))
    assert (place.length("back"), place.depth, place.height) == (1432, 570, 860)


def test_the_width_nearest_to_the_wall_is_its_length():
    front = "length (left 500 from left-back) to (right 500 from back-right) up 850 reads 1400"
    back = "length left-back to back-right up 850 reads 1432"
    assert place_of(survey_of(*ALCOVE, front, back)).length("back") == 1432


def test_without_a_level_line_z_is_the_line_and_a_counter_below_it():
    place = place_of(survey_of(*ALCOVE, job="job V in mm to 1 mm"))
    assert (place.height, place.floor) == (-100, -960)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ((), "expected a line such as `room bath back back`"),
        (("room bath", "wall side"), "its back wall `back`"),
    ],
)
def test_a_survey_without_a_place_is_refused_in_words(lines, message):
    with pytest.raises(RecordError, match=message):
        place_of(survey_of(*lines))


# --- The two default walks


@pytest.mark.parametrize("job", [MM, INCH], ids=["mm", "in"])
@pytest.mark.parametrize(
    ("tools", "numbers", "minutes", "checks"),
    [("laser", 25, 10.4, [11, 5, 5]), ("straightedge", 30, 12.8, [9, 5, 5, 5])],
    ids=TOOLS[::-1],
)
def test_the_default_walk_of_an_alcove(job, tools, numbers, minutes, checks):
    """Laser: 3 + 11 + 5 + 5 gaps and one width again; straightedge: two diagonals, and the back overlaps."""
    lines = walked(*ALCOVE, tools=tools, job=job)
    assert summed(lines) == (numbers, minutes)
    assert [line.numbers for line in lines if isinstance(line.reading, StraightedgeCheck)] == checks


def test_widths_are_at_the_back_in_the_middle_and_at_the_front():
    widths = [line.reading for line in walked(*ALCOVE)[:3]]
    assert [float(one.between[0].along.mm) for one in widths] == [25, 300, 600]
    for one in widths:
        assert [end.wall for end in one.between] == ["left", "right"]
        assert (one.start, one.instrument, float(one.up.mm)) == ("two sticks", "tape", 860)


def test_one_cross_is_read_from_all_walls_and_its_offsets_hold_together():
    """On the left and the right wall it is the same line, so the offsets make up the width."""
    offsets = [line.reading for line in walked(*ALCOVE, tools="laser") if line.numbers > 1]
    assert {one.cross for one in offsets} == {"A"}
    assert {one.instrument for one in offsets} == {"line laser"}
    back, left, right = ({float(station.gap.mm) for station in one.stations} for one in offsets)
    assert (back, left, right) == ({450}, {750}, {750})


def test_offsets_come_close_to_the_corners():
    back, left, right = (
        [float(station.at.mm) for station in line.reading.stations]
        for line in walked(*ALCOVE, tools="laser")
        if line.numbers > 1
    )
    assert (back[:3], back[-2:]) == ([20, 150, 300], [1350, 1480])
    assert left == right == [20, 150, 300, 450, 600]


@pytest.mark.parametrize("length", [400, 800, 1250, 1500, 2400, 3600, 5010])
def test_edges_overlap_and_reach_both_corners(length):
    read = f"length left-back to back-right up 850 reads {length}"
    checks = [
        line.reading
        for line in walked(*ALCOVE, read)
        if isinstance(line.reading, StraightedgeCheck) and line.wall == "back"
    ]
    runs = [[float(station.at.mm) for station in one.stations] for one in checks]
    assert (runs[0][0], runs[-1][-1]) == (20, length - 20)
    for one, run in zip(checks, runs, strict=True):
        assert run[-1] - run[0] <= float(one.edge_length.mm) in (600, 1200)
        assert max(b - a for a, b in pairwise(run)) <= 150 * 1.25
    for before, after in pairwise(runs):
        assert len(set(before) & set(after)) >= 2


def test_one_width_is_read_again_at_the_end():
    for tools in TOOLS:
        last = walked(*ALCOVE, tools=tools)[-1]
        assert (last.times, last.priority, last.name) == (
            2,
            3,
            "width at the front, counter height, once again",
        )


# --- Every kind of place, all plans


@pytest.mark.parametrize("tools", TOOLS)
@pytest.mark.parametrize(("place", "plan"), PLANNED)
def test_every_template_is_a_valid_reading_that_is_observed(place, plan, tools):
    survey = survey_of(*PLACES[place], *PLANS[plan])
    lines = walk(place_of(survey), survey, tools)
    assert lines
    for line in lines:
        refuse_impossible(line.reading)
        assert msgspec.convert(msgspec.to_builtins(line.reading), type(line.reading)) == line.reading
    full = filled(survey, lines)
    observed = observe(full)
    assert observed.plan is not None
    assert [one for one in observed.findings if one.number < 600] == []
    assert {what.record for what in observed.what.values()} >= {line.reading.id for line in lines}
    assert [line.name for line in lines if not done(line, full)] == []


@pytest.mark.parametrize("tools", TOOLS)
@pytest.mark.parametrize("plan", ["vanity", "linen", "panel"])
@pytest.mark.parametrize("place", ["alcove", "room"])
def test_a_walk_leaves_nothing_missing(place, plan, tools):
    """Filled in as flat and square, every piece can be worked out; it asks for no studs (589)."""
    survey = survey_of(*PLACES[place], *PLANS[plan])
    report = fit(filled(survey, walk(place_of(survey), survey, tools)))
    assert [(one.number, one.says) for one in report.findings if one.number != 589] == []
    assert {piece.status for piece in report.pieces} == {"ready"}


@pytest.mark.parametrize("tools", TOOLS)
@pytest.mark.parametrize(("place", "plan"), PLANNED)
def test_nothing_is_asked_twice_and_walls_come_one_by_one(place, plan, tools):
    lines = walked(*PLACES[place], *PLANS[plan], tools=tools)
    assert len({line.reading.id for line in lines}) == len(lines)
    bare = [msgspec.structs.replace(line.reading, id="x") for line in lines if line.times == 1]
    assert len(set(map(repr, bare))) == len(bare)
    assert len({line.name for line in lines}) == len(lines)
    walls = [line.wall for line in lines if line.times == 1]
    assert len(list(dict.fromkeys(walls))) == 1 + sum(a != b for a, b in pairwise(walls))


@pytest.mark.parametrize("tools", TOOLS)
@pytest.mark.parametrize(("place", "plan"), PLANNED)
def test_words_are_the_trades(place, plan, tools):
    survey = survey_of(*PLACES[place], *PLANS[plan])
    for line in (*walk(place_of(survey), survey, tools), *candidates(place_of(survey), survey)):
        for words in (line.name, line.why, line.mistake, what_is_read(line.reading)):
            assert words
            assert not JARGON.search(words), words
        assert line.mistake.endswith(".")
        assert len(line.mistake) <= 70


def test_one_wall_takes_checks_only():
    for tools in TOOLS:
        lines = walked(*WALL, tools=tools)
        assert set(kinds(lines)) == {"StraightedgeCheck"}
        assert {line.reading.from_ for line in lines} == {"m1"}
        assert {line.reading.cross for line in lines} == {None}


def test_a_corner_takes_its_three_sides_and_both_walls():
    assert kinds(walked(*CORNER)) == {"ThreeSides": 1, "StraightedgeCheck": 3}
    assert kinds(walked(*CORNER, tools="laser")) == {"ThreeSides": 1, "StraightedgeCheck": 2}
    sides = walked(*CORNER)[0].reading
    assert (sides.left_leg.text, sides.right_leg.text, sides.diagonal.text) == ("600", "800", "1000")


def test_a_room_is_closed():
    """Four lengths (the back one is the width at the back), four corners, two diagonals across."""
    lines = walked(*ROOM)
    assert kinds(lines)["ThreeSides"] == 4
    across = [line.reading for line in lines if line.name.startswith("diagonal across the room")]
    assert [float(one.reads.mm) for one in across] == pytest.approx([1500 * 2**0.5 * 0.9055] * 2, rel=0.05)
    assert {line.wall for line in lines if line.name.startswith("length of wall")} == {
        "right",
        "front",
        "left",
    }


def test_a_wall_without_corner_or_mark_has_no_lines_and_is_named():
    survey = survey_of("room bath", "wall back")
    assert walk(place_of(survey), survey) == ()
    assert without_start(place_of(survey), survey) == ("back",)
    marked = survey_of(*WALL)
    assert without_start(place_of(marked), marked) == ()


# --- What pieces need


def names(lines) -> str:
    return "\n".join(line.name for line in lines)


def test_a_box_adds_its_heights_its_leans_and_what_closes_it():
    lines = walked(*ALCOVE, *VANITY)
    ups = {round(float(line.reading.up.mm)) for line in lines if isinstance(line.reading, LengthReading)}
    assert ups == {860, 330}
    leans = [line for line in lines if isinstance(line.reading, Lean)]
    assert Counter(line.wall for line in leans) == {"back": 3, "left": 1, "right": 1}
    face = next(line for line in leans if line.wall == "left")
    assert (float(face.reading.along.mm), set(face.needs)) == (550, {"vanity", "strip-l"} | {"strip-r"})
    assert "Drop" not in kinds(lines)


def test_what_stands_on_the_floor_takes_four_drops_and_what_is_tall_the_ceiling():
    drops = [line.reading for line in walked(*ALCOVE, *LINEN) if isinstance(line.reading, Drop)]
    assert Counter(one.to for one in drops) == {"floor": 4, "ceiling": 2}
    corners = {(one.along.text, one.out.text) for one in drops if one.to == "floor"}
    assert corners == {("50", "50"), ("580", "50"), ("50", "350"), ("580", "350")}


def test_what_meets_one_wall_leaves_the_other_alone():
    lines = walked(*ALCOVE, *LINEN)
    assert {line.wall for line in lines} == {"back", "left"}
    assert kinds(lines)["ThreeSides"] == 1
    assert kinds(lines)["LengthReading"] == 0
    ends = [line.reading.stations[-1].at.text for line in lines if line.name.startswith("1200")]
    assert set(ends) == {"630"}


def test_a_boxs_heights_take_the_wall_behind_and_pipes_only_where_it_stands():
    pipe = "drain drain on left diameter 40 stub 60"
    lines = walked(*ALCOVE, *VANITY, pipe)
    ups = {line.reading.up.text for line in lines if line.wall == "left" and "edge" in line.name}
    assert ups == {"860"}
    assert not [line for line in lines if isinstance(line.reading, Position)]


def test_a_panel_takes_a_plumb_check_and_a_lean_where_it_stands():
    lines = walked(*ALCOVE, *PANEL)
    plumb = [line.reading for line in lines if isinstance(line.reading, StraightedgeCheck)]
    assert {(one.run, one.along.text) for one in plumb} == {("plumb", "650")}
    assert {line.reading.along.text for line in lines if isinstance(line.reading, Lean)} == {"650"}


def test_things_on_the_walls_are_placed():
    positions = [line for line in walked(*ALCOVE, *VANITY, *THINGS) if isinstance(line.reading, Position)]
    assert [(line.reading.of, line.numbers) for line in positions] == [
        ("drain", 2),
        ("valve", 2),
        ("s1", 1),
        ("o1", 2),
        ("trim", 1),
        ("trim", 1),
    ]
    heights = [float(line.reading.up.mm) for line in positions if line.reading.of == "trim"]
    assert heights == [860, 100]


def test_the_door_is_read_clear_unless_its_width_is_known():
    assert "clear opening of entry" in names(walked(*ALCOVE, *VANITY, *THINGS))
    known = walked(*ALCOVE, *VANITY, "door entry on left clear width 700")
    assert "clear opening" not in names(known)


def test_trim_that_goes_is_left_out():
    assert "casing" not in names(walked(*ALCOVE, *VANITY, "casing trim on left comes off"))


def test_a_mark_that_a_piece_starts_from_is_placed():
    piece = "cabinet hung on back width 600 height 400 depth 300 bottom 1500 along 20 from m2"
    lines = walked(*ALCOVE, "mark m2 on back", "mark m3 on back", piece)
    assert [line.reading.of for line in lines if isinstance(line.reading, Position)] == ["m2"]


def test_heights_may_be_said():
    survey = survey_of(*ALCOVE, *VANITY)
    lines = walk(place_of(survey), survey, "laser", (500.0, 900.0))
    ups = {line.reading.up.text for line in lines if isinstance(line.reading, StraightedgeCheck)}
    assert ups == {"500", "900"}


# --- Done


@pytest.mark.parametrize(
    ("read", "is_done"),
    [
        ("length left-back to back-right up 850 reads 1498", True),
        ("length back-right to left-back up 850 reads 1498", True),
        ("length (left 80 from left-back) to (right 30 from back-right) up 900 reads 1498", True),
        ("length (left 90 from left-back) to (right 30 from back-right) up 860 reads 1498", False),
        ("length left-back to back-right up 700 reads 1498", False),
        ("length left-back to (right 500 from back-right) up 860 reads 1600", False),
    ],
)
def test_a_width_is_done_by_a_reading_at_nearly_its_place(read, is_done):
    survey = survey_of(*ALCOVE, read)
    assert bool(done(walked(*ALCOVE)[0], survey)) is is_done


@pytest.mark.parametrize(
    ("read", "which"),
    [
        (
            f"straightedge back up 860 from left-back: {', '.join(f'{at} 0' for at in range(0, 1201, 150))}",
            [0],
        ),
        ("straightedge back up 860 from back-right: 20 0, 150 0, 300 0, 450 0, 600 0", [1]),
        ("straightedge back up 860 from left-back: 20 0, 300 0, 600 0, 900 0, 1200 0", []),
        ("straightedge back up 700 from left-back: 900 0, 1050 0, 1200 0, 1350 0, 1480 0", []),
    ],
    ids=["the long one", "from the other corner", "too few gaps", "at another height"],
)
def test_a_check_is_done_where_a_gap_was_read_at_each_of_its_places(read, which):
    survey = survey_of(*ALCOVE, "length left-back to back-right up 860 reads 1500", read)
    checks = [
        line
        for line in walk(place_of(survey), survey)
        if line.name.startswith(("1200", "600 mm edge on wall back"))
    ]
    assert [number for number, line in enumerate(checks) if done(line, survey)] == which


def test_offsets_of_a_cross_want_a_cross():
    lines = walked(*ALCOVE, tools="laser")
    left = next(line for line in lines if line.wall == "left")
    plain = msgspec.structs.replace(left.reading, id="r1", cross=None, instrument="straightedge")
    survey = survey_of(*ALCOVE)
    assert done(left, survey.plus(plain)) == ()
    other = msgspec.structs.replace(left.reading, id="r2", cross="B")
    assert done(left, survey.plus(plain, other)) == (other,)
    edge = next(line for line in walked(*ALCOVE) if line.wall == "left")
    assert done(edge, survey.plus(other)) == (other,)


@pytest.mark.parametrize(
    ("plan", "kind", "read", "is_done"),
    [
        (LINEN, Drop, "drop floor back along 60 from left-back out 90 reads 1001", True),
        (LINEN, Drop, "drop floor back along 200 from left-back out 90 reads 1001", False),
        (LINEN, Drop, "drop ceiling back along 60 from left-back out 90 reads 1401", False),
        (LINEN, Lean, "lean back along 100 from left-back low 50 high 2000 in 1", True),
        (LINEN, Lean, "lean back along 100 from left-back low 50 high 1500 in 1", False),
        (LINEN, ThreeSides, "three sides left-back 500 left 600 right diagonal 781 up 1990", True),
        (LINEN, ThreeSides, "three sides left-back 500 left 600 right diagonal 781 up 860", False),
        ((*VANITY, THINGS[1]), Position, "position drain along 600 from left-back up 520", True),
        ((*VANITY, THINGS[1]), Position, "position drain along 600 from left-back below 480", True),
        ((*VANITY, THINGS[1]), Position, "position drain along 600 from left-back", False),
        ((*VANITY, THINGS[0]), Position, "position trim along 400 from left-back up 880", True),
        ((*VANITY, THINGS[0]), Position, "position trim along 400 from left-back up 300", False),
        ((*VANITY, THINGS[3]), Position, "position s1 along 400 from left-back", False),
        ((*VANITY, THINGS[3]), Position, "position s1 along 400 from left-back up 300", True),
    ],
)
def test_other_lines_are_done_by_what_was_read_there(plan, kind, read, is_done):
    line = next(line for line in walked(*ALCOVE, *plan) if isinstance(line.reading, kind))
    assert bool(done(line, survey_of(*ALCOVE, *plan, read))) is is_done


def test_the_last_width_wants_a_second_reading():
    front = "length (left 600 from left-back) to (right 600 from back-right) up 860 reads {}"
    lines = walked(*ALCOVE)
    once = survey_of(*ALCOVE, front.format(1497))
    assert [len(done(line, once)) for line in (lines[2], lines[-1])] == [1, 0]
    twice = survey_of(*ALCOVE, front.format(1497), front.format(1498))
    assert [len(done(line, twice)) for line in (lines[2], lines[-1])] == [2, 1]


def test_what_was_withdrawn_is_to_be_read_again():
    survey = survey_of(*ALCOVE, "length left-back to back-right up 850 reads 1498", "withdraw last")
    assert done(walked(*ALCOVE)[0], survey) == ()


# --- Candidates


@pytest.mark.parametrize(
    ("place", "plan", "job"),
    [
        *(pytest.param(*one.values, MM, id=f"{one.id}, mm") for one in PLANNED),
        *(pytest.param(place, "nothing", INCH, id=f"{place}, in") for place in PLACES),
    ],
)
def test_candidates_are_readings_that_are_observed(place, plan, job):
    survey = survey_of(*PLACES[place], *PLANS[plan], job=job)
    found = candidates(place_of(survey), survey)
    assert 0 < len(found) <= 60
    observed = observe(filled(survey, found))
    assert [one for one in observed.findings if one.number < 600] == []
    assert {what.record for what in observed.what.values()} >= {line.reading.id for line in found}
    bare = {repr(msgspec.structs.replace(line.reading, id="x")) for line in found}
    assert len(bare) == len(found)


def test_candidates_hold_both_walks_and_every_way_into_a_corner():
    survey = survey_of(*ALCOVE)
    found = candidates(place_of(survey), survey)
    asked = {line.name for tools in TOOLS for line in walked(*ALCOVE, tools=tools) if line.times == 1}
    assert asked <= {line.name for line in found}
    assert kinds(found) == {
        "LengthReading": 3 + 3 + 2 + 2,
        "StraightedgeCheck": 3 + 4 + 4 + 5,
        "ThreeSides": 2,
        "CornerSquare": 2,
        "Template": 2,
        "Lean": 9,
    }
    short = [line.reading for line in found if "out of corner" in line.name]
    assert {one.edge_length.text for one in short} == {"300"}
    assert {one.stations[0].at.text for one in short} == {"20"}


def test_gaps_half_way_lie_between_those_of_the_walk():
    survey = survey_of(*ALCOVE)
    between = [line.reading for line in candidates(place_of(survey), survey) if "half way" in line.name]
    assert {float(one.stations[0].at.mm) % 150 for one in between} == {75}


def test_the_same_survey_has_the_same_candidates():
    lines = (*ALCOVE, *PLANS["everything"])
    survey = survey_of(*lines)
    again = Survey(reversed(survey.records))
    first = candidates(place_of(survey), survey)
    assert first == candidates(place_of(survey), survey)
    assert first[0].reading.id == "candidate-01"
    assert {line.reading.taken for line in first} == {datetime(1970, 1, 1, tzinfo=UTC)}
    assert len(candidates(place_of(again), again)) == len(first)


def test_a_line_that_is_done_is_no_candidate_but_its_repeat_is():
    survey = survey_of(*ALCOVE)
    lines = walk(place_of(survey), survey)
    read = filled(survey, lines)
    found = candidates(place_of(read), read)
    repeats = [
        line for line in found if line.name.endswith("the front, counter height") and "width" in line.name
    ]
    assert [line.priority for line in repeats] == [2]
    assert not [line for line in found if line.name == lines[5].name]


def test_a_framing_square_is_not_offered_where_no_corner_is_square():
    survey = survey_of(*SLANTED)
    squares = [line.reading for line in candidates(place_of(survey), survey) if "framing" in line.name]
    assert [one.corner for one in squares] == ["back-right"]


def test_spots_stay_on_short_walls():
    survey = survey_of(*ALCOVE, "length left-back to back-right up 860 reads 320")
    found = candidates(place_of(survey), survey)
    assert [one for one in observe(filled(survey, found)).findings if one.number < 600] == []
    marks = [end for line in found for end in getattr(line.reading, "between", ()) if isinstance(end, Spot)]
    assert max(float(end.along.mm) for end in marks if end.wall == "back") <= 160
