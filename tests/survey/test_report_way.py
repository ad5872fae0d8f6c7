"""The way in: what goes past what, by hand; in mm, each size known to 0.5, the job at 99 %."""

from __future__ import annotations

import math

import pytest
from dictated import ALCOVE, COUNTER, END, HUNG, LINEN, found, piece, report_of, without

from survey.cli.print_report import report_lines
from survey.report.structs import FitReport, WayStepReport

BOX = "tall cabinet linen width 600 height {height} depth {depth}, left meets left filler gap 30"
REACH = 2.3263 * 0.5  # z of 99 % (NIST/SEMATECH e-Handbook 1.3.6.7.1, from memory) times a size's sd


def step(report: FitReport, name: str, way: str) -> WayStepReport:
    (told,) = [one for one in piece(report, name).way if one.name == way]
    return told


def verdict(name: str, way: str, *lines: str) -> str:
    return step(report_of(*lines), name, way).verdict


# --- Doorways, passages, ceilings


def test_a_doorway_with_room_to_spare():
    """600 x 500 x 2000 lying, 500 across: 760 - 500 = 260, upright 1980 is too low."""
    told = step(report_of(LINEN, "way front step 1 doorway width 760 height 1980"), "linen", "front")
    assert (told.verdict, told.margin.mm, told.margin.text) == ("goes", 260.0, "260 mm")
    assert told.says == "goes through `front`, on its side: 260 mm to spare"
    assert told.view == "elevation"
    assert len(told.barriers) == 3


@pytest.mark.parametrize(
    ("width", "expected"),
    [
        (500 + 1.7, "goes"),
        (500 + 1.6, "too tight to call"),
        (500 - 1.6, "too tight to call"),
        (500 - 1.7, "does not go"),
    ],
)
def test_a_doorway_hardly_wide_or_narrow_enough_is_too_tight_to_call(width, expected):
    """Two sizes known to 0.5 each: 2.3263 sqrt(2) 0.5 = 1.645. The head is too low to lean it over."""
    line = f"way front step 1 doorway width {width} height 602.5"
    assert verdict("linen", "front", BOX.format(height=2000, depth=500), line) == expected


def test_what_does_not_go_says_by_how_much_and_the_least_that_would_help():
    """Through 480 x 590 the section 500 x 600 lacks 20 across; leaned over it lacks more."""
    report = report_of(LINEN, "way front step 1 doorway width 480 height 590")
    told = step(report, "linen", "front")
    assert told.verdict == "does not go"
    assert told.says.startswith("does not go through `front`, ")
    assert told.margin.mm < 0
    (finding,) = found(report, 570)
    assert (finding.severity, finding.pieces) == ("doubt", ("linen",))
    assert piece(report, "linen").status == "ready"
    # 600 up to 480 across, so that 500 stands in 590; the other way both sizes would have to go down.
    assert told.helps == ("take 122 mm off its width",)
    report = report_of(LINEN, "way front step 1 doorway width 480 height 700")
    help_, other = step(report, "linen", "front").helps
    assert other == "take 122 mm off its width"
    taken = float(help_.removeprefix("take ").split(" mm")[0])
    assert help_.endswith("off its depth")
    assert 20 + 2 * REACH / math.sqrt(2) - 0.01 <= taken <= 20 + 2 * REACH / math.sqrt(2) + 1.5


def test_the_help_that_is_told_helps():
    report = report_of(LINEN, "way front step 1 doorway width 480 height 700")
    taken = float(step(report, "linen", "front").helps[0].removeprefix("take ").split(" mm")[0])
    door = "way front step 1 doorway width 480 height 700"
    assert verdict("linen", "front", BOX.format(height=2000, depth=500 - taken), door) == "goes"
    assert verdict("linen", "front", BOX.format(height=2000, depth=500 - taken + 1.5), door) != "goes"


def test_a_low_beam_is_passed_lying():
    told = step(report_of(LINEN, "way beam step 1 ceiling height 700"), "linen", "beam")
    assert told.verdict == "goes"
    assert told.margin.mm == 200.0  # 700 - 500, on its back


# --- Corners and stairs


