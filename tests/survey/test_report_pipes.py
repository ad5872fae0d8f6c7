"""Pipes out of walls: notches in tops and panels that cross them, holes in the backs of cabinets."""

from __future__ import annotations

import pytest
from dictated import COUNTER, END, found, numbers, piece, report_of, survey_of
from mirrored import mirrored

from survey.findings import fit

DRAIN = "drain waste on back diameter 40 stub 60"
PLACE = "position waste along {} from left-back up {}"
VANITY = "cabinet vanity width 600 height 400 depth 480 bottom 420, left meets left net gap 30"


def at(along, up):
    return PLACE.format(along, up)


def test_a_top_that_crosses_a_pipe_is_notched_around_it():
    """Its centre at 400 and 40 across: from 380 to 420, 60 deep; told from 700."""
    told = piece(report_of(DRAIN, at(400, 835), COUNTER), "counter")
    (one,) = told.notches
    assert one.around == "waste"
    kept = one.clearance.mm
    across = sorted(corner.across.cut_mm for corner in one.corners)
    assert (across[0], across[-1]) == pytest.approx((280 - kept, 320 + kept), abs=1.5)
    assert min(corner.deep.mm for corner in one.corners) == pytest.approx(500 - 60 - kept, abs=1.5)
    assert any("licensed trade" in caution for caution in told.cautions)


@pytest.mark.parametrize("up", [500, 795, 875])
def test_a_pipe_over_or_under_a_top_is_not_in_its_way(up):
    """The top is from 820 to 850, the pipe 20 to either side of its centre."""
    assert piece(report_of(DRAIN, at(400, up), COUNTER), "counter").notches == ()


@pytest.mark.parametrize(
    ("line", "lacks"),
    [("drain waste on back stub 60", "diameter"), ("drain waste on back diameter 40", "stub")],
)
def test_a_pipe_in_the_way_that_is_not_known_in_full_is_said(line, lacks):
    report = report_of(line, at(400, 835), COUNTER)
    (said,) = found(report, 548)
    assert f"its {lacks} is not known" in said.says
    assert piece(report, "counter").notches == ()


@pytest.mark.parametrize(
    ("along", "shows", "crossed"),
    [
        (809, "left", True),
        (770, "left", False),
        (841, "left", False),
        (791, "right", True),
        (758, "right", False),
        (830, "right", False),
    ],
)
def test_a_panel_is_notched_around_a_pipe_that_it_stands_across(along, shows, crossed):
    """It stands from 800 to 818, one that shows to the right from 782; the pipe is 20 to either side."""
    report = report_of(DRAIN, at(along, 600), END.replace("shows left", f"shows {shows}"))
    notches = piece(report, "end").notches
    assert [one.around for one in notches] == (["waste"] if crossed else [])
    if crossed:
        kept = notches[0].clearance.mm
        deep = sorted(corner.deep.mm for corner in notches[0].corners)
        assert (deep[0], deep[-1]) == pytest.approx((580 - kept, 620 + kept), abs=1.5)


@pytest.mark.parametrize(
    ("along", "expected"), [(809, ["ledge"]), (700, [])], ids=["across it", "clear of it"]
)
def test_a_panel_is_notched_around_a_ledge_that_it_stands_across(along, expected):
    ledge = "obstacle ledge on back ledge width 100 height 60 projection 80"
    report = report_of(ledge, f"position ledge along {along} from left-back up 850", END)
    assert [one.around for one in piece(report, "end").notches] == expected
    assert 512 not in numbers(report)


def test_a_panel_before_a_chase_over_its_whole_height_is_refused_with_the_number():
    chase = "obstacle chase on back chase width 100 projection 80"
    report = report_of(chase, "position chase along 809 from left-back up 850", END)
    (said,) = [one for one in found(report, 502) if "end" in one.pieces]
    assert "`chase` stands behind it over its whole height" in said.says
    assert "82 mm less deep" in said.do


def bored(told):
    return [
        (
            one.around,
            f"{one.across.text} {one.across_from}",
            f"{one.up.text} {one.up_from}",
            one.diameter.text if one.diameter else None,
        )
        for one in told.holes
    ]


def test_holes_in_a_back_are_told_from_its_left_side_and_underside():
    """The box begins at 30 and hangs at 420; the drain is 40 across; 1/4 in all round: 52.7."""
    told = piece(report_of(DRAIN, at(300, 550), VANITY), "vanity")
    assert bored(told) == [("waste", "270 mm from the left side", "130 mm from the underside", "53 mm")]
    assert any("licensed trade" in one for one in told.cautions)
    assert any("a side, a shelf or a drawer is not checked" in one for one in told.cautions)


def test_a_pipe_of_no_diameter_has_only_a_centre_and_that_is_said():
    told = piece(report_of("drain waste on back stub 60", at(300, 550), VANITY), "vanity")
    assert bored(told) == [("waste", "270 mm from the left side", "130 mm from the underside", None)]
    assert any("no diameter was read" in one for one in told.cautions)


@pytest.mark.parametrize("place", [(900, 550), (300, 300), (300, 900)])
def test_what_is_beside_over_or_under_a_box_needs_no_hole(place):
    told = piece(report_of(DRAIN, at(*place), VANITY), "vanity")
    assert not told.holes
    assert not any("bored" in one for one in told.cautions)


def test_in_the_mirror_image_a_hole_is_as_far_from_the_other_side():
    survey = survey_of(DRAIN, at(300, 550), VANITY)
    ((_, across, up, _),) = bored(piece(fit(mirrored(survey)), "vanity"))
    assert (across, up) == (f"{600 - 270} mm from the left side", "130 mm from the underside")
