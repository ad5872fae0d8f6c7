"""The day of installation: which piece comes before which, by hand from the records of `dictated.ALCOVE`."""

from __future__ import annotations

import pytest
from dictated import ALCOVE, COUNTER, END, HUNG, LINEN, STRIP, found, report_of

from survey.cli.print_report import report_lines
from survey.report.structs import FitReport, OrderStep

BASE = "cabinet chest width 600 height 800 depth 500, left meets left filler gap 30"
LID = "top lid on chest thickness 30, left meets left scribed, back meets back scribed"
UPPER = "cabinet hutch width 500 height 400 depth 300 bottom 1500, left meets left net gap 3"
SPLASH = "splash ledge width 700 height 100 thickness 18 of lid stands at back"


def number_of(report: FitReport, name: str) -> int:
    (step,) = [one for one in report.order if name in one.pieces]
    return step.number


def step_of(report: FitReport, name: str) -> OrderStep:
    return report.order[number_of(report, name) - 1]


def said(report: FitReport) -> list[str]:
    return [one.says for one in report.order]


def in_order(report: FitReport, *names: str) -> bool:
    numbers = [number_of(report, name) for name in names]
    return numbers == sorted(numbers)


def test_every_piece_once_and_numbered_from_one():
    report = report_of(COUNTER, LINEN, STRIP, END, HUNG)
    assert [one.number for one in report.order] == list(range(1, len(report.order) + 1))
    names = [name for one in report.order for name in one.pieces]
    assert sorted(names) == ["counter", "end", "hung", "linen", "strip"]
    assert said(report)[0] == "Strike or check the level line: every height is measured from it."


def test_without_pieces_there_is_no_day():
    assert report_of().order == ()


def test_cabinet_then_top_then_splash_and_filler_and_the_reasons():
    report = report_of(SPLASH, LID, "filler strip left of chest thickness 18", BASE)
    assert all(one.status != "not ready" for one in report.pieces)
    assert in_order(report, "chest", "lid", "ledge")
    assert in_order(report, "chest", "strip")
    assert step_of(report, "ledge").why == "the lower edge of `ledge` is scribed to `lid`"
    assert step_of(report, "lid").why == "`lid` lies on `chest`"
    assert step_of(report, "lid").says == (
        "Lay `lid`: scribe its back edge to wall `back`, then its left edge to wall `left`."
    )
    assert step_of(report, "strip").check == ("the gap, at the top and at the bottom, against the strip",)


def test_what_stands_on_the_floor_is_worked_up_from_its_highest_point():
    """The floor falls 8 from the left front to the other corners' level."""
    room = [
        one.replace("out 550 reads 1000", "out 550 reads 992") if "100 from" in one else one for one in ALCOVE
    ]
    report = report_of(BASE, room=room)
    (step,) = [one for one in report.order if "highest point" in one.says]
    assert step.number < number_of(report, "chest")
    assert step.check[0].startswith("under `chest` it is expected at the left front, ")
    assert not [one for one in report_of(UPPER).order if "highest point" in one.says]


def test_what_hangs_waits_for_the_framing_and_its_cleat():
    report = report_of(UPPER, "cleat batten width 450 height 120 thickness 18 of hutch angle 45 up 1800")
    assert in_order(report, "batten", "hutch")
    assert step_of(report, "batten").says == "Fasten the wall half of `batten`, level."
    (framing,) = [one for one in report.order if "framing" in one.says]
    assert framing.number < number_of(report, "batten")
    assert "pipes and cables" in framing.check[0]


def test_a_box_is_not_leaned_over_to_hang_the_one_above():
    assert in_order(report_of(BASE, UPPER), "hutch", "chest")
    beside = UPPER.replace("left meets left", "right meets right")  # from 997 on; `chest` ends at 630
    assert "leaned over" not in step_of(report_of(BASE, beside), "chest").why


def test_a_top_let_down_between_walls_comes_before_what_hangs_over_it():
    """Against the rule above: else nothing could come first."""
    lid = LID.replace("left meets left scribed", "left meets left net gap 2, right meets right net gap 2")
    report = report_of(BASE, lid, UPPER)
    assert in_order(report, "chest", "lid", "hutch")
    assert not found(report, 585)
    assert step_of(report, "lid").says.startswith("Let down `lid`")
    assert "between the walls" in step_of(report, "lid").check[0]


def test_a_top_lies_on_all_that_reaches_up_to_its_underside():
    """Top edges at 820: the counter's underside at 850 - 30, one panel's at 0 + 820; another's at 700."""
    panel = "panel {} on back along {} from left-back shows left depth 420 thickness 18 height {} bottom 0, "
    panel += "back meets back net gap 1"
    report = report_of(COUNTER, panel.format("leg", 650, 820), panel.format("short", 900, 700))
    assert step_of(report, "counter").why.startswith("`counter` lies on `leg`")
    assert "short" not in step_of(report, "counter").why