def ladder(first: float, second: float) -> float:
    """The longest thin bar round a corner: (a^(2/3) + b^(2/3))^(3/2)."""
    return (first ** (2 / 3) + second ** (2 / 3)) ** 1.5


@pytest.mark.parametrize(
    ("height", "expected"), [(1330, "goes"), (1345, "too tight to call"), (1360, "does not go")]
)
def test_a_corner_against_the_thick_rectangle_of_geometry(height, expected):
    """600 thick round 900 and 900: 2 sqrt(2) 900 - 2 x 600 = 1345.58 (geometry.md 5). Too low to stand up."""
    line = "way hall step 1 corner width 900 next width 900 height 1000"
    box = (
        BOX.format(height=height, depth=700)
        .replace("width 600", "width 990")
        .replace("depth 700", "depth 600")
    )
    told = step(report_of(box, line), "linen", "hall")
    assert told.verdict == expected
    assert told.view == "plan"
    assert told.margin.mm == pytest.approx(900 * math.sqrt(2) - height / 2 - 600, abs=0.01)


def test_a_corner_wants_both_widths_whatever_way_round():
    """END on edge, 2000 by 18: least over all turns of first sin + second cos - 2000 sin cos - 18."""
    turns = [math.radians(one / 100) for one in range(1, 9000)]
    clear = [762 * math.sin(a) + 914 * math.cos(a) - 2000 * math.sin(a) * math.cos(a) - 18 for a in turns]
    for widths in ("width 762 next width 914", "width 914 next width 762"):
        told = step(report_of(END, f"way hall step 1 corner {widths} height 1000"), "end", "hall")
        assert told.margin.mm == pytest.approx(min(clear), abs=0.5)


def test_stairs_give_their_headroom_square_to_the_slope():
    """2000 plumb at 60 degrees is 1000 square to it; half a degree more is 15 less."""
    line = "way flight step 1 stairs width 505 height {} slope 60"
    assert verdict("linen", "flight", LINEN, line.format(2000)) == "goes"
    assert verdict("linen", "flight", LINEN, line.format(1200 + 40)) == "too tight to call"
    assert verdict("linen", "flight", LINEN, line.format(1200 - 60)) == "does not go"


def test_a_landing_is_a_corner_of_its_own():
    line = "way flight step 1 stairs width 700 height 2200 slope 38 length {}"
    assert verdict("linen", "the landing of flight", LINEN, line.format(900)) == "goes"
    assert verdict("linen", "the landing of flight", LINEN, line.format(400)) == "does not go"


# --- What is carried


def test_steps_come_in_the_order_of_the_way():
    lines = (
        "way z-last step 9 doorway width 900 height 2000",
        "way a-first step 2 passage width 900 height 2000",
    )
    told = piece(report_of(LINEN, *lines), "linen").way
    assert [one.name for one in told][:2] == ["a-first", "z-last"]


def test_doors_are_taken_out_where_that_helps():
    """Depth 500 + 18 overlay + 35 pull = 553 across; 530 lets the bare box through, with 30 to spare."""
    door = "hinged door flap width 598 height 1900 thickness 18 of linen hinge left pull 35"
    way = "way front step 1 doorway width {} height 1000"
    wide, narrow = (step(report_of(LINEN, door, way.format(width)), "linen", "front") for width in (560, 530))
    assert (wide.verdict, wide.how, wide.margin.mm) == ("goes", "on its side", 7.0)
    assert (narrow.verdict, narrow.margin.mm) == ("goes", 30.0)
    assert narrow.how.endswith("doors and drawers out")


def test_a_loose_base_and_legs_come_off():
    """2100 high, 100 of that its base: upright under 2050 only without; too narrow to lie."""
    loose = BOX.format(height=2100, depth=500) + ", stands on {} toe height 100 toe depth 60"
    way = "way hall step 1 corner width 620 next width 620 height 2050"
    for base, words in (("loose base", "its base loose"), ("legs", "its legs off")):
        told = step(report_of(loose.format(base), way), "linen", "hall")
        assert told.verdict == "goes"
        assert told.how == f"upright, {words}"


