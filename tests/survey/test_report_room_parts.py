"""Parts that meet the room, in reports of dictated rooms; every working stands beside its check.

The room is `dictated.ALCOVE`: 1500 mm between square corners, floor at 0, ceiling at 2400, all flat.
"""

import re

import pytest
from dictated import ALCOVE, COUNTER, HUNG, edge, found, numbers, piece, report_of, sizes, survey_of, without
from mirrored import mirrored

from survey.findings import fit

LID = (
    "top lid against back up 850 thickness 30 depth 500, left meets left net gap 2, "
    "right meets right net gap 2, back meets back net gap 3"
)
BASE = "cabinet base width 900 height 700 depth 500, left meets left net gap 3, toe height 100 toe depth 75"
BEHIND = "splash behind width 1500 height 100 thickness 18 of lid stands at back"


def splash(side, name="ledge", of="lid", **changes):
    size = {"width": 500, "height": 100, "thickness": 18} | changes
    words = " ".join(f"{what} {value}" for what, value in size.items())
    return f"splash {name} {words} of {of} stands at {side}"


def kick(more="floor scribed", width=900, height=100):
    return f"toe kick kick width {width} height {height} thickness 18 of base {more}"


def plate(name="o", up=920, along=400, more="plate width 70 plate height 114"):
    return (f"outlet {name} on back {more}", f"position {name} along {along} from left-back up {up}")


def floor_falls():
    """The floor falls 6 mm from 100 to 1400 right of the corner: 0.0046154 for each mm."""
    room = without(ALCOVE, "drop floor back along 1400")
    return [
        *room,
        "drop floor back along 1400 from left-back out 50 reads 1006",
        "drop floor back along 1400 from left-back out 550 reads 1006",
    ]


# --- Splashes


def test_a_splash_between_two_walls_is_as_wide_as_they_are_apart_less_a_gap_at_each_end():
    # 1500 less 1/16 in at each end, 3.175: 1496.8, wood that passes rounds down.
    told = piece(report_of(LID, BEHIND), "behind")
    assert (told.kind, told.status) == ("splash", "ready")
    assert sizes(told.finished) == {"width": "1496 mm", "height": "100 mm", "thickness": "18 mm"}
    assert told.datum == "lower edge and centre line"
    assert [one.edge for one in told.edges] == ["left", "right"]


def test_those_at_the_sides_butt_against_the_one_behind():
    # From the back wall to the front edge 500, less the 18 of the one behind.
    report = report_of(LID, BEHIND, splash("left", "one"), splash("right", "two"))
    for name in ("one", "two"):
        told = piece(report, name)
        assert sizes(told.finished)["width"] == "482 mm"
        assert "butts against `behind`" in told.rule
    assert edge(piece(report, "one"), "right").meets == "`behind`"
    assert numbers(report) == []


def test_without_one_behind_it_goes_to_the_wall_less_its_gap():
    # 500 - 1.6 = 498.4.
    told = piece(report_of(LID, splash("left")), "ledge")
    assert sizes(told.finished)["width"] == "498 mm"
    assert edge(told, "right").meets == "wall back"


def test_a_free_end_is_flush_with_the_tops():
    # The counter's right end is 700 from the left wall; 1.6 of gap there: 698.4.
    told = piece(report_of(COUNTER, splash("back", of="counter")), "ledge")
    assert sizes(told.finished)["width"] == "698 mm"
    assert told.datum == "lower edge and right end"


def test_with_two_free_ends_it_is_as_long_as_its_top():
    top = (
        "top slab against back up 850 thickness 30 depth 500 width 620 along 200 from left-back, "
        "back meets back scribed"
    )
    told = piece(report_of(top, splash("back", of="slab")), "ledge")
    assert sizes(told.finished)["width"] == "620 mm"
    assert told.status == "ready"