def test_a_panel_closes_the_side_of_the_box_beside_it():
    """`chest` stands from 30 to 630; the panel's show face at 650, so its other face at 632."""
    panel = END.replace("along 800", "along 650").replace("shows left", "shows right")
    assert in_order(report_of(panel, BASE), "chest", "end")
    assert "`end` closes the side of `chest`" in step_of(report_of(panel, BASE), "end").why
    assert "chest" not in step_of(report_of(END, BASE), "end").why


def test_fronts_come_last_and_parts_of_the_bench_not_at_all():
    report = report_of(
        "hinged door flap width 400 height 600 thickness 18 of chest hinge left",
        "drawer tray width 400 height 150 thickness 450 of chest",
        "face frame rim width 600 height 800 thickness 18 of chest",
        BASE,
        LID,
        SPLASH,
    )
    assert in_order(report, "chest", "lid", "ledge", "flap")
    assert in_order(report, "ledge", "tray")
    assert "with `rim` built in" in step_of(report, "chest").says
    assert not [one for one in report.order if "rim" in one.pieces]
    assert "last" in step_of(report, "flap").why


def test_a_mirror_hangs_above_the_splash():
    mirror = "mirror glass width 400 height 600 thickness 6 on back bottom 1100 centred on chest"
    report = report_of(mirror, SPLASH, LID, BASE)
    assert in_order(report, "chest", "lid", "ledge", "glass")


def test_a_toe_kick_comes_when_its_box_is_level_and_a_loose_base_before_it():
    box = BASE + ", stands on loose base toe height 100 toe depth 60"
    report = report_of("toe kick kick width 600 height 100 thickness 18 of chest floor scribed", box)
    levelled = said(report).index("Level the base of `chest` and fasten it.")
    assert levelled + 1 < number_of(report, "chest") < number_of(report, "kick")


def test_what_is_looked_at_before_anything_is_carried_in():
    report = report_of(
        BASE,
        'bought basin "oval basin" width 400 depth 300 of chest',
        "baseboard skirt on left width 100 projection 16 comes off",
    )
    first = report.order[0]
    assert first.says == "Look before anything is carried in."
    assert "`basin` is here" in first.check
    assert "`skirt` is off wall `left`" in first.check
    assert "`basin` itself: its size was promised, not measured" in step_of(report, "chest").check


def test_licensed_trades_connect_when_all_is_set():
    report = report_of(BASE, "drain waste on back", "outlet plug on back")
    last = report.order[-1]
    assert last.says == "Have water and drains and electricity connected."
    assert "licensed trades" in last.why
    assert last.check == ("`waste` can be reached", "`plug` can be reached")


def test_two_boxes_that_meet_are_set_one_after_the_other():
    """Both say that they meet: the taller first, no circle."""
    left = "cabinet a width 400 height 700 depth 500, along 100 from left-back, right meets b net"
    right = "cabinet b width 400 height 900 depth 500, along 500 from left-back, left meets a net"
    for lines in ((left, right), (right, left)):
        report = report_of(*lines)
        assert in_order(report, "b", "a")
        assert not found(report, 585)


@pytest.mark.parametrize("turned", [False, True])
def test_a_circle_is_named_with_what_to_give_up(turned):
    """Each splash is scribed against the other."""
    panel = "panel {} on back along {} from left-back shows left depth 420 thickness 18 height 800 bottom 0, "
    panel += "back meets {} scribed"
    lines = [panel.format("p", 300, "q"), panel.format("q", 500, "p")]
    report = report_of(*(reversed(lines) if turned else lines))
    (circle,) = found(report, 585)
    assert circle.severity == "doubt"
    assert set(circle.pieces) == {"p", "q"}
    assert "is scribed against" in circle.do
    assert sorted(name for one in report.order for name in one.pieces) == ["p", "q"]


def test_a_piece_that_is_not_ready_is_said_before_anything_else():
    report = report_of(
        "cabinet wide width 1503 height 700 depth 500 bottom 100, "
        "left meets left filler, right meets right filler"
    )
    assert "`wide` is not ready: its findings say why" in report.order[0].check


def test_the_screen_shows_steps_reasons_and_what_to_look_at():
    lines = report_lines(report_of(BASE, LID, "filler strip left of chest thickness 18"))
    start = lines.index("The day of installation, in this order")
    day = lines[start : lines.index("", start)]
    at = day.index("   5  Scribe `strip` and fit it at the left of `chest`.")
    assert day[at + 1 : at + 3] == [
        "      why now: `strip` is cut to the gap that stays beside `chest`",
        "      look first: the gap, at the top and at the bottom, against the strip",
    ]
    assert "      why now: `lid` lies on `chest`" in day