def test_a_base_that_is_part_of_the_box_is_proposed_to_be_made_loose():
    box = BOX.format(height=2100, depth=500) + ", toe height 100 toe depth 60"
    told = step(
        report_of(box, "way hall step 1 corner width 620 next width 620 height 2050"), "linen", "hall"
    )
    assert told.verdict == "does not go"
    assert told.helps[0] == "make its base loose, 100 mm high"


def test_a_long_top_is_proposed_in_two_parts():
    """On edge: 1400 long round 450 and 450 (ladder 1272.8); its length is too high for the ceiling."""
    top = "top counter against back up 850 thickness 30 depth 500 width 1400, left meets left scribed, "
    top += "back meets back scribed"
    way = "way hall step 1 corner width 450 next width 450 height 700"
    told = step(report_of(top, way), "counter", "hall")
    assert told.verdict == "does not go"
    (parts,) = [one for one in told.helps if "two parts" in one]
    longest = float(parts.rsplit(" ", 2)[1])
    assert ladder(450, 450) - 2 * 32 - 4 < longest < ladder(450, 450) - 2 * 30


def test_a_blank_is_carried_not_the_finished_top():
    """COUNTER is 700 x 500 finished; what is left over for the scribe is carried too."""
    told = piece(report_of(COUNTER, "way front step 1 doorway width 1000 height 2000"), "counter")
    (xs, ys) = zip(*told.blank_outline, strict=True)
    sizes = sorted(max(one) - min(one) for one in zip(*told.way[0].shape, strict=True))
    options = sorted((max(xs) - min(xs), max(ys) - min(ys), 30.0))
    assert all(min(abs(size - one) for one in options) < 0.01 for size in sizes)


def test_small_parts_have_no_way():
    report = report_of(
        LINEN,
        "cleat batten width 500 height 100 thickness 18 of linen",
        HUNG,
        "way f step 1 passage width 900 height 2000",
    )
    assert piece(report, "batten").way == ()
    assert piece(report, "hung").way[0].verdict == "goes"


# --- What is missing


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("way front step 1 doorway height 2000", "width"),
        ("way front step 1 doorway width 700", "height"),
        ("way front step 1 passage width 700", "height"),
        ("way front step 1 corner width 700 height 2000", "next width"),
        ("way front step 1 stairs width 700 height 2000", "slope"),
        ("way front step 1 ceiling", "height"),
        ("way front step 1 stairs", "width and height and slope"),
    ],
)
def test_a_missing_number_is_a_finding_and_never_a_default(line, what):
    report = report_of(LINEN, HUNG, line)
    (finding,) = found(report, 572)
    assert f"has no {what}, so" in finding.says
    assert finding.pieces == ("linen", "hung")
    assert not [one for told in report.pieces for one in told.way if one.name == "front"]


def test_without_a_way_nothing_is_said_of_doors():
    report = report_of(LINEN, COUNTER, HUNG)
    assert {one.name for told in report.pieces for one in told.way} <= {"its place"}
    assert not found(report, 572)


def test_a_piece_that_is_not_ready_has_no_way():
    wide = "cabinet wide width 1503 height 700 depth 500 bottom 100, "
    wide += "left meets left filler, right meets right filler"
    assert piece(report_of(wide, "way f step 1 passage width 900 height 2000"), "wide").way == ()


# --- Its place


def test_a_tall_cabinet_is_stood_up_under_the_ceiling():
    """The ceiling is 2400 over the floor; sqrt(2000^2 + 500^2) = 2061.6."""
    told = step(report_of(LINEN), "linen", "its place")
    assert told.verdict == "goes"
    assert told.margin.mm == pytest.approx(2400 - math.hypot(2000, 500), abs=1.0)
    assert told.view == "elevation"


def test_a_low_cabinet_is_carried_as_it_stands():
    box = LINEN.replace("tall cabinet", "cabinet").replace("height 2000", "height 800")
    assert piece(report_of(box), "linen").way == ()