@pytest.mark.parametrize(("thickness", "short"), [(18, False), (5, True)])
def test_it_hides_its_thickness_less_the_caulk(thickness, short):
    # The top's gap is 3: 5 - 3 = 2 stand on it, 3.175 are needed; 18 - 3 = 15 do.
    report = report_of(LID, splash("back", thickness=thickness))
    assert sizes(piece(report, "ledge").measures)["`lid` reaches under it, least"] == f"{thickness - 3} mm"
    assert bool(found(report, 551)) is short
    if short:
        assert found(report, 551)[0].do.startswith("make `ledge` 2 mm thicker")


def test_a_hollow_wall_leaves_a_gap_behind_it():
    # The straightedge reads 6 in the middle: planed off at the back, or 6 thicker.
    gaps = "straightedge back up 850 from left-back: 0 0, 300 4, 600 6, 900 6, 1200 4, 1500 0"
    high = gaps.replace("up 850", "up 930")
    room = [*without(ALCOVE, "straightedge back"), gaps, high]
    report = report_of(LID, BEHIND, room=room)
    (one,) = found(report, 550)
    gap = {m.name: m.size.mm for m in piece(report, "behind").measures}["greatest gap behind its upper edge"]
    assert gap == pytest.approx(6.0, abs=1.0)
    assert one.pieces == ("behind",)


def test_an_outlet_is_cut_out_and_its_place_told_from_the_datum():
    # At 400, 70 up: 400 - 750 = -350. Plate 70 x 114 less 6.35 all around: 57.3 x 101.3.
    report = report_of(LID, splash("back", height=150), *plate())
    (cut,) = piece(report, "ledge").cut_outs
    assert (cut.name, cut.shape) == ("o", "rectangle")
    assert (cut.width.mm, cut.depth.mm) == pytest.approx((70 - 12.7, 114 - 12.7), abs=0.01)
    assert (cut.centre.across.mm, cut.centre.deep.mm) == pytest.approx((-350.0, 70.0), abs=0.2)
    assert cut.across_from == "from the centre line, left is minus"
    assert {one.name: one.size.mm for one in cut.left_over} == pytest.approx(
        {"left": 398.41 - 28.65, "right": 1098.41 - 28.65, "below": 70 - 50.65, "above": 80 - 50.65}, abs=1.0
    )
    assert any("licensed electrician" in one for one in piece(report, "ledge").cautions)
    assert numbers(report) == []


def test_an_outlet_above_it_is_none_of_its_business():
    report = report_of(LID, splash("back"), *plate(up=1200))
    assert piece(report, "ledge").cut_outs == ()
    assert piece(report, "ledge").cautions == ()


@pytest.mark.parametrize(
    ("lines", "number", "says"),
    [
        (plate(more="plate height 114"), 305, "`o` has no plate width"),
        (plate()[:1], 513, "`o` stands at wall `back`"),
        (("outlet o on back plate width 70 plate height 114", "position o up 920"), 304, "where `o` is"),
    ],
)
def test_an_outlet_of_which_something_is_missing_is_said(lines, number, says):
    (one,) = found(report_of(LID, splash("back"), *lines), number)
    assert says in one.says


def test_an_outlet_whose_place_is_known_poorly_is_doubted():
    # 2.5758 * 4 = 10.3 mm at 99 %, and the plate covers 6.35.
    lines = (plate()[0], "position o along 400 from left-back up 920 sd 4")
    (one,) = found(report_of(LID, splash("back", height=150), *lines), 554)
    assert "covers 6 mm" in one.says


@pytest.mark.parametrize(
    ("lines", "number", "says"),
    [
        ((LID, "splash s width 500 height 100 thickness 18 of lid"), 306, "along which edge of `lid`"),
        ((COUNTER, splash("right", of="counter")), 502, "the right end of `counter` meets no wall"),
        ((BASE, splash("back", of="base")), 103, "it must be a top of this survey"),
    ],
)
def test_a_splash_of_which_something_is_not_said_is_not_ready(lines, number, says):
    report = report_of(*lines)
    (one,) = found(report, number)
    assert says in one.says + one.do
    assert piece(report, one.pieces[-1]).status == "not ready"


