"""How tops and panels go in, what they are notched around besides trim, and the cutter's path."""

from __future__ import annotations

import pytest
from dictated import ALCOVE, COUNTER, END, found, numbers, piece, report_of
from shapely import Polygon

ALCOVE_TOP = (
    "top shelf against back up 850 thickness 30 depth 500, "
    "left meets left net gap 3, right meets right net gap 3, back meets back scribed"
)
CHASE = "obstacle chase on back chase width 100 projection 80"
PLACED = "position chase along 400 from left-back up 850"


def notch(report, name):
    (one,) = piece(report, name).notches
    return one


def test_between_two_walls_a_top_goes_straight_in_from_the_front():
    entry = piece(report_of(ALCOVE_TOP), "shelf").entry
    # The ceiling is at 2400, the top at 850.
    down = "down from above, with 1550 mm of room under the ceiling"
    assert entry.says == f"only straight in from the front; or {down}"
    assert entry.only == (
        "from the right wall right bars it; from the left wall left bars it; from the back wall back bars it"
    )
    ((across, deep),) = entry.moves
    assert (across, deep) == pytest.approx((0, 500), abs=2)
    outline = Polygon(piece(report_of(ALCOVE_TOP), "shelf").outline)
    gaps = sorted(outline.distance(Polygon(ring)) for ring in entry.barriers)
    # Scribed to the back; 3 mm at each end, or what was added for the unknown.
    assert gaps[0] == pytest.approx(0, abs=0.01)
    assert len(gaps) == 3
    assert 2.99 <= gaps[1] <= gaps[2] < 4.5


LEDGE = "obstacle ledge on left ledge width 100 height 60 projection 80"
LEDGE_PLACE = "position ledge along 250 from left-back up 850"
HUNG_LOW = "cabinet hung width 600 height 400 depth 300 bottom {}, right meets right net gap 3"


@pytest.mark.parametrize("bottom", [1500, 1100])
def test_what_hangs_over_a_top_leaves_it_so_much_room(bottom):
    entry = piece(report_of(ALCOVE_TOP, HUNG_LOW.format(bottom)), "shelf").entry
    assert entry.says.endswith(f"down from above, with {bottom - 850} mm of room under `hung`")


def test_what_hangs_under_a_top_is_not_over_it():
    entry = piece(report_of(ALCOVE_TOP, HUNG_LOW.format(400)), "shelf").entry
    assert entry.says.endswith("with 1550 mm of room under the ceiling")


def test_what_hangs_before_or_beside_a_top_is_not_over_it():
    """The counter ends 700 from the left wall, the cabinet begins 897 from it."""
    entry = piece(report_of(COUNTER, HUNG_LOW.format(1100)), "counter").entry
    assert entry.says.endswith("with 1550 mm of room under the ceiling")


def test_a_top_that_hooks_a_ledge_between_two_walls_needs_room_to_be_let_down():
    """The ledge reaches from 820 to 880, the top's underside is at 820: it must come up by 60."""
    free = report_of(LEDGE, LEDGE_PLACE, ALCOVE_TOP, HUNG_LOW.format(920))
    assert 547 not in numbers(free)
    assert "down from above, with 70 mm of room" in piece(free, "shelf").entry.says
    barred = report_of(LEDGE, LEDGE_PLACE, ALCOVE_TOP, HUNG_LOW.format(900))
    (said,) = found(barred, 547)
    assert "there are 50 mm under `hung`, and it needs 60 mm to pass over `ledge`" in said.says
    assert "not down from above" in piece(barred, "shelf").entry.says


def test_a_top_is_not_let_down_over_what_goes_all_the_way_up():
    entry = piece(report_of(CHASE, PLACED, COUNTER), "counter").entry
    assert entry.says.endswith("; not down from above: `chase` goes all the way up")


def test_a_crown_over_a_top_is_over_it_until_it_comes_off():
    crown = "crown cornice on back width 80 projection 60 bottom 2300 top 2400"
    assert piece(report_of(crown, ALCOVE_TOP), "shelf").entry.says.endswith("1450 mm of room under `cornice`")
    off = report_of(f"{crown} comes off", ALCOVE_TOP)
    assert piece(off, "shelf").entry.says.endswith("1550 mm of room under the ceiling")


def test_in_a_corner_a_top_goes_in_from_the_front_or_the_open_end():
    entry = piece(report_of(COUNTER), "counter").entry
    assert entry.says.startswith("straight in from the front or from the right;")


def test_an_end_let_into_its_wall_is_not_in_the_way_of_itself():
    let_in = COUNTER.replace("left meets left scribed", "left meets left let in")
    entry = piece(report_of(let_in), "counter").entry
    assert "from the right" in entry.says
    assert "only down" not in entry.says


def test_a_chase_is_worked_around_where_its_place_was_read():
    """Its centre at 400 from the corner, 100 wide and 80 out: by hand from 350 to 450, and kept clear."""
    report = report_of(CHASE, PLACED, COUNTER)
    assert 512 not in numbers(report)
    one = notch(report, "counter")
    assert one.around == "chase"
    across = sorted({corner.across.cut_mm for corner in one.corners})
    # The top is 700 wide from the left wall, told from its right end: 700 - 450 and 700 - 350.
    kept = one.clearance.mm
    assert (across[0], across[-1]) == pytest.approx((250 - kept, 350 + kept), abs=1.5)
    deep = min(corner.deep.mm for corner in one.corners)
    assert deep == pytest.approx(500 - 80 - kept, abs=1.5)