def test_one_that_is_too_tall_to_be_stood_up_is_told_what_would_help():
    """sqrt(2370^2 + 500^2) = 2422.2: 22 lacking, upright 30 to spare."""
    report = report_of(BOX.format(height=2370, depth=500))
    told = step(report, "linen", "its place")
    assert told.verdict == "does not go"
    assert found(report, 570)[0].pieces == ("linen",)
    heights = [one for one in told.helps if one.endswith("off its height")]
    taken = float(heights[0].removeprefix("take ").split(" mm")[0])
    assert step(report_of(BOX.format(height=2370 - taken, depth=500)), "linen", "its place").verdict == "goes"


def test_the_ceilings_own_uncertainty_is_in_the_verdict():
    """sqrt(2346^2 + 500^2) = 2398.7: 1.3 to spare, less than three drops and two sizes are known to."""
    assert (
        step(report_of(BOX.format(height=2346, depth=500)), "linen", "its place").verdict
        == "too tight to call"
    )


def test_where_the_ceiling_was_not_read_nothing_is_said_of_it():
    room = without(ALCOVE, "drop ceiling")
    assert piece(report_of(LINEN, room=room), "linen").way == ()


WIDE = (
    "cabinet wide width {width} height 700 depth 300 bottom 700, "
    "left meets left filler, right meets right filler"
)
CASED = (
    "casing trim on left toward left width 60 projection 15",
    "position trim along 450 from left-back up 850",
)
"""Near edge 450 from the corner, 150 before the face of what is 300 deep: the mouth is 1500 - 15 = 1485."""


def test_a_box_goes_straight_in_between_walls_that_are_no_narrower_in_front():
    told = step(report_of(WIDE.format(width=1490)), "wide", "its place")
    assert (told.verdict, told.view) == ("goes", "plan")
    assert told.margin.mm == pytest.approx(10.0, abs=1.0)


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_casing_before_its_place_bars_a_box_that_would_have_room_there(side):
    corner = {"left": "left-back", "right": "back-right"}[side]
    cased = (
        f"casing trim on {side} toward {side} width 60 projection 15",
        f"position trim along 450 from {corner} up 850",
    )
    report = report_of(*cased, WIDE.format(width=1490))
    told = step(report, "wide", "its place")
    assert told.verdict == "does not go"
    assert told.margin.mm == pytest.approx(-5.0, abs=1.5)
    assert told.helps[0] == "take `trim` off"
    off = float(told.helps[1].removeprefix("take ").split(" mm")[0])
    assert told.helps[1].endswith("off its width")
    (finding,) = found(report, 570)
    assert "does not go straight into its place: " in finding.says
    assert len(finding.records) == 2
    narrower = step(report_of(*cased, WIDE.format(width=1490 - off)), "wide", "its place")
    assert narrower.verdict == "goes"


def test_a_casing_far_before_a_shallow_place_bars_it_too():
    """60 deep, its front 390 behind the casing: it passes there all the same."""
    report = report_of(*CASED, WIDE.format(width=1490).replace("depth 300", "depth 60"))
    told = step(report, "wide", "its place")
    assert told.verdict == "does not go"
    assert "askew" in told.helps[-1]


def test_a_casing_that_comes_off_or_lies_behind_bars_nothing():
    off = (CASED[0] + " comes off", CASED[1])
    assert step(report_of(*off, WIDE.format(width=1490)), "wide", "its place").verdict == "goes"
    above = (CASED[0] + " bottom 1500", CASED[1])
    assert step(report_of(*above, WIDE.format(width=1490)), "wide", "its place").verdict == "goes"


def narrowing() -> list[str]:
    """ALCOVE with corners of 89 degrees: at 500 it is 17.5 narrower than behind."""
    diagonal = math.sqrt(600**2 + 800**2 - 2 * 600 * 800 * math.cos(math.radians(89)))
    room = without(ALCOVE, "three sides", "length")
    room += [
        f"three sides left-back 600 left 800 right diagonal {diagonal:.3f} up 850 sd 0.05",
        f"three sides back-right 800 left 600 right diagonal {diagonal:.3f} up 850 sd 0.05",
        "length left-back to back-right up 850 reads 1500",
    ]
    return room


LID = (
    "top lid against back up 850 thickness {} depth 500, "
    "left meets left net gap 2, right meets right net gap 2, back meets back net gap 2"
)