def test_a_splash_waits_for_what_its_top_waits_for():
    room = without(ALCOVE, "straightedge left")
    report = report_of(LID, BEHIND, room=room)
    assert piece(report, "behind").status == "not ready"
    assert set(found(report, 302)[0].pieces) == {"lid", "behind"}


# --- Shelves


def test_a_shelf_between_walls_and_the_room_to_turn_it_level():
    # 1500 - 2 * 2 = 1496; its diagonal with 20: sqrt(1496^2 + 20^2) = 1496.13, 3.87 less than 1500.
    line = (
        "shelf s width 900 height 300 thickness 20 up 850, left meets left net gap 2, "
        "right meets right net gap 2"
    )
    report = report_of(line)
    told = piece(report, "s")
    assert (told.kind, told.status, numbers(report)) == ("shelf", "ready", [])
    assert sizes(told.finished) == {"width": "1496 mm", "depth": "300 mm", "thickness": "20 mm"}
    room = {one.name: one.size.mm for one in told.measures}["room to turn it level between its ends"]
    assert room == pytest.approx(3.87, abs=0.3)
    assert any("sags" in one for one in told.cautions)


def test_a_shelf_let_into_the_walls_cannot_be_turned():
    line = (
        "shelf s width 900 height 300 thickness 20 up 850, left meets left let in, right meets right let in"
    )
    (one,) = found(report_of(line), 552)
    assert "cannot be turned level" in one.says


def test_a_shelf_in_a_corner_has_the_width_typed():
    line = (
        "shelf s width 600 height 300 thickness 20 up 850, left meets left scribed, back meets back scribed"
    )
    told = piece(report_of(line), "s")
    assert sizes(told.finished)["width"] == "600 mm"
    assert {one.edge for one in told.edges} == {"left", "back"}


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("left meets left net", "how high the upper face of shelf `s` is"),
        ("up 850 back meets back net", "where along wall `back` shelf `s` is"),
    ],
)
def test_a_shelf_of_which_something_is_not_said_is_not_ready(more, says):
    report = report_of(f"shelf s width 600 height 300 thickness 20 {more}")
    assert says in found(report, 306)[0].says
    assert piece(report, "s").status == "not ready"


def test_a_shelf_where_the_wall_was_not_checked_is_not_ready():
    line = "shelf s width 900 height 300 thickness 20 up 1900, left meets left net, right meets right net"
    assert piece(report_of(line), "s").status == "not ready"


def panel(name, along, show, corner="left-back"):
    return (
        f"panel {name} on back along {along} from {corner} shows {show} depth 420 thickness 18 height 2000, "
        "back meets back scribed"
    )


@pytest.mark.parametrize(
    ("first", "second"),
    [
        # Facing each other: the faces are where they are said to be, at 318 and 882.
        (panel("pl", 318, "right"), panel("pr", 882, "left")),
        # Both look outward: 18 behind the faces at 300 and 900.
        (panel("pl", 300, "left"), panel("pr", 900, "right")),
        # One measured from the other corner: 1500 - 618 = 882.
        (panel("pl", 318, "right"), panel("pr", 618, "left", "back-right")),
    ],
)
def test_a_shelf_between_two_panels(first, second):
    # 882 - 318 = 564, less 2 at each end 560; its diagonal with 20: 560.36, 3.64 less than 564.
    line = (
        "shelf s width 900 height 300 thickness 20 up 850, left meets pl net gap 2, "
        "right meets pr net gap 2, back meets back scribed"
    )
    report = report_of(first, second, line)
    told = piece(report, "s")
    assert (told.kind, told.status) == ("shelf", "ready")
    assert told.finished[0].size.mm == pytest.approx(560.0, abs=0.1)
    assert [(one.edge, one.meets) for one in told.edges] == [
        ("left", "`pl`"),
        ("right", "`pr`"),
        ("back", "wall back"),
    ]
    room = {one.name: one.size.mm for one in told.measures}["room to turn it level between its ends"]
    assert room == pytest.approx(564.0 - 560.357, abs=0.1)
    assert numbers(report) == []


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("left meets pr net, right meets pl net", "between `pr` and `pl` are 0 mm"),
        ("left meets pl let in, right meets pr net", "its end at `pl` is to be let in"),
        ("on left left meets pl net, right meets pr net", "stands at wall `back`"),
    ],
)
def test_a_shelf_between_panels_that_cannot_be_is_not_ready(more, says):
    line = f"shelf s width 900 height 300 thickness 20 up 850 {more}"
    report = report_of(panel("pl", 318, "right"), panel("pr", 882, "left"), line)
    assert says in found(report, 502)[0].says
    assert piece(report, "s").status == "not ready"


