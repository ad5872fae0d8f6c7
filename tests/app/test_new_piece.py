"""A new piece has usual sizes and the edges that the place gives it, and can be worked out as it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from survey.app.new_piece import FIRST, OTHERS, new_piece
from survey.app.piece_edges import edge_choices, with_edge
from survey.app.piece_form import answered, edges_say, entries, in_order, needed_too, renamed
from survey.app.piece_sides import sides
from survey.app.proposals import likely_cut_out, proposals
from survey.dictation import dictate, new_id, now
from survey.errors import RecordError
from survey.findings import fit
from survey.records import (
    KINDS,
    Cabinet,
    CabinetDoor,
    Filler,
    Note,
    Piece,
    Splash,
    Survey,
    TallCabinet,
    Top,
)
from survey.records.limits import refuse_impossible

SAMPLES = Path(__file__).parents[2] / "sample_surveys"
BACK, NET, FILLED = "back scribed to wall back", "cut net to wall", "closed by a filler, at wall"
PIECES = ("cabinet", "tall cabinet", "filler", "top ", "panel")
WALLS = {
    "one wall": ["wall back", "mark m on back"],
    "left corner": ["wall back", "wall left", "corner left and back"],
    "right corner": ["wall back", "wall right", "corner back and right"],
    "alcove": ["wall back", "wall left", "wall right", "corner left and back", "corner back and right"],
}


def place(kind: str, unit: str = "mm") -> Survey:
    step = "1 mm" if unit == "mm" else "1/16"
    lines = [f"job V in {unit} to {step} level line {'1000' if unit == 'mm' else '36'}", "room bath"]
    return Survey(dictate([*lines, *WALLS[kind]], Survey([])))


def with_new(survey: Survey, kind: str, **given: str) -> Survey:
    return survey.plus(new_piece(kind, survey, {"id": new_id(), "taken": now()}, **given))


@pytest.mark.parametrize(
    ("where", "kind", "said"),
    [
        ("one wall", "cabinet", "left and right open"),
        ("left corner", "cabinet", f"left {FILLED} left, at least 20 mm; right open"),
        ("right corner", "cabinet", f"right {FILLED} right, at least 20 mm; left open"),
        ("alcove", "cabinet", f"left {FILLED} left; right {FILLED} right"),
        ("alcove", "tall-cabinet", f"left {FILLED} left, at least 20 mm; right open"),
        ("one wall", "top", f"{BACK}; left and right open"),
        ("left corner", "top", f"left scribed to wall left; {BACK}; right open"),
        ("alcove", "top", f"left {NET} left, gap 2 mm; right {NET} right, gap 2 mm; {BACK}"),
        ("one wall", "panel", BACK),
    ],
)
def test_edges_follow_the_place(where: str, kind: str, said: str) -> None:
    survey = with_new(place(where), kind)
    assert edges_say(survey.of(Piece)[-1], survey).replace("\N{NO-BREAK SPACE}", " ") == said


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("where", WALLS)
def test_every_kind_can_be_added_twice_under_two_names(where: str, unit: str) -> None:
    survey = place(where, unit)
    for kind in (*FIRST, *OTHERS, *FIRST, *OTHERS):
        survey = with_new(survey, kind)
        refuse_impossible(survey.records[-1])
    names = [piece.name for piece in survey.of(Piece)]
    assert len(names) == len(set(names)) == 2 * (len(FIRST) + len(OTHERS))
    assert {kind for kind, cls in KINDS.items() if issubclass(cls, Piece)} == {*FIRST, *OTHERS}


@pytest.mark.parametrize(
    ("kind", "why"), [("panel", "a corner or a mark"), ("filler", "add the cabinet first")]
)
def test_what_cannot_be_yet_says_why(kind: str, why: str) -> None:
    survey = Survey(dictate(["job V in mm to 1 mm"], Survey([])))
    with pytest.raises(RecordError, match=why):
        with_new(survey, kind)


def test_what_is_proposed_is_proposed_once_and_goes_with_its_cabinet() -> None:
    survey = with_new(place("alcove"), "cabinet")
    assert [one.words for one in proposals(survey)] == [
        "Filler strip, left of vanity", "Filler strip, right of vanity", "Top on vanity",
        "Door, left on vanity",
    ]  # fmt: skip
    said = []
    while proposals(survey):
        one = proposals(survey)[0]
        said.append(one.words)
        survey = with_new(survey, one.kind, of=one.of, side=one.side)
    assert said[3:] == [
        "Door, left on vanity", "Door, right on vanity", "Toe-kick under vanity", "Splash behind counter"
    ]  # fmt: skip
    assert [(one.beside, one.side) for one in survey.of(Filler)] == [("vanity", "left"), ("vanity", "right")]
    assert survey.of(Top)[0].on == "vanity"
    assert (survey.of(Splash)[0].of, survey.of(Splash)[0].side) == ("counter", "back")
    assert [is_below for _, is_below in in_order(survey.of(Piece))][:2] == [False, True]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_two_doors_close_a_wide_cabinet_and_one_a_narrow_one(unit: str) -> None:
    """What stays free left, between and right of the doors is as much as common practice leaves (1/8 in)."""
    survey = with_new(place("left corner", unit), "cabinet")
    for side in ("left", "right"):
        survey = with_new(survey, "cabinet-door", of="vanity", side=side)
    box, (left, right) = survey.of(Cabinet)[0], survey.of(CabinetDoor)
    starts = [float(door.from_left.mm) for door in (left, right)]
    ends = [start + float(door.width.mm) for start, door in zip(starts, (left, right), strict=True)]
    free = (starts[0], starts[1] - ends[0], float(box.width.mm) - ends[1])
    assert (left.hinge, right.hinge) == ("left", "right")
    assert all(1.0 <= one <= 5.0 for one in free)
    assert float(left.height.mm + left.from_top.mm + box.kick_height.mm) < float(box.height.mm)
    narrow = with_new(place("left corner", unit), "tall-cabinet")
    assert [one.words for one in proposals(narrow)][1] == "Door on linen"
    (door,) = with_new(narrow, "cabinet-door", of="linen").of(CabinetDoor)
    assert 0.0 < float(narrow.of(TallCabinet)[0].width.mm - door.width.mm) < 7.0


def test_a_drawer_leaves_the_doors_to_the_person() -> None:
    survey = with_new(with_new(place("one wall"), "cabinet"), "drawer", of="vanity")
    kinds = {one.kind for one in proposals(survey, "vanity")}
    assert kinds == {"top", "toe-kick"}


def test_the_next_cabinet_stands_against_the_one_before() -> None:
    survey = place("left corner")
    for _ in range(3):
        survey = with_new(survey, "cabinet")
    assert [(box.left.meets, box.left.finish) for box in survey.of(Cabinet)] == [
        ("left", "filler"), ("vanity", "net"), ("vanity-2", "net")
    ]  # fmt: skip
    second = survey.of(Cabinet)[1]
    assert edge_choices(second, "left", survey)[0].words == "Side by side, screwed together"
    assert "Against vanity-3, side by side" in [one.words for one in edge_choices(second, "right", survey)]


def test_a_cut_out_is_for_the_next_basin_over_the_next_drain() -> None:
    lines = [
        "drain d1 on back", "drain d2 on left", "drain d3 on back", 'bought tap "faucet" width 50',
        'bought bowl "oval undermount sink" width 480 depth 380', 'bought bowl2 "sink" of t',
        "top t thickness 30, back meets back scribed",
    ]  # fmt: skip
    survey = place("alcove").plus(*dictate(lines, place("alcove")))
    assert likely_cut_out(survey, "t") == {"of": "t", "item": "bowl2", "over": "d1"}
    survey = survey.plus(*dictate(["cut out c1 in t for bowl2 over d1"], survey))
    assert likely_cut_out(survey, "t") == {"of": "t", "item": "bowl", "shape": "oval", "over": "d3"}
    survey = survey.plus(*dictate(["cut out c2 in t for bowl oval over d3"], survey))
    assert likely_cut_out(survey, "t") == {"of": "t"}


@pytest.mark.parametrize(("sample", "width"), [("corner-vanity", "36"), ("tiled-alcove", "1160")])
def test_a_measured_place_takes_the_usual_pieces_as_they_are(sample: str, width: str) -> None:
    lines = (SAMPLES / sample / "notes.txt").read_text(encoding="utf-8").splitlines()
    drops = ["drop floor back along 100 from left-back out 50 reads 1000", "assume level floor of floor"]
    more = drops if sample == "tiled-alcove" else []
    survey = Survey(dictate([line for line in lines if not line.startswith(PIECES)] + more, Survey([])))
    survey = with_new(survey, "cabinet")
    assert survey.of(Cabinet)[0].width.text == width
    while proposals(survey):
        one = proposals(survey)[0]
        survey = with_new(survey, one.kind, of=one.of, side=one.side)
    report = fit(survey)
    assert {piece.status for piece in report.pieces} == {"ready"}
    assert not {one.number for one in report.findings} & {103, 306, 502, 510}


@pytest.mark.parametrize(
    ("line", "hidden", "needed"),
    [
        ("cabinet v width 900 height 830 depth 530", set(), {"along", "from_"}),
        ("cabinet v width 900 height 830 depth 530, left meets left filler", {"along", "from_"}, set()),
        (
            "top t thickness 30, left meets left scribed",
            {"along", "from_", "overhang", "end_overhang"},
            {"depth", "up", "width"},
        ),
        (
            "top t on v thickness 30, left meets left scribed",
            {"along", "from_", "up", "depth", "width", "wall"},
            set(),
        ),
    ],
)
def test_a_form_asks_for_what_is_needed_and_for_nothing_twice(
    line: str, hidden: set[str], needed: set[str]
) -> None:
    survey = place("left corner")
    (piece,) = dictate([line], survey)
    asked = {one.question.field for one in entries(piece, survey)}
    assert not asked & hidden
    assert set(needed_too(piece)) == needed <= asked


def test_an_answer_is_refused_where_a_file_would_refuse_it() -> None:
    survey = with_new(place("left corner"), "cabinet")
    box = survey.of(Cabinet)[0]
    asked = {one.question.field: one.question for one in entries(box, survey)}
    assert answered(box, asked["width"], "1,2 m", "mm").width.mm == 1200  # type: ignore[attr-defined]
    assert answered(box, asked["bottom"], "250", "mm").bottom.text == "250"  # type: ignore[attr-defined]
    assert answered(box, asked["bottom"], "", "mm") == box
    for field, text in (("width", ""), ("quantity", "0"), ("quantity", "two"), ("material", "x" * 81)):
        with pytest.raises(RecordError):
            answered(box, asked[field], text, "mm")


def test_a_new_name_goes_to_all_that_say_it() -> None:
    survey = with_new(with_new(with_new(place("left corner"), "cabinet"), "top", of="vanity"), "filler")
    survey = survey.plus(*dictate(['note "mind the pipe" about vanity'], survey))
    box = survey.of(Cabinet)[0]
    changes = renamed(box, "his side", survey)
    assert [type(new) for _, new in changes] == [Cabinet, Top, Filler, Note]
    assert changes[0][1].name == "his-side"  # type: ignore[attr-defined]
    assert changes[3][1].about == "his-side"  # type: ignore[attr-defined]
    assert renamed(box, "vanity", survey) == ()
    for taken in ("counter", "back", "", "a:b"):
        with pytest.raises(RecordError):
            renamed(box, taken, survey)


def test_a_gap_goes_with_its_finish() -> None:
    survey = with_new(place("left corner"), "cabinet")
    box = survey.of(Cabinet)[0]
    assert with_edge(box, "left", "left", "filler") == box
    assert with_edge(box, "left", "left", "net").left.gap is None  # type: ignore[attr-defined]
    assert with_edge(box, "left", None, "open").left.meets is None  # type: ignore[attr-defined]
    assert {one.finish for one in edge_choices(box, "left", survey)} == {"filler", "net", "open"}


def test_a_panel_is_drawn_as_its_show_face_is_seen() -> None:
    survey = place("left corner")
    for show, back in (("left", "left"), ("right", "right")):
        line = f"panel p along 900 from left-back shows {show} depth 530 thickness 18 height 830"
        (panel,) = dictate([f"{line}, back meets back scribed"], survey)
        assert next(one.at for one in sides(panel, survey) if one.acts == "back") == back