def test_a_top_slides_in_where_its_place_is_as_wide_in_front():
    told = step(report_of(LID.format(30)), "lid", "its place")
    assert told.verdict == "goes"
    assert told.says.startswith("goes straight into its place")


def test_a_top_is_let_down_where_its_place_is_narrower_in_front():
    """30 thick it is wider by 30^2 / (2 x 1480) = 0.3 while it is tilted: it goes down as it fits."""
    told = step(report_of(LID.format(30), room=narrowing()), "lid", "its place")
    assert (told.verdict, told.view) == ("goes", "elevation")
    assert told.says.startswith("goes down into its place")
    assert 2.0 < told.margin.mm < 6.0


def test_a_thick_top_does_not_turn_between_walls_that_are_narrower_in_front():
    """190 thick: 190^2 / (2 x 1480) = 12.2 more than its length, and both gaps leave about 4."""
    told = step(report_of(LID.format(190), room=narrowing()), "lid", "its place")
    assert told.verdict == "does not go"
    assert told.margin.mm == pytest.approx(4 - 12.2, abs=2.0)
    let_in, in_two = told.helps
    assert let_in.startswith("let one end into the board, ")
    assert in_two.startswith("make it in two parts, neither longer than 14")


# --- What is lifted


def test_a_weight_that_was_typed_is_told_and_who_lifts_it():
    """23 kg is one person's limit (from memory): 46 two people's, 69 three people's."""
    for kilograms, says, people in (
        (20, "20 kg (45 lb): one person", None),
        (30, "30 kg (67 lb): two people", "two people"),
        (60, "60 kg (133 lb): three people", "three people"),
        (100, "100 kg (221 lb): more than three people, or in parts", "more than three people"),
    ):
        report = report_of(f"{LINEN}, weighs {kilograms}")
        told = piece(report, "linen")
        assert told.lift.says == says
        assert (told.lift.kilograms, told.lift.weighed) == (kilograms, True)
        assert any("get help" in one for one in told.cautions)
        assert [people in one.do for one in found(report, 575)] == ([True] if people else [])


def test_what_hangs_calls_for_a_ledger():
    told = piece(report_of(f"{HUNG}, weighs 18"), "hung")
    assert told.lift.says.startswith("18 kg (40 lb): one person; a ledger")


def test_a_weight_from_what_it_is_made_of():
    """COUNTER's blank of black walnut, 610 kg/m3 (from memory): its area times 30 thick."""
    told = piece(report_of(f'{COUNTER}, material "black walnut"'), "counter")
    (xs, ys) = zip(*told.blank_outline, strict=True)
    most = (max(xs) - min(xs)) * (max(ys) - min(ys)) * 30 * 610e-9
    assert 0.97 * most < told.lift.kilograms <= most + 0.01
    assert told.lift.says.startswith("about 7 kg (")
    assert not told.lift.weighed


def test_a_case_is_taken_as_3_4_stuff_and_nobody_guesses_a_material():
    """2 x 19.05 (600 x 500 + 600 x 2000 + 500 x 2000) mm3 at 680 kg/m3 = 64.8 kg."""
    told = piece(report_of(f'{LINEN}, material "birch plywood"'), "linen")
    assert told.lift.kilograms == pytest.approx(2 * 19.05 * 2.5e6 * 680e-9, abs=0.01)
    assert "taken as a case of 19 mm stuff" in told.lift.says
    assert piece(report_of(LINEN), "linen").lift is None
    assert piece(report_of(f"{LINEN}, material unobtainium"), "linen").lift is None


# --- On the screen


def test_the_screen_shows_the_way_in_and_what_would_help():
    report = report_of(f"{LINEN}, weighs 30", "way front step 1 doorway width 480 height 700")
    lines = [" ".join(line.split()) for line in report_lines(report)]
    assert any(line.startswith("way in does not go through `front`, ") for line in lines)
    assert any(line.startswith("way in would help: take ") for line in lines)
    assert "lift 30 kg (67 lb): two people" in lines
    assert "way in goes up at its place: 338 mm to spare" in lines