# --- Toe-kicks


def test_on_a_level_floor_a_kick_has_the_height_of_the_toe_space():
    told = piece(report_of(BASE, kick()), "kick")
    assert (told.kind, told.status) == ("toe kick", "ready")
    assert sizes(told.finished) == {"width": "900 mm", "height": "100 mm", "thickness": "18 mm"}
    bottom = edge(told, "bottom")
    assert (bottom.meets, bottom.finish) == ("the floor", "scribed")
    assert sizes(told.blank)["height"] > sizes(told.finished)["height"]


def test_a_falling_floor_makes_it_higher_at_one_end():
    # 3 to 903 right of the corner; the box stands on the left: 100 there, 900 * 0.0046154 = 4.15 more right.
    told = piece(report_of(BASE, kick(), room=floor_falls()), "kick")
    measures = {one.name: one.size.mm for one in told.measures}
    rise = measures["height at the right end"] - measures["height at the left end"]
    assert rise == pytest.approx(900 * 6 / 1300, abs=0.3)
    assert edge(told, "bottom").allowance.range.mm == pytest.approx(900 * 6 / 1300, abs=0.3)
    # The blank covers the greatest height and the saw.
    assert told.blank[1].size.mm >= measures["greatest height"] + 1.58


def test_the_height_typed_counts_where_the_cabinet_says_none():
    box = BASE.replace("toe height 100 ", "")
    assert sizes(piece(report_of(box, kick(height=90)), "kick").finished)["height"] == "90 mm"


def test_left_open_it_keeps_clear_of_the_floor():
    # 100 - 1/16 in = 98.4.
    told = piece(report_of(BASE, kick("floor open")), "kick")
    assert sizes(told.finished)["height"] == "98 mm"
    assert edge(told, "bottom").allowance is None


def test_a_cabinet_on_legs_has_a_return_at_its_free_side():
    # 500 deep, recess 75, the front 18: 407 from behind the front to the back.
    (part,) = piece(report_of(f"{BASE} stands on legs", kick()), "kick").parts
    assert part.name == "right return"
    assert sizes(part.finished)["length"] == "407 mm"
    assert piece(report_of(BASE, kick()), "kick").parts == ()


def test_a_return_is_as_high_as_the_floor_is_low_there():
    # At the right side, 903 right of the corner: 100 + 4.15, the blank 1.6 and what is unknown more.
    told = piece(report_of(f"{BASE} stands on legs", kick(), room=floor_falls()), "kick")
    (part,) = told.parts
    assert {one.name: one.size.mm for one in part.finished}["height"] == pytest.approx(104.15, abs=0.3)
    assert {one.name: one.size.mm for one in part.rough}["height"] > 104.15 + 1.5
    assert part.note.startswith("104 mm high at its front end, 104 mm at the back")


def test_a_return_is_told_at_both_its_ends():
    # The floor is 5 lower 500 further out: 0.01. At the back 100, 407 before it 4.07 more.
    (part,) = piece(report_of(f"{BASE} stands on legs", kick(), room=floor_falls_alike()), "kick").parts
    assert part.note.startswith("104 mm high at its front end, 100 mm at the back")