@pytest.mark.parametrize(
    "lines",
    [
        (CHASE,),  # nobody read where it is
        ("obstacle chase on back chase width 100", PLACED),
        ("obstacle chase on back chase projection 80", PLACED),
        ("obstacle chase on back ledge width 100 projection 80", PLACED),  # nor how high a ledge is
    ],
)
def test_what_is_not_known_in_full_is_said_and_not_guessed(lines):
    report = report_of(*lines, COUNTER)
    assert 512 in numbers(report)
    assert piece(report, "counter").notches == ()


def test_a_ledge_counts_at_its_own_height_only():
    ledge = "obstacle ledge on back ledge width 100 height {} projection 80"
    place = "position ledge along 400 from left-back up 850"
    above = "position ledge along 400 from left-back up 1100"
    assert notch(report_of(ledge.format(60), place, COUNTER), "counter").around == "ledge"
    report = report_of(ledge.format(60), above, COUNTER)
    assert piece(report, "counter").notches == ()
    assert 512 not in numbers(report)


def test_tiles_stand_out_from_their_edge_on():
    tiles = "obstacle tiles on back tile edge projection 10", "position tiles along 500 from left-back up 850"
    one = notch(report_of(*tiles, COUNTER), "counter")
    across = [corner.across.mm for corner in one.corners]
    assert max(across) == pytest.approx(200 + one.clearance.mm, abs=1.5)
    assert min(across) == pytest.approx(0, abs=1e-6)


def test_stone_is_kept_twice_as_clear_as_wood():
    """Common practice, no source: 1/8 in and 1/16 in; the unknown of its place is the same."""
    wood, stone = (
        notch(report_of(CHASE, PLACED, COUNTER.replace("width 700", f"width 700{rule}")), "counter")
        for rule in ("", " worked as stone")
    )
    assert stone.clearance.mm - wood.clearance.mm == pytest.approx(25.4 / 16, abs=0.01)


def test_pipes_and_cables_are_cautioned_of_where_a_chase_is_notched_around():
    told = piece(report_of(CHASE, PLACED, COUNTER), "counter")
    assert any("licensed trade" in one for one in told.cautions)
    assert not any("licensed trade" in one for one in piece(report_of(COUNTER), "counter").cautions)


def test_the_cut_runs_past_the_blank_and_stays_in_its_notch():
    told = piece(report_of(CHASE, PLACED, COUNTER), "counter")
    (path,) = told.cut_path
    blank = Polygon(told.blank_outline)
    back = blank.bounds[3]
    assert path[0][1] == path[-1][1] == pytest.approx(back + 6.35, abs=1.1)  # blank's line is rounded
    (opened,) = [one for one in told.measures if "wider for a bit" in one.name]
    assert "around chase" in opened.name
    # (r - c)(1 - sin 45) with the clearance asked for; less, as what is unknown is kept clear of too.
    assert 0 < opened.size.mm < 0.2929 * (6.35 - 1.5875)


def test_a_column_before_the_open_end_leaves_only_the_front():
    """It stands on the back wall beyond the top's end, 750 to 850 from the corner, as deep as the top."""
    column = "obstacle post on back column width 100 projection 600"
    place = "position post along 800 from left-back up 850"
    entry = piece(report_of(column, place, COUNTER), "counter").entry
    assert entry.says.startswith("only straight in from the front;")
    assert "from the right `post` bars it" in entry.only


def test_a_panel_goes_in_from_the_front_over_the_baseboard():
    board = "baseboard board on back width 100 projection 12"
    told = piece(report_of(board, END), "end")
    assert told.notches
    assert told.entry.says.startswith("straight in from the front or from the top;") or (
        told.entry.says.startswith("only straight in from the front;")
    )
    assert "the floor" in told.entry.only


def test_a_panel_between_floor_and_ceiling_goes_in_from_its_side():
    """Nothing moves in between two edges that are both met: that is no doubt, it is how panels are set."""
    ceiling = [
        f"drop ceiling back along {s} from left-back out {o} reads {r}"
        for s in (400, 900)
        for o, r in ((50, 1405), (450, 1400))
    ]
    report = report_of(*ceiling, END.replace("back meets", "upper meets ceiling scribed, back meets"))
    entry = piece(report, "end").entry
    assert entry.says == "only from its side, square to its face, if nothing bars that"
    assert "the floor bars it" in entry.only
    assert 543 not in numbers(report)


def test_crown_is_worked_around_by_a_panel_that_reaches_it():
    crown = "crown cornice on back width 80 projection 60 bottom 1950 top 2400"
    told = report_of(crown, END)
    assert 512 not in numbers(told)
    assert notch(told, "end").around == "cornice"


def test_a_column_that_parts_a_top_says_what_falls_off_and_the_least_that_would_hold_it():
    """It stands 520 out, the top is 500 deep: 20, its clearance and unknown, and 3.2 mm of wood."""
    column = "obstacle post on back column width 100 projection 520"
    report = report_of(column, "position post along 300 from left-back up 850", COUNTER)
    (said,) = found(report, 508)
    assert "`post` divides `counter` in two" in said.says
    assert "by 500 mm" in said.says
    assert 25 <= int(said.do.split(" mm farther at the front")[0].split()[-1]) <= 32


def test_without_walls_read_nothing_is_said():
    report = report_of(COUNTER, room=ALCOVE[:5])
    assert piece(report, "counter").entry is None
