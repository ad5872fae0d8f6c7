"""What stands on a wall and is not worked around is said of each piece that meets that wall, of no other."""

from __future__ import annotations

import pytest
from dictated import COUNTER, END, HUNG, LINEN, found, numbers, piece, report_of

COLUMN = "obstacle column on {} width 100 height 2400 projection 200"
TOILET = "fixture toilet wc on {} width 400 projection 600"


@pytest.mark.parametrize(("line", "number"), [(COLUMN, 512), (TOILET, 513)])
@pytest.mark.parametrize(
    ("wall", "pieces"),
    [("left", {"counter", "linen"}), ("right", {"hung"}), ("back", {"counter", "linen", "end", "hung"})],
)
def test_what_stands_on_a_wall_is_said_of_the_pieces_that_meet_it(line, number, wall, pieces):
    report = report_of(line.format(wall), COUNTER, LINEN, END, HUNG)
    assert {name for one in found(report, number) for name in one.pieces} == pieces
    assert set(numbers(report)) == {number}


def test_an_obstacle_puts_a_piece_in_doubt():
    report = report_of(COLUMN.format("left"), COUNTER)
    (said,) = report.findings
    assert said.severity == "doubt"
    assert "`column` on wall `left` is not worked around" in said.says
    assert piece(report, "counter").finished


CROWN = "crown cornice on back width 80 projection 60"


@pytest.mark.parametrize(
    ("line", "numbers_said"),
    [
        (f"{CROWN} bottom 1950 top 2400", [549]),  # the tall cabinet is 2000 high
        (f"{CROWN} bottom 1950", [549]),
        (f"{CROWN} bottom 2100 top 2400", []),
        (f"{CROWN} bottom 1950 top 2400 comes off", []),
    ],
)
def test_crown_is_said_where_a_piece_reaches_up_to_it(line, numbers_said):
    assert numbers(report_of(line, LINEN)) == numbers_said


@pytest.mark.parametrize(("along", "numbers_said"), [(300, []), (900, [506])])
def test_a_cabinet_is_held_against_a_column_whose_place_was_read(along, numbers_said):
    """The cabinet hangs from 897 to 1497: a column 100 wide about 300 is clear of it, one at 900 not."""
    report = report_of(COLUMN.format("back"), f"position column along {along} from left-back up 800", HUNG)
    assert numbers(report) == numbers_said


def test_a_box_under_crown_is_told_by_how_much_it_is_too_high():
    (said,) = found(report_of(f"{CROWN} bottom 1950 top 2400", LINEN), 549)
    assert said.says == "`linen` reaches 50 mm up past the underside of `cornice`"
    assert "make it 50 mm lower" in said.do


@pytest.mark.parametrize(("line", "number"), [(COLUMN, 512), (TOILET, 513)])
def test_one_obstacle_is_one_finding_however_many_pieces_meet_its_wall(line, number):
    (said,) = found(report_of(line.format("back"), COUNTER, LINEN, END, HUNG), number)
    assert set(said.pieces) == {"counter", "linen", "end", "hung"}
    assert len(said.records) == 1


@pytest.mark.parametrize(("bottom", "is_said"), [(900, False), (750, True)])
def test_a_mirror_says_nothing_of_a_cabinet_without_a_place_that_ends_below_it_anyhow(bottom, is_said):
    """700 high and up to 100 for the floor: from 800 up nothing can meet."""
    base = "cabinet base width 600 height 700 depth 500"
    glass = f"mirror m width 600 height 800 thickness 5 on back along 50 from left-back bottom {bottom}"
    assert bool(found(report_of(base, glass), 513)) == is_said