@pytest.mark.parametrize(
    ("lines", "number", "says"),
    [
        ((BASE.replace(" toe depth 75", ""), kick()), 306, "how far behind the face of `base`"),
        ((HUNG, kick().replace("of base", "of hung")), 502, "hangs on the wall"),
        ((BASE, kick(width=912)), 501, "`kick` is 912 mm wide; there are 906 mm"),
        ((COUNTER, kick().replace("of base", "of counter")), 103, "names `counter`"),
    ],
)
def test_a_kick_that_cannot_be_is_not_ready(lines, number, says):
    report = report_of(*lines)
    assert says in found(report, number)[0].says
    assert piece(report, "kick").status == "not ready"


# --- Mirrors


def mirror(more, size="width 600 height 800 thickness 5"):
    return f"mirror m {size} {more}"


def test_a_mirror_hangs_centred_over_the_counter():
    # The counter reaches from 0 to 700: the middle is 350, its edges 50 and 650; 860 + 100 of splash below.
    report = report_of(COUNTER, splash("back", of="counter"), mirror("centred on counter bottom 960"))
    told = piece(report, "m")
    assert told.status == "ready"
    measures = sizes(told.measures)
    assert measures["wall beside it at the left"] == "50 mm"
    assert measures["wall beside it at the right"] == "850 mm"
    assert measures["above what stands under it"] == "10 mm"
    assert measures["lower edge above the floor"] == "960 mm"
    assert numbers(report) == []
    # 0.6 * 0.8 * 5 * 2.5 kg = 6.0
    assert any("about 6 kg (14 lb)" in one for one in told.cautions)
    assert any("Cables run up and down" in one for one in told.cautions)


@pytest.mark.parametrize(
    ("more", "left"),
    [
        ("centred on drain bottom 900", 400.0),  # 700 - 300
        ("along 120 from left-back bottom 900", 120.0),
        ("along 120 from back-right bottom 900", 780.0),  # 1500 - 120 - 600
        ("centred on hung bottom 600", 897.0),  # the cabinet from 897 to 1497
    ],
)
def test_where_it_hangs(more, left):
    drain = ("drain drain on back diameter 40", "position drain along 700 from left-back up 450")
    told = piece(report_of(HUNG, *drain, mirror(more)), "m")
    assert {one.name: one.size.mm for one in told.measures}["wall beside it at the left"] == pytest.approx(
        left, abs=0.3
    )


@pytest.mark.parametrize(
    ("size", "says"),
    [
        # 1.2 * 1.0 * 6 * 2.5 kg = 18
        (
            "width 1200 height 1000 thickness 6",
            "As glass it weighs about 18 kg (40 lb), more with a frame: two people",
        ),
        ("width 600 height 800 thickness 5 weighs 11.5", "It weighs 12 kg (26 lb)."),
    ],
)
def test_what_a_mirror_weighs(size, says):
    report = report_of(mirror("along 50 from left-back bottom 900", size))
    assert any(one.startswith(says) for one in piece(report, "m").cautions)


def test_too_low_it_runs_into_the_splash_and_the_least_change_is_said():
    # Splash up to 950; the mirror from 930: 20 higher.
    report = report_of(COUNTER, splash("back", of="counter"), mirror("centred on counter bottom 930"))
    (one,) = found(report, 506)
    assert "`ledge`" in one.says
    assert one.do == "hang it 20 mm higher"


def test_over_an_outlet_it_must_give_way():
    # Plate from 365 to 435 and 1343 to 1457 on a mirror from 50 to 650 and 1000 to 1800: up or down 457, to
    # the right 435 - 50 = 385, to the left 650 - 365 = 285, and what is unknown of its place.
    report = report_of(mirror("along 50 from left-back bottom 1000"), *plate(up=1400))
    (one,) = found(report, 506)
    assert "runs into `o`" in one.says
    assert re.match(r"hang it (28[5-9]|29\d) mm further to the left", one.do)


def test_a_light_above_it_is_clear():
    light = (
        "light lamp on back plate width 120 plate height 120",
        "position lamp along 350 from left-back up 1900",
    )
    assert numbers(report_of(mirror("along 50 from left-back bottom 1000"), *light)) == []


