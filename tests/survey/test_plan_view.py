"""The picture of an advised reading, read back from its SVG: at the right places, and not mirrored."""

import itertools
import re
from xml.etree import ElementTree

import pytest
from cli_bench import SURFACES, WIDTH, report
from msgspec.structs import replace

from survey.drawing import DrawingError, Lettering
from survey.drawing.plan_view import reading_picture
from survey.handover.svg import to_svg
from survey.report.structs import NextReading

SVG = "{http://www.w3.org/2000/svg}"
RUN = NextReading("straightedge on wall left", "", 1.0, line=((2.4, -600.0), (0.4, -100.0)), up_mm=863.6)
SQUARE = NextReading(
    "corner back-right with a square", "", 1.0, line=((1000.0, -2.7), (1524.0, 0.0), (1527.2, -400.0))
)
LEAN = NextReading("lean of wall right", "", 1.0, line=((1528.0, -500.0),), wall="right")
TEMPLATE = NextReading("template in corner back-right", "", 1.0, wall="back")
ALL = {"width": WIDTH, "run": RUN, "square": SQUARE, "lean": LEAN, "template": TEMPLATE}


class Read:
    """A picture read back from its SVG; points in the plan's millimetres.

    The frame is found from the wall line alone: its ends and its corners are known.
    """

    def __init__(self, reading, surfaces=SURFACES):
        made = report()
        room = replace(made.room, surfaces=surfaces)
        self.root = ElementTree.fromstring(to_svg(reading_picture(replace(made, room=room), reading)))
        (front,) = self.raw("finished")
        first, last = surfaces[1].points[0], surfaces[2].points[-1]
        (x, y), (to_x, to_y) = front[0], front[-1]
        self.size = (last[0] - first[0]) / (to_x - x)
        self.origin = (x - first[0] / self.size, y + first[1] / self.size)
        assert self.place((to_x, to_y)) == pytest.approx(last, abs=0.1)
        self.front = [self.place(point) for point in front]

    def place(self, point):
        """Return a point in the plan: the SVG's y points down, the plan's to the back wall."""
        return (point[0] - self.origin[0]) * self.size, (self.origin[1] - point[1]) * self.size

    def raw(self, role):
        paths = [one for one in self.root.iter(f"{SVG}path") if one.get("data-role") == role]
        drawn = [one.get("d") for one in paths if not one.get("fill")]
        return [[tuple(map(float, p.split())) for p in re.split("[ML]", d)[1:]] for d in drawn]

    def lines(self, role):
        return [[self.place(point) for point in line] for line in self.raw(role)]

    def words(self):
        found = {}
        for one in self.root.iter(f"{SVG}text"):
            x, y = map(float, re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", one.get("transform")).groups())
            found["".join(one.itertext())] = self.place((x, y))
        return found


def near(points):
    return [pytest.approx(point, abs=0.1) for point in points]


def test_a_tape_runs_from_end_to_end():
    assert Read(WIDTH).lines("touch") == [near(WIDTH.line)]


def test_the_picture_is_no_mirror_image():
    """A room with a corner at its left only, and a reading near it: the back wall on top, left is left."""
    read = Read(SQUARE)
    assert read.size > 0
    words = read.words()
    assert words["wall left"][0] < 0 < 1524 < words["wall right"][0]
    assert words["wall back"][1] > 0
    (legs,) = read.lines("touch")
    assert min(x for x, _ in legs) > 900
    assert all(y < 0 for _, y in legs)


def test_the_walls_stand_where_the_report_has_them():
    front = Read(WIDTH).front
    assert front == near([(4, -1000), (0, 0), (760, -4), (1524, 0), (1532, -1000)])


def test_walls_hang_together_whatever_order_they_come_in():
    back, left, right = SURFACES
    assert Read(WIDTH, (right, left, back)[::-1]).front == Read(WIDTH).front
    made = report()
    shuffled = replace(made, room=replace(made.room, surfaces=(right, back, left)))
    drawn = to_svg(reading_picture(shuffled, WIDTH))
    assert drawn.count('data-role="finished"') == 1


def test_what_lies_along_a_wall_is_drawn_off_it_in_the_room_with_lines_to_its_places():
    read = Read(RUN)
    (line,) = read.lines("touch")
    ends = [one for one in read.lines("dimension") if len(one) == 2]
    assert [one[0] for one in ends] == near(RUN.line)
    assert [one[1] for one in ends] == near(line)
    assert all(40 < x < 120 for x, _ in line)


def test_the_legs_of_a_corner_end_at_their_places_on_the_walls():
    ends = [one[0] for one in Read(SQUARE).lines("dimension") if len(one) == 2]
    assert ends == near([SQUARE.line[0], SQUARE.line[2]])


def test_three_sides_have_a_third_side():
    read = Read(replace(SQUARE, dictation="three sides back-right 20 left 16 right diagonal 26"))
    legs, third = read.lines("touch")
    assert third == near([legs[0], legs[-1]])


def test_a_lean_is_a_ring_at_its_place():
    read = Read(LEAN)
    (ring,) = read.root.iter(f"{SVG}circle")
    assert read.place((float(ring.get("cx")), float(ring.get("cy")))) == pytest.approx((1528, -500), abs=0.1)


def test_a_reading_without_a_place_is_pointed_out_at_its_corner():
    assert near([(1524, 0)])[0] == tips(TEMPLATE)[0]
    elsewhere = replace(TEMPLATE, name="template", wall="right")
    assert near([(1528, -500)])[0] == tips(elsewhere)[0]


def tips(reading):
    """Return where leaders point: their arrow heads' first corners."""
    read = Read(reading)
    heads = [
        one for one in read.root.iter(f"{SVG}path") if one.get("fill") and one.get("data-role") == "note"
    ]
    return [
        read.place(tuple(map(float, re.match(r"M([-\d.]+) ([-\d.]+)", one.get("d")).groups())))
        for one in heads
    ]


def test_the_nearest_height_is_drawn():
    low = replace(SURFACES[0], up_mm=100.0, points=((0.0, 0.0), (1524.0, -90.0)))
    made = report()
    room = replace(made.room, surfaces=(low, *SURFACES))
    at_top, at_floor = (
        to_svg(reading_picture(replace(made, room=room), replace(WIDTH, up_mm=up))) for up in (800.0, 200.0)
    )
    assert at_top == to_svg(reading_picture(made, replace(WIDTH, up_mm=800.0)))
    assert at_floor != at_top


def test_name_and_height_are_written_once():
    assert {"width at the front", "34″ up"} <= set(Read(WIDTH).words())
    said = Read(replace(WIDTH, name="width at 34 in"))
    assert [one for one in said.words() if "34″" in one] == ["width at 34″"]


@pytest.mark.parametrize("reading", ALL.values(), ids=ALL)
@pytest.mark.parametrize("more", ["", ", half way between the stations, from 6 in, where the top will be"])
def test_no_words_lie_on_each_other_and_all_is_legible_on_a_phone(reading, more):
    """A phone is about 65 mm wide: letters of 2.5 on 108 are then 1.5 mm high, those of the reading 2.1."""
    picture = reading_picture(report(), replace(reading, name=reading.name + more))
    words = [mark for mark in picture.marks if isinstance(mark, Lettering)]
    assert picture.width <= 108.5
    assert min(one.height for one in words) >= 2.5
    for one, other in itertools.combinations(words, 2):
        assert not one.quad().overlaps(other.quad()), (one.text, other.text)


def test_a_closed_room_is_drawn_whole():
    front = replace(SURFACES[0], wall="front", points=((1532.0, -1000.0), (4.0, -1000.0)))
    made = report()
    room = replace(made.room, surfaces=(*SURFACES, front))
    drawn = to_svg(reading_picture(replace(made, room=room), WIDTH))
    assert all(f"wall {name}" in re.sub("<[^>]*>", "", drawn) for name in ("back", "left", "right", "front"))


def test_a_room_without_walls_is_refused():
    made = report()
    with pytest.raises(DrawingError, match="no walls to draw: settle its findings first"):
        reading_picture(replace(made, room=replace(made.room, surfaces=())), WIDTH)


def test_the_hatching_is_behind_the_walls():
    """Every stroke of it lies outside of the room, or on its edge."""
    strokes = Read(WIDTH).lines("hatch")
    assert len(strokes) > 50
    for line in strokes:
        x, y = (sum(part) / len(line) for part in zip(*line, strict=True))
        assert x < 4.1 or x > 1523.9 or y > -4.1
