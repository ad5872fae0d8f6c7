"""The drops that the walk asks for are those that a cabinet needs: who has read them is asked for no more.

The walls of the alcove are rougher than most: that says nothing about what was read of its floor.
"""

from __future__ import annotations

from dictated import ALCOVE, report_of, without

ROOM = without(ALCOVE, "drop floor back")
BASES = (
    "cabinet one width 700 height 850 depth 550, left meets left filler gap 30",
    "cabinet two width 600 height 850 depth 550, right meets right filler gap 30",
)
UNEVEN = tuple(
    f"straightedge {wall} up {up} from {start}: 0 0, 150 6, 300 1, 450 7, 580 0"
    for wall, start in (("left", "left-back"), ("right", "back-right"))
    for up in (100, 500, 700)
)


def asked_for(*drops: tuple[int, int, int]) -> list[str]:
    lines = [
        f"drop floor back along {along} from left-back out {out} reads {read}" for along, out, read in drops
    ]
    report = report_of(*lines, *UNEVEN, *BASES, room=ROOM)
    return [one.says for one in report.findings if "floor runs under" in one.says]


def test_four_drops_near_the_corners_say_how_the_floor_runs_under_a_run_of_two_cabinets():
    assert not asked_for((50, 50, 1000), (1450, 50, 1009), (50, 500, 997), (1450, 500, 1006))


def test_two_drops_at_the_back_say_nothing_about_the_front():
    said = asked_for((50, 50, 1000), (1450, 50, 1009))
    assert [f"`{name}`" in says for name, says in zip(("one", "two"), said, strict=True)] == [True, True]