def test_a_light_of_unknown_place_is_said():
    (one,) = found(report_of(mirror("along 50 from left-back bottom 1000"), "light lamp on back"), 513)
    assert "`lamp`" in one.says


def test_a_cabinet_that_hangs_there_is_in_the_way():
    report = report_of(HUNG, mirror("centred on hung bottom 900"))
    (one,) = found(report, 506)
    assert one.do.startswith("hang it 200 mm further down")  # 900 + 800 - 1500


@pytest.mark.parametrize(("bottom", "hint"), [(1016, False), (1020, True)])
def test_over_forty_inches_it_is_said_to_be_checked_if_asked(bottom, hint):
    # 2010 ADA Standards 603.3, from memory: 40 in = 1016 mm.
    hints = found(report_of(mirror(f"along 50 from left-back bottom {bottom}")), 553)
    assert bool(hints) is hint
    assert all(one.severity == "hint" and "check if asked" in one.do for one in hints)


@pytest.mark.parametrize(
    ("more", "number", "says"),
    [
        ("centred on base", 306, "how high the lower edge of `m` hangs"),
        ("bottom 900", 306, "where along wall `back` mirror `m` hangs"),
        ("along 1000 from left-back bottom 900", 502, "100 mm past the right end"),
        ("along 100 from left-back bottom 1700", 500, "`m` is 800 mm high; the room there is 700 mm"),
        ("centred on base along 100 from left-back bottom 900", 502, "said twice"),
    ],
)
def test_a_mirror_that_cannot_be_is_not_ready(more, number, says):
    report = report_of(BASE, mirror(more))
    assert says in found(report, number)[0].says
    assert piece(report, "m").status == "not ready"


# --- Light strips


def strip(name, width, more=""):
    return f"strip light {name} width {width} height 10 thickness 10 of hung {more}"


def test_a_strip_lies_midway_under_its_cabinet():
    told = piece(report_of(HUNG, strip("l", 500)), "l")
    assert (told.kind, told.status) == ("light strip", "ready")
    assert sizes(told.measures) == {
        "left end from the cabinet's left side": "50 mm",
        "dark at the left": "50 mm",
        "dark at the right": "50 mm",
    }
    assert any("licensed electrician" in one for one in told.cautions)


def test_several_are_laid_in_one_row():
    # 250 + 300 = 550 of 600: 25 at each end; spread evenly 50 / 3.
    report = report_of(HUNG, strip("a", 250), strip("b", 300))
    assert sizes(piece(report, "a").measures)["left end from the cabinet's left side"] == "25 mm"
    measures = sizes(piece(report, "b").measures)
    assert measures["left end from the cabinet's left side"] == "275 mm"
    assert measures["or spread evenly: each dark space"] == "17 mm"


def test_one_that_is_too_long_is_cut_only_where_it_may_be():
    report = report_of(HUNG, strip("l", 650))
    (one,) = found(report, 502)
    assert "650 mm long" in one.says
    assert "50 mm shorter in all" in one.do
    told = piece(report_of(HUNG, strip("l", 650, "may be cut")), "l")
    assert sizes(told.finished)["width"] == "600 mm"


def test_bought_lengths_that_leave_less_dark_are_told():
    # Of 200 and 300 twice 300 fill 600; the 500 typed leave 100 dark.
    items = ("bought x: tube, width 300 of l", "bought y: tube, width 200 of l")
    measures = sizes(piece(report_of(HUNG, strip("l", 500), *items), "l").measures)
    assert measures["dark with 300 mm + 300 mm instead"] == "0 mm"


# --- Backs


