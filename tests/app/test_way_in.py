"""How a piece gets in and the day of installation, on the screen: words, and the picture that moves."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import faults
from fit_jobs import app_with, sample, settled
from msgspec.structs import replace
from pilot import Pilot
from thorough import many

from survey.app.answers import Answer
from survey.app.motion import Motion, clipped, motions
from survey.app.pages.way_in import STEPS, WayStep
from survey.drawing.geometry import Box
from survey.report.structs import (
    Dimension,
    EntryReport,
    LiftReport,
    OrderStep,
    PieceReport,
    WayPose,
    WayStepReport,
)

SHAPE = ((-450.0, -280.0), (450.0, -280.0), (450.0, 280.0), (-450.0, 280.0))
HALL = ((-3000.0, 500.0), (3000.0, 500.0), (3000.0, 900.0), (-3000.0, 900.0))
WAY = (
    WayStepReport(
        "front-door",
        "goes",
        "through the doorway, 32 1/4 in clear",
        Dimension(50.8, 50.8, "2 in"),
        "upright",
        shape=SHAPE,
        poses=(WayPose(0.0, -900.0, 0.0), WayPose(0.0, 0.0, 0.0), WayPose(900.0, 0.0, 90.0)),
        barriers=(HALL,),
    ),
    WayStepReport("hall-corner", "does not go", "3/4 in too long to turn", helps=("leave the top loose",)),
)
DAY = (
    OrderStep(1, "strike the level line", why="all heights are measured from it"),
    OrderStep(2, "set `vanity` plumb and level", ("vanity",), check=("the high point of the floor",)),
)


def told_of_a_way(pilot: Pilot) -> None:
    """Give the app a report in which the vanity's way is told."""
    settled(pilot)
    app = pilot.app
    pieces = tuple(
        replace(one, way=WAY, lift=LiftReport(31.0, "31 kg: two people")) if one.name == "vanity" else one
        for one in app.report.pieces
    )
    app._answered(Answer(app.visit.survey, replace(app.report, pieces=pieces, order=DAY)))
    settled(pilot)


def test_the_way_is_told_step_by_step_and_moves(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        told_of_a_way(pilot)
        pilot.app.go("fitted", piece="vanity")
        settled(pilot)
        assert "Hall-corner: does not go" in pilot.text()
        pilot.tap("See how it gets in")
        settled(pilot)
        page = pilot.app.shell.page
        words = pilot.text().replace("\u00a0", " ")
        for said in (
            "Goes, upright. 2″ to spare.",
            "What would help: leave the top loose.",
            "31 kg: two people",
        ):
            assert said in words
        picture = page.ids.picture
        assert page.course.name == "front-door"
        pilot.tap("Later")
        assert picture.share == pytest.approx(1 / STEPS)
        pilot.tap("Earlier")
        pilot.tap("Earlier")
        assert picture.share == 0.0
        pilot.tap("Play")
        pilot.until(lambda: picture.share > 0.05)
        pilot.tap("Stop")
        stopped = picture.share
        pilot.wait(0.2)
        assert picture.share == stopped
        pilot.tap(pilot.all(WayStep)[1])  # nothing to see of it
        assert page.course is None


def test_the_day_is_listed_and_leads_to_its_pieces(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        told_of_a_way(pilot)
        pilot.app.go_to_place("fit")
        settled(pilot)
        pilot.tap("The day of installation")
        settled(pilot)
        assert "Check first: the high point of the floor." in pilot.text()
        pilot.tap("2 Set vanity plumb and level.")
        assert pilot.app.desk.kept.trail[-1].given == {"piece": "vanity"}


@pytest.mark.parametrize(
    ("size", "density", "fontscale"),
    [((320, 568), 1.0, 2.0), ((360, 640), 2.75, 1.0), ((640, 360), 1.0, 1.3), ((800, 1280), 1.0, 1.0)][
        :: many(2, 1)
    ],
)
def test_nothing_of_them_is_cut_off(
    tmp_path: Path, size: tuple[int, int], density: float, fontscale: float
) -> None:
    app = app_with(tmp_path, *sample("corner-vanity"))
    with Pilot(app, size=size, density=density, fontscale=fontscale) as pilot:
        told_of_a_way(pilot)
        for page, given in (("way_in", {"piece": "vanity"}), ("day", {}), ("fitted", {"piece": "vanity"})):
            pilot.app.go(page, **given)
            settled(pilot)
            assert faults(pilot.app.shell) == []


def test_a_shape_turns_about_its_own_origin() -> None:
    """By hand: half-way of the second leg it stands at 450, 0, turned by 45 degrees."""
    motion = Motion("door", ((0.0, 0.0), (100.0, 0.0), (0.0, 50.0)), WAY[0].poses, ())
    origin, corner, _ = motion.at(0.75)
    assert origin == pytest.approx((450.0, 0.0))
    assert corner == pytest.approx((450.0 + 70.710678, 70.710678))


def test_an_entry_ends_at_the_pieces_place() -> None:
    piece = PieceReport(
        "top", "top", "ready", outline=SHAPE, entry=EntryReport("", ((0.0, 600.0), (40.0, 0.0)))
    )
    (motion,) = motions(piece)
    assert motion.at(1.0) == SHAPE
    assert motion.at(0.0)[0] == pytest.approx((-490.0, -880.0))
    assert motion.at(0.5)[0] == pytest.approx((-490.0, -280.0))


def test_rings_are_clipped_to_what_is_seen() -> None:
    assert clipped(SHAPE, Box(1000.0, 1000.0, 2000.0, 2000.0)) == ()
    assert set(clipped(SHAPE, Box(-1e6, -1e6, 1e6, 1e6))) == set(SHAPE)
