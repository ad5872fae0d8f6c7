"""One piece: edges by its picture, answers put down at once, refusals in place, what stands in the way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from faults import faults
from pilot import BACKSPACE, Pilot
from thorough import many

from survey.app.desk import Desk, Stop
from survey.app.main import ScribefitApp
from survey.app.pages.piece import PieceRow
from survey.app.widgets.edge_picture import SideKey
from survey.app.widgets.finding_list import FindingPart
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import (
    Cabinet,
    CabinetDoor,
    CutOut,
    FaceFrame,
    Filler,
    Panel,
    Piece,
    Seam,
    Shelf,
    Splash,
    Survey,
    Top,
)

CORNER = [
    'job "Corner" in inches to 1/16 level line 36', "room bath", "wall back", "wall left",
    "corner left and back",
]  # fmt: skip
CABINET = "cabinet vanity width 42 height 24 depth 18 bottom 10, left meets left filler gap 3/4, right open"
TOP = "top counter on vanity thickness 1 1/4 overhang 1, left meets left scribed, back meets back scribed"
STRIP = "filler strip left of vanity thickness 3/4"

Shown = Callable[..., Pilot]


@pytest.fixture
def shown(tmp_path: Path) -> Shown:
    """Open a job of these lines; `page` goes to the piece of a name."""

    def open_(*lines: str, **screen: object) -> Pilot:
        path = tmp_path / "home" / "jobs" / "v.survey"
        path.parent.mkdir(parents=True)
        SurveyFile.create(path, dictate([*CORNER, *lines], Survey([]))).close()
        desk = Desk(path.parents[1])
        desk.kept.job, desk.kept.trail = str(path), [Stop("jobs"), Stop("pieces")]
        desk.keep()
        return Pilot(ScribefitApp(home=desk.home), **screen)  # type: ignore[arg-type]

    return open_


def to_piece(pilot: Pilot, name: str) -> None:
    pilot.app.go("piece", record=pilot.app.visit.survey.named[name][0].id)
    pilot.settle()


def edge(pilot: Pilot, acts: str) -> Any:
    return next(key for key in pilot.all(SideKey) if key.acts == acts)


def row(pilot: Pilot, field: str) -> Any:
    return next(one for one in pilot.all(PieceRow) if one.field == field)


def type_length(pilot: Pilot, text: str) -> None:
    for _ in range(8):
        pilot.key(BACKSPACE)
    pilot.type(f"{text}\n")


def the(pilot: Pilot, kind: type[Any]) -> Any:
    return pilot.app.visit.survey.of(kind)[0]


def test_an_edge_is_said_by_taps_on_the_picture(shown: Shown) -> None:
    with shown(CABINET, TOP) as pilot:
        to_piece(pilot, "counter")
        assert edge(pilot, "left").says == "scribed to wall left"
        pilot.tap(edge(pilot, "left"))
        pilot.tap("Cut net")
        assert the(pilot, Top).left.finish == "scribed", "the gap is still asked for"
        type_length(pilot, "1/8")
        assert (the(pilot, Top).left.finish, the(pilot, Top).left.gap.text) == ("net", "1/8")
        pilot.tap(edge(pilot, "left"))
        pilot.tap("Open: it meets nothing")
        assert the(pilot, Top).left.meets is None
        pilot.tap(edge(pilot, "right"))
        pilot.tap("It meets")
        pilot.tap("vanity (kept, not worked out)")
        pilot.tap("Covered" if pilot.has("Covered") else "Cut net, covered")
        assert (the(pilot, Top).right.meets, the(pilot, Top).right.finish) == ("vanity", "covered")


def test_a_sheet_that_is_let_go_changes_nothing(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        before = len(pilot.app.visit.survey.records)
        pilot.tap(edge(pilot, "left"))
        pilot.tap("Cut net")
        pilot.back()
        assert len(pilot.app.visit.survey.records) == before
        assert pilot.app.shell.title == "vanity"


def test_an_answer_is_a_correction_and_undo_brings_the_old_one_back(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        pilot.tap(row(pilot, "width"))
        type_length(pilot, "40 1/2")
        assert the(pilot, Cabinet).width.text == "40 1/2"
        assert row(pilot, "width").answer.replace("\N{NO-BREAK SPACE}", " ") == "40 1⁄2″"
        pilot.tap(row(pilot, "bottom"))
        type_length(pilot, "")
        assert the(pilot, Cabinet).bottom is None
        assert edge(pilot, "foot").says == "stands on the floor"
        pilot.tap(row(pilot, "grain"))
        pilot.tap("Along width")
        assert the(pilot, Cabinet).grain == "along width"
        for _ in range(3):
            pilot.app.undo()
        assert the(pilot, Cabinet).width.text == "42"
        assert row(pilot, "width").answer == "42″"


def test_what_the_records_refuse_is_said_in_place_and_kept(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        pilot.tap(row(pilot, "width"))
        type_length(pilot, "0")
        assert "more than zero" in row(pilot, "width").trouble
        assert the(pilot, Cabinet).width.text == "42"
        pilot.tap(row(pilot, "width"))
        pilot.type("\n")  # what was typed stands there again
        assert the(pilot, Cabinet).width.text == "42"
        pilot.tap(row(pilot, "width"))
        type_length(pilot, "40")
        assert row(pilot, "width").trouble == ""


def test_a_place_along_the_wall_is_asked_for_only_where_no_side_gives_it(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        assert not any(one.field == "from_" for one in pilot.all(PieceRow))
        pilot.tap(edge(pilot, "left"))
        pilot.tap("Open: it meets nothing")
        assert row(pilot, "from_").is_needed
        pilot.tap(row(pilot, "from_"))
        pilot.tap("left-back")
        assert the(pilot, Cabinet).from_ == "left-back"


def test_a_new_name_reaches_the_top_and_the_strip(shown: Shown) -> None:
    with shown(CABINET, TOP, STRIP) as pilot:
        to_piece(pilot, "vanity")
        pilot.tap(row(pilot, "name"))
        from survey.app.plain import Field

        (field,) = pilot.all(Field)
        field.text = "his side"
        pilot.tap("Keep")
        assert pilot.app.shell.title == "his-side"
        assert (the(pilot, Top).on, the(pilot, Filler).beside) == ("his-side", "his-side")
        pilot.app.undo()
        assert (the(pilot, Top).on, the(pilot, Filler).beside) == ("vanity", "vanity")


def test_the_picture_leads_from_cabinet_to_top_and_moves_a_strip(shown: Shown) -> None:
    with shown(CABINET, STRIP) as pilot:
        to_piece(pilot, "vanity")
        pilot.tap(edge(pilot, "over"))
        assert the(pilot, Top).on == "vanity"
        pilot.tap(edge(pilot, "over"))
        assert pilot.app.shell.title == "counter"
        to_piece(pilot, "strip")
        pilot.tap(edge(pilot, "beside"))
        pilot.tap("Right of vanity")
        assert the(pilot, Filler).side == "right"


def test_what_a_cabinet_stands_on_is_said_by_taps_on_its_foot(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        pilot.tap(edge(pilot, "foot"))
        pilot.tap("It stands on legs")
        assert the(pilot, Cabinet).bottom is not None, "the height is still asked for"
        type_length(pilot, "4")
        box = the(pilot, Cabinet)
        assert (box.base, box.kick_height.text, box.bottom) == ("legs", "4", None)
        assert edge(pilot, "foot").says.replace("\N{NO-BREAK SPACE}", " ") == "stands on legs, 4″ high"
        pilot.tap(edge(pilot, "foot"))
        pilot.tap("Depth of the toe space: none")
        type_length(pilot, "3")
        assert the(pilot, Cabinet).kick_depth.text == "3"
        pilot.tap(edge(pilot, "foot"))
        pilot.tap("It hangs on the wall")
        type_length(pilot, "12")
        box = the(pilot, Cabinet)
        assert (box.base, box.kick_height, box.kick_depth, box.bottom.text) == ("box", None, None, "12")


def test_a_run_is_made_by_taps_and_is_worked_out(shown: Shown) -> None:
    second = "cabinet drawers width 18 height 24 depth 18 bottom 10, left open, right open"
    with shown(CABINET, second) as pilot:
        to_piece(pilot, "drawers")
        pilot.tap(edge(pilot, "left"))
        pilot.tap("Against vanity, side by side")
        _, box = pilot.app.visit.survey.of(Cabinet)
        assert (box.left.meets, box.left.finish, box.left.gap) == ("vanity", "net", None)
        assert edge(pilot, "left").says == "against vanity"
        assert not any(one.field == "from_" for one in pilot.all(PieceRow))
        to_piece(pilot, "vanity")
        pilot.tap(edge(pilot, "right"))
        pilot.tap("It meets")
        pilot.tap("drawers")  # nothing more is asked: there is one way to stand beside a cabinet
        (box,) = pilot.app.visit.survey.named["vanity"]
        assert (box.right.meets, box.right.finish) == ("drawers", "net")
        pilot.answered()
        assert not [one for one in pilot.app.report.findings if one.number == 502]


def test_a_free_front_corner_is_shaped_by_a_tap(shown: Shown) -> None:
    with shown(CABINET, TOP) as pilot:
        to_piece(pilot, "counter")
        assert [key.acts for key in pilot.all(SideKey) if "corner" in key.words] == ["front_right"]
        pilot.tap(edge(pilot, "front_right"))
        pilot.tap("Clipped, as much along both edges")
        type_length(pilot, "2")
        assert (the(pilot, Top).front_right.shape, the(pilot, Top).front_right.size.text) == ("clip", "2")
        assert edge(pilot, "front_right").says.replace("\N{NO-BREAK SPACE}", " ") == "clipped 2″"
        to_piece(pilot, "vanity")
        assert not [key for key in pilot.all(SideKey) if "corner" in key.words]


def test_what_covers_an_edge_has_a_thickness(shown: Shown) -> None:
    with shown(CABINET, TOP) as pilot:
        to_piece(pilot, "counter")
        pilot.tap(edge(pilot, "back"))
        pilot.tap("Cut net, covered")
        pilot.tap(edge(pilot, "back"))
        pilot.tap("Thickness of what covers it: not said")
        type_length(pilot, "3/4")
        assert the(pilot, Top).back.cover.text == "3/4"
        pilot.tap(edge(pilot, "back"))
        pilot.tap("Scribed")
        assert the(pilot, Top).back.cover is None


def test_hinges_are_moved_and_a_splash_is_stood_by_taps(shown: Shown) -> None:
    door = "hinged door flap width 17 height 22 thickness 3/4 of vanity hinge left"
    splash = "splash upstand width 42 height 4 thickness 3/4 of counter"
    with shown(CABINET, TOP, door, splash) as pilot:
        to_piece(pilot, "flap")
        pilot.tap(edge(pilot, "hinge right"))
        assert the(pilot, CabinetDoor).hinge == "right"
        assert (edge(pilot, "hinge right").says, edge(pilot, "hinge left").says) == (
            "cup hinges",
            "opens here",
        )
        to_piece(pilot, "upstand")
        pilot.tap(edge(pilot, "stands at left"))
        assert the(pilot, Splash).side == "left"
        pilot.tap(edge(pilot, "stands at left"))
        assert the(pilot, Splash).side is None


def test_an_upper_edge_meets_the_ceiling_and_a_stile_is_only_scribed(shown: Shown) -> None:
    panel = "panel end along 43 from left-back shows right depth 18 thickness 3/4 height 90"
    frame = "face frame frame width 42 height 24 thickness 3/4 of vanity"
    with shown(CABINET, panel, frame) as pilot:
        to_piece(pilot, "end")
        pilot.tap(edge(pilot, "upper"))
        pilot.tap("Scribed: left over, planed to the ceiling on site")
        assert (the(pilot, Panel).upper.meets, the(pilot, Panel).upper.finish) == ("ceiling", "scribed")
        assert edge(pilot, "upper").says == "scribed to the ceiling"
        to_piece(pilot, "frame")
        pilot.tap(edge(pilot, "left"))
        assert not pilot.has("Cut net")
        pilot.tap("Scribed")
        assert (the(pilot, FaceFrame).left.meets, the(pilot, FaceFrame).left.finish) == ("left", "scribed")


def test_a_shelf_goes_between_panels_and_a_strip_over_its_cabinet(shown: Shown) -> None:
    panel = "panel end along 43 from left-back shows right depth 18 thickness 3/4 height 90"
    shelf = "shelf board width 30 height 12 thickness 3/4 up 50"
    with shown(CABINET, STRIP, panel, shelf) as pilot:
        to_piece(pilot, "board")
        pilot.tap(edge(pilot, "right"))
        pilot.tap("It meets")
        pilot.tap("end")  # it is worked out, and so nothing is said of keeping it
        pilot.tap("Cut net, with a gap")
        type_length(pilot, "1/16")
        assert (the(pilot, Shelf).right.meets, the(pilot, Shelf).right.gap.text) == ("end", "1/16")
        to_piece(pilot, "strip")
        pilot.tap(edge(pilot, "beside"))
        pilot.tap("Top of vanity")
        assert the(pilot, Filler).side == "top"


def test_a_cut_out_is_added_from_its_top_with_what_is_likely(shown: Shown) -> None:
    things = ("drain drain on back", 'bought basin "oval basin" width 18 depth 15')
    with shown(CABINET, TOP, *things) as pilot:
        to_piece(pilot, "counter")
        pilot.tap("Add a cut-out")
        (hole,) = pilot.app.visit.survey.of(CutOut)
        assert (hole.of, hole.item, hole.over, hole.shape) == ("counter", "basin", "drain", "oval")
        pilot.back()
        assert pilot.app.shell.title == "counter"
        pilot.tap(f"Cut-out {hole.name} oval, for basin, over drain")
        assert pilot.app.shell.title == hole.name
        pilot.back()
        pilot.tap("Add a seam")
        assert [one.of for one in pilot.app.visit.survey.of(Seam)] == ["counter"]
        pilot.app.undo()
        to_piece(pilot, "counter")
        assert not pilot.has("Seam or joint")
        to_piece(pilot, "vanity")
        assert not pilot.has("Add a cut-out")


def test_a_piece_taken_back_leads_to_the_list_and_can_be_undone(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        pilot.tap("Take this piece back")
        assert pilot.app.shell.title == "Pieces"
        assert pilot.app.visit.survey.of(Cabinet) == ()
        pilot.tap("Undo")
        assert pilot.has("vanity")


def test_only_a_kind_given_adds_a_piece_once_whatever_comes(shown: Shown) -> None:
    with shown() as pilot:
        pilot.app.go("piece", kind="panel")
        pilot.settle()
        assert pilot.app.shell.title == "end-panel"
    with Pilot(ScribefitApp(home=pilot.app.desk.home)) as again:
        assert again.app.shell.title == "end-panel"
        assert len(again.app.visit.survey.named) == 5  # room, two walls, corner, panel


def test_what_stands_in_the_way_leads_to_the_reading(shown: Shown) -> None:
    with shown(CABINET) as pilot:
        to_piece(pilot, "vanity")
        pilot.answered()
        pilot.until(lambda: pilot.all(FindingPart))
        assert pilot.has("What stands in the way")
        keys = [one.key_words for one in pilot.all(FindingPart) if one.key_words]
        assert keys == list(dict.fromkeys(keys))
        gone: list[tuple[str, dict[str, str]]] = []
        pilot.app.go = lambda page, **given: gone.append((page, given))
        pilot.tap(keys[0])
        assert gone == [("entry", {"line": keys[0].removeprefix("Read: ")})]


def test_one_key_for_all_that_one_place_settles(shown: Shown) -> None:
    with shown("withdraw last", CABINET.partition(", left")[0]) as pilot:
        for name in ("bath", "back", "left"):
            pilot.app.visit.withdraw(*pilot.app.visit.survey.named[name])
        to_piece(pilot, "vanity")
        pilot.answered()
        pilot.until(lambda: len(pilot.all(FindingPart)) > 1)
        assert [one.key_words for one in pilot.all(FindingPart)].count("Set up the place") == 1


@pytest.mark.parametrize(
    ("size", "density", "fontscale"),
    [((320, 568), 1.0, 1.0), ((320, 568), 1.0, 2.0), ((360, 640), 2.75, 1.3), ((640, 360), 2.0, 1.0),
     ((800, 1280), 1.0, 1.0)][:: many(2, 1)],
)  # fmt: skip
def test_nothing_is_cut_off_or_too_small(
    shown: Shown, size: tuple[int, int], density: float, fontscale: float
) -> None:
    lines = (
        CABINET, TOP, STRIP, "shelf shelf of vanity width 30 height 12 thickness 3/4",
        (
            "top free up 30 thickness 1 1/4 depth 20 width 40 along 9 from left-back, "
            "corner left radius 2, corner right clip 1"
        ),
        "cut out hole in free rectangle width 10 depth 8",
        "hinged door flap width 17 height 22 thickness 3/4 of vanity hinge left",
        "drawer tray width 30 height 6 thickness 15 of vanity",
        "toe kick kick width 42 height 4 thickness 1/2",
        "splash upstand width 42 height 4 thickness 3/4 of counter stands at left",
        "face frame frame width 42 height 24 thickness 3/4 of vanity left meets left scribed",
        (
            "panel end along 43 from left-back shows right depth 18 thickness 3/4 height 90 "
            "upper meets ceiling scribed"
        ),
        "mirror glass width 30 height 36 thickness 1/4",
    )  # fmt: skip
    with shown(*lines, size=size, density=density, fontscale=fontscale) as pilot:
        pilot.answered()
        for piece in pilot.app.visit.survey.of(Piece):
            to_piece(pilot, piece.name)
            pilot.rest()
            assert (piece.name, faults(pilot.app.shell)) == (piece.name, [])