@pytest.mark.parametrize(
    ("more", "width", "height"),
    [
        # The box 600 x 400, inside 564 x 364; a groove 9 deep less 0.79 of play at each edge: 580.4 x 380.4.
        ("sits in a groove groove 9 sides 18", "580 mm", "380 mm"),
        ("sits in a rabbet groove 9 sides 18", "580 mm", "380 mm"),
        ("sits on the back sides 18", "600 mm", "400 mm"),
    ],
)
def test_a_back_has_the_size_of_what_it_sits_in(more, width, height):
    told = piece(report_of(HUNG, f"case back b width 1 height 1 thickness 6 of hung {more}"), "b")
    assert (told.kind, told.status) == ("case back", "ready")
    assert (sizes(told.finished)["width"], sizes(told.finished)["height"]) == (width, height)


def test_a_back_over_legs_is_lower_by_them():
    box = f"{BASE} stands on legs"
    told = piece(
        report_of(box, "case back b width 1 height 1 thickness 6 of base sits on the back sides 18"), "b"
    )
    assert sizes(told.finished)["height"] == "600 mm"


def test_how_far_a_back_must_be_set_in_is_how_far_the_wall_stands_out_behind_it():
    # A crown of 5 in the middle of the cabinet's 900 (the edge rocks there): its sides are 5 off.
    gaps = "straightedge back up 850 from left-back: 0 5, 225 1.25, 450 0, 675 1.25, 900 5"
    room = without(ALCOVE, "straightedge back")
    room += [gaps.replace("up 850", f"up {up}") for up in (20, 200, 400, 690)]
    report = report_of(
        f"{BASE} back set in", "case back b width 1 height 1 thickness 6 of base groove 9 sides 18", room=room
    )
    measures = {one.name: one.size.mm for one in piece(report, "b").measures}
    assert measures["set in at the least, so that it clears the wall"] == pytest.approx(5.0, abs=0.6)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("sits in a groove groove 9", "how thick the sides of `hung` are"),
        ("sits in a rabbet sides 18", "how deep the rabbet for `b` is"),
    ],
)
def test_a_back_of_which_something_is_not_said_is_not_ready(more, says):
    report = report_of(HUNG, f"case back b width 1 height 1 thickness 6 of hung {more}")
    assert says in found(report, 306)[0].says


def test_a_groove_deeper_than_the_side_is_refused_with_what_it_may_be():
    report = report_of(
        HUNG, "case back b width 1 height 1 thickness 6 of hung sits in a groove groove 15 sides 18"
    )
    (one,) = found(report, 502)
    assert "11.65 mm or less" in one.says


# --- All kinds


ALL = (
    LID,
    BEHIND,
    splash("left", "one", height=90),
    BASE.replace("net gap 3", "filler gap 30"),
    kick(),
    HUNG,
    strip("l", 500),
    mirror("along 50 from left-back bottom 1000"),
    "shelf s width 600 height 300 thickness 20 up 900, left meets left scribed, back meets back scribed",
    "case back b width 1 height 1 thickness 6 of hung groove 9 sides 18",
)


@pytest.mark.parametrize("kind", ["splash", "shelf", "toe kick", "mirror", "strip light", "case back"])
def test_what_nothing_ties_to_the_room_is_listed_as_typed(kind):
    told = piece(report_of(f"{kind} part width 465 height 90 thickness 18"), "part")
    assert (told.status, told.findings) == ("as typed", (507,))


def test_the_mirror_image_of_a_room_gives_the_mirror_image_of_its_parts():
    survey = survey_of(*ALL, room=floor_falls_alike())
    here, there = fit(survey), fit(mirrored(survey))
    for one in here.pieces:
        other = piece(there, one.name)
        assert one.status == other.status == "ready", one.name
        assert [(a.name, a.size.mm) for a in one.finished] == [
            (b.name, pytest.approx(b.size.mm, abs=0.02)) for b in other.finished
        ]
        turned = sorted((-x, y) for x, y in one.outline)
        width = max((x for x, _ in one.outline), default=0.0) + min((x for x, _ in one.outline), default=0.0)
        same = sorted(other.outline)
        shift = (min(x for x, _ in same) - min(x for x, _ in turned)) if same else 0.0
        assert [(x + shift, y) for x, y in turned] == [pytest.approx(corner, abs=0.02) for corner in same], (
            one.name,
            width,
        )


def floor_falls_alike():
    """The floor rises to the back: its mirror image is itself."""
    return [
        line.replace("reads 1000", "reads 1005") if "out 550" in line and "floor" in line else line
        for line in ALCOVE
    ]


def test_every_part_names_the_readings_it_rests_on():
    report = report_of(*ALL)
    assert all(one.readings for one in report.pieces)


# --- Panels up to the ceiling


def up_to_ceiling(upper="upper meets ceiling scribed", height=2400):
    return (
        f"panel end on back along 800 from left-back shows left depth 420 thickness 18 height {height}, "
        f"back meets back scribed, {upper}"
    )


def test_a_panel_scribed_to_the_ceiling_is_as_high_as_the_room():
    # The floor at 0 and the ceiling at 1000 + 1400.
    report = report_of(up_to_ceiling())
    told = piece(report, "end")
    assert sizes(told.finished)["height"] == "2400 mm"
    top = edge(told, "top")
    assert (top.meets, top.finish) == ("the ceiling", "scribed")
    assert told.blank[1].size.mm > 2401.5
    assert any("taller than the room" in one for one in told.cautions)
    assert numbers(report) == []


def test_a_typed_height_that_is_not_the_ceilings_is_said():
    (one,) = found(report_of(up_to_ceiling(height=2300)), 602)
    assert "meets the ceiling at 2400 mm, and 2300 mm was typed" in one.says


def test_what_a_panel_meets_above_is_the_ceiling_and_it_must_have_been_read():
    report = report_of(up_to_ceiling("upper meets left scribed"))
    assert "only the ceiling is worked out" in found(report, 502)[0].says
    unread = report_of(up_to_ceiling(), room=without(ALCOVE, "drop ceiling"))
    assert "where the ceiling is over `end`" in found(unread, 306)[0].says


# --- Heights to check if asked


@pytest.mark.parametrize(("up", "said"), [(812, True), (813, False), (1092, False), (1093, True)])
def test_a_basins_height_outside_what_guides_recommend_is_a_hint(up, said):
    # 32 in = 812.8 mm, 43 in = 1092.2 mm (trade-facts 4.2); the floor is at 0.
    room = [line.replace("up 850 from", f"up {up} from") for line in ALCOVE]
    basin = ("bought bowl: basin, width 400 depth 300", "cut out hole in counter for bowl")
    hints = found(report_of(COUNTER.replace("up 850", f"up {up}"), *basin, room=room), 553)
    assert bool(hints) is said
    assert all("606.3" in one.says and one.severity == "hint" for one in hints)


def test_a_top_with_nothing_cut_out_has_no_usual_height():
    room = [line.replace("up 850 from", "up 700 from") for line in ALCOVE]
    assert found(report_of(COUNTER.replace("up 850", "up 700"), room=room), 553) == []


def test_a_panel_that_begins_over_the_ceiling_is_refused():
    report = report_of(f"{up_to_ceiling()} bottom 2500")
    assert "the room there is -100 mm" in found(report, 500)[0].says
    assert piece(report, "end").status == "not ready"


@pytest.mark.parametrize(
    "lines",
    [
        (splash("left", thickness=600), splash("back", "bk", thickness=600)),
        (splash("back"), *plate(more="plate width 4000 plate height 4000")),
    ],
)
def test_a_splash_of_which_nothing_is_left_cannot_be_made(lines):
    report = report_of(LID, *lines)
    assert "nothing of it is left" in found(report, 502)[0].says
    assert piece(report, "ledge").status == "not ready"


def test_what_stands_on_a_top_of_which_nothing_is_left_waits_and_a_mirror_over_it_says_so():
    lid = LID.replace("left meets left net gap 2", "left meets left net gap 3000")
    report = report_of(lid, BEHIND, mirror("along 50 from left-back bottom 900"))
    assert piece(report, "lid").status == piece(report, "behind").status == "not ready"
    assert piece(report, "m").status == "ready"
    assert "`lid` stands at wall `back`" in found(report, 513)[0].says
