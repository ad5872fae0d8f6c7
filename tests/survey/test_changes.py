"""What changed between two revisions: hand-made pairs for every kind of change, in both units."""

from __future__ import annotations

from functools import cache
from typing import get_args

import msgspec
import pytest
from dictated import ALCOVE, COUNTER, HUNG, survey_of
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from report_zoo import INCH, METRIC, Shop

from survey.changes import Changes, ComparisonError, changes
from survey.changes.compared import told
from survey.changes.entries import ELSEWHERE, entries
from survey.changes.outlines import moved_by
from survey.changes.structs import HARM, Verdict
from survey.changes.verdicts import meaning
from survey.changes.words import MEANT, summary
from survey.dictation import dictate, say
from survey.finding import finding
from survey.findings import fit
from survey.records import Survey, Withdrawal
from survey.records.hand import new_id, now
from survey.report.structs import (
    ChanceReport,
    CutOutReport,
    Dimension,
    EdgeReport,
    EntryReport,
    FitReport,
    FixingReport,
    HoleReport,
    InstalledReport,
    LiftReport,
    Likelihood,
    NamedDimension,
    OversizeReport,
    PartReport,
    PieceReport,
    RoomReport,
    StockReport,
    WayStepReport,
)

SHOPS = {"in": Shop(INCH), "mm": Shop(METRIC)}
STEP = {"in": 25.4 / 16, "mm": 1.0}


def ring(width, depth, x=0.0):
    return ((x, 0.0), (x + width, 0.0), (x + width, depth), (x, depth))


def net(unit="mm", width=609.6, depth=304.8, **fields):
    """A shelf cut net: its finished outline is what is cut; its blank is 10 mm larger."""
    shop = SHOPS[unit]
    made = {
        "material": "oak",
        "datum": "front edge and left end",
        "finished": shop.named(width=width, depth=depth, thickness=19.05),
        "blank": shop.named(width=width + 10, depth=depth + 10, thickness=19.05),
        "outline": ring(width, depth),
        "blank_outline": ring(width + 10, depth + 10),
        "edges": (EdgeReport("left", "wall left", "net", gap=shop.size(2.0)),),
    }
    return PieceReport("shelf", "shelf", "ready", **{**made, **fields})


def scribed(unit="mm", width=609.6, depth=304.8, left_on=9.525, **fields):
    """A top scribed at its back: its blank is what the shop cuts."""
    shop = SHOPS[unit]
    allowance = shop.allowance(left_on - 25.4 / 16, 0.0)
    made = {
        "datum": "front edge and left end",
        "finished": shop.named(width=width, depth=depth, thickness=19.05),
        "blank": shop.named(width=width, depth=depth + left_on, thickness=19.05),
        "outline": ring(width, depth),
        "blank_outline": ring(width, depth + left_on),
        "edges": (
            shop.scribed("back", "wall back", "from the left end", allowance, [(0, 3), (300, 4), (600, 6)]),
        ),
    }
    return PieceReport("top", "top", "ready", **{**made, **fields})


def report(*pieces, unit="mm", findings=(), **fields):
    step = "1/16" if unit == "in" else "1 mm"
    made = FitReport(
        "scribefit fit report", 3, "Bath", unit, step, 0.99, "0" * 64, RoomReport(), pieces, tuple(findings)
    )
    return replace(made, **fields)


def compared(before, after, unit="mm", survey=None) -> Changes:
    empty = survey or Survey([])
    return changes(
        (empty, before if isinstance(before, FitReport) else report(*before, unit=unit)),
        (empty, after if isinstance(after, FitReport) else report(*after, unit=unit)),
    )


def only(found: Changes):
    (piece,) = found.pieces
    return piece


def lines(piece):
    return [one.words for one in piece.told]


# What becomes of what is cut


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_what_got_smaller_is_re_cut(unit):
    piece = only(compared([net(unit)], [net(unit, width=609.6 - 8 * STEP[unit])], unit))
    assert piece.verdict == "re-cut"
    said = {
        "in": ["finished width 23 1/2 in, was 24 in (-1/2 in)", "outline moved by at most 1/2 in"],
        "mm": ["finished width 602 mm, was 610 mm (-8 mm)", "outline moved by at most 8 mm"],
    }
    assert sorted(lines(piece))[-2:] == said[unit]
    assert piece.is_wrong_on_paper


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_what_got_larger_needs_a_new_blank(unit):
    """Ten graduations wider; what was cut to its blank only, 10 mm larger, reaches no further."""
    short = {"in": "5/8 in", "mm": "10 mm"}[unit]
    piece = only(compared([net(unit)], [net(unit, width=609.6 + 10 * STEP[unit])], unit))
    assert piece.verdict == "new blank"
    still = "; one of which only the blank was cut still does" if unit == "mm" else ""
    assert piece.says == f"a new blank is needed: it is short by up to {short}{still}"


def test_a_little_larger_still_comes_out_of_a_blank_that_was_not_cut_yet():
    piece = only(compared([net()], [net(width=615.6)]))
    assert piece.says.endswith("; one of which only the blank was cut still does")


def test_larger_one_way_and_smaller_the_other_is_not_covered():
    assert only(compared([net()], [net(width=500.0, depth=310.0)])).verdict == "new blank"


def test_half_a_graduation_is_nothing_though_a_size_prints_otherwise():
    """609.6 prints as 610, 609.4 as 609; the line moved by 0.2 mm."""
    piece = only(compared([net()], [net(width=609.4)]))
    assert piece.verdict == "cut as before"
    assert piece.says == "its line moved by less than half of 1 mm: what is cut still does"
    assert "finished width 609 mm, was 610 mm (-1 mm)" in lines(piece)
    assert not any("outline" in line for line in lines(piece))


def test_a_hair_that_rounds_a_gap_the_other_way_is_no_change():
    edges = [(EdgeReport("left", "wall left", "net", gap=SHOPS["mm"].size(gap)),) for gap in (2.49, 2.51)]
    assert edges[0][0].gap.text != edges[1][0].gap.text
    assert compared([net(edges=edges[0])], [net(edges=edges[1])]).is_empty


def test_of_a_scribed_piece_the_blank_is_what_was_cut():
    """The finished line went out by 4 mm, within what was left on; the blank's went with it."""
    piece = only(compared([scribed()], [scribed(depth=308.8)]))
    assert piece.verdict == "less left on"
    assert piece.says == (
        "the old blank still covers the finished line, but it is short of the new blank by up to 4 mm"
    )
    assert only(compared([scribed()], [scribed(depth=320.0)])).verdict == "new blank"
    assert only(compared([scribed()], [scribed(depth=300.0)])).verdict == "re-cut"


def test_what_is_to_be_scribed_now_has_nothing_left_on_if_it_was_cut_net():
    was, now = scribed(edges=(EdgeReport("back", "wall back", "net"),)), scribed()
    assert only(compared([was], [now])).verdict == "new blank"
    piece = only(compared([now], [was]))
    assert piece.verdict == "re-cut"
    assert "back edge is net, was scribed" in lines(piece)


NOTCHED = ((0, 0), (500, 0), (500, 100), (609.6, 100), (609.6, 304.8), (0, 304.8))


def with_notch(x, y):
    corners = tuple((x if px == 500 else px, y if py == 100 else py) for px, py in NOTCHED)
    notch = SHOPS["mm"].notch(
        "casing", 2.0, "from the left end", "from the front", ((x, 0), (x, y), (609.6, y))
    )
    return net(outline=corners, notches=(notch,))


def test_a_notch_may_get_larger_and_not_smaller():
    larger, smaller = (
        only(compared([with_notch(500, 100)], [with_notch(*to)])) for to in ((490, 100), (510, 100))
    )
    assert (larger.verdict, smaller.verdict) == ("re-cut", "new blank")
    moved = "notch around casing, corner 1, from the left end 490 mm, was 500 mm (-10 mm)"
    assert moved in lines(larger)
    assert len([line for line in lines(larger) if "corner" in line]) == 2  # the third one stayed


def test_a_new_notch_is_cut_and_a_notch_that_went_is_not_filled():
    assert only(compared([net()], [with_notch(500, 100)])).verdict == "re-cut"
    gone = only(compared([with_notch(500, 100)], [net()]))
    assert gone.verdict == "new blank"
    assert any(line.startswith("no more: notch around casing") for line in lines(gone))


def with_hole(x, width=100.0):
    shop = SHOPS["mm"]
    centre = shop.notch("", 0, "", "", ((x, 150),)).corners[0]
    hole = CutOutReport(
        "sink", "rectangle", shop.size(width), shop.size(80.0), centre, "from the left end", "from the front",
        ring=((x - width / 2, 110), (x + width / 2, 110), (x + width / 2, 190), (x - width / 2, 190)),
    )  # fmt: skip
    return net(cut_outs=(hole,))


def test_a_cut_out_may_be_enlarged_and_not_moved():
    moved = only(compared([with_hole(300)], [with_hole(320)]))
    assert moved.verdict == "new blank"
    assert moved.says.startswith("a new blank is needed: it is short by up to 20 mm")
    assert "cut-out sink, centre from the left end 320 mm, was 300 mm (+20 mm)" in lines(moved)
    assert only(compared([with_hole(300)], [with_hole(300, 120)])).verdict == "re-cut"
    assert only(compared([net()], [with_hole(300)])).verdict == "re-cut"


def test_a_piece_is_shifted_over_the_new_one_but_not_turned():
    """The notch comes 30 mm nearer to the left end, where the piece gets shorter: the same cut serves."""
    was = with_notch(500, 100)
    shorter = tuple((max(0.0, x - 30.0), y) for x, y in was.outline)
    assert meaning(was, replace(was, outline=shorter), METRIC).verdict == "re-cut"
    turned = net(outline=ring(304.8, 609.6))
    assert meaning(net(), turned, METRIC).verdict == "new blank"


def test_another_datum_moves_no_line():
    """The same board, its outline counted from the right end."""
    now = net(outline=ring(609.6, 304.8, -609.6), datum="front edge and right end")
    piece = only(compared([net()], [now]))
    assert piece.verdict == "cut as before"
    assert lines(piece) == ["measured from front edge and right end, was front edge and left end"]


@pytest.mark.parametrize(
    ("fields", "verdict", "line"),
    [
        ({"material": "ash"}, "new blank", "material ash, was oak"),
        ({"grain": "along width"}, "new blank", "new: grain along width"),
        ({"kind": "top"}, "new blank", "kind top, was shelf"),
        ({"quantity": 3}, "make more", "quantity 3, was 1"),
        ({"waits_for": ("sink",)}, "cut as before", "new: waits for sink"),
    ],
)
def test_what_else_is_cut_by(fields, verdict, line):
    piece = only(compared([net()], [replace(net(), **fields)]))
    assert (piece.verdict, lines(piece)) == (verdict, [line])
    assert piece.is_wrong_on_paper


def test_a_thinner_board_is_another_board():
    thin = SHOPS["mm"].named(width=609.6, depth=304.8, thickness=16)
    piece = only(compared([net()], [net(finished=thin)]))
    assert (piece.verdict, piece.says) == ("new blank", "a new blank is needed: its thickness is another")


def square(**sizes):
    return PieceReport("door", "cabinet door", "ready", finished=SHOPS["mm"].named(**sizes))


@pytest.mark.parametrize(
    ("others", "width", "verdict"),
    [
        ({"height": 500, "thickness": 19}, 290, "re-cut"),
        ({"height": 500, "thickness": 19}, 310, "new blank"),
        ({"height": 500, "depth": 190}, 290, "build anew"),
    ],
)
def test_what_has_no_outline_is_compared_by_its_sizes(others, width, verdict):
    was, now = square(width=300, **others), square(width=width, **others)
    assert only(compared([was], [now])).verdict == verdict


def bored(across, diameter=40.0, around="drain"):
    shop = SHOPS["mm"]
    hole = HoleReport(
        around, shop.size(across), "from the left side", shop.size(300.0), "from the underside",
        shop.size(diameter),
    )  # fmt: skip
    return PieceReport(
        "box", "cabinet", "ready", finished=shop.named(width=600, height=700, depth=500), holes=(hole,)
    )


@pytest.mark.parametrize(
    ("now", "verdict", "says"),
    [
        (bored(203), "cut as before", ""),  # less than half of the 1/4 in that is clear around the pipe
        (bored(204), "new blank", "a new back is needed where it is bored: the hole for drain is elsewhere"),
        (bored(200, 50), "re-cut", "bore the hole for drain larger"),
        (bored(200, 30), "cut as before", ""),
        (bored(200, around="hot"), "re-cut", "bore its back for hot, too"),
    ],
)
def test_a_back_that_is_bored_serves_while_the_pipe_has_play(now, verdict, says):
    piece = only(compared([bored(200)], [now]))
    assert (piece.verdict, piece.says) == (verdict, says)


def with_parts(*parts):
    made = tuple(PartReport(name, count, SHOPS["mm"].named(length=size)) for name, count, size in parts)
    return net(parts=made)


@pytest.mark.parametrize(
    ("now", "verdict", "says"),
    [
        ([("stile", 2, 590), ("rail", 2, 300)], "re-cut", "re-cut possible of stile"),
        ([("stile", 2, 610), ("rail", 2, 300)], "new blank", "a new blank is needed for stile"),
        ([("stile", 3, 600), ("rail", 2, 300)], "make more", "make 1 more of stile"),
        ([("stile", 2, 600), ("rail", 2, 300), ("cap", 1, 9)], "make more", "make cap, too"),
    ],
)
def test_parts_are_boards_of_their_own(now, verdict, says):
    piece = only(compared([with_parts(("stile", 2, 600), ("rail", 2, 300))], [with_parts(*now)]))
    assert (piece.verdict, piece.says) == (verdict, says)


def test_of_several_harms_the_worst_is_the_verdict_and_all_are_said():
    piece = only(compared([net()], [replace(net(width=600.0), quantity=2, material="ash")]))
    assert piece.verdict == "new blank"
    assert piece.says == (
        "a new blank is needed: its material is another; make 1 more; "
        "re-cut possible: the old one covers the new one"
    )


# Pieces that come, go, change their name or their state


def test_pieces_come_and_go():
    other = replace(net(width=100.0), name="other")
    found = compared([net()], [other])
    assert [(one.name, one.verdict) for one in found.pieces] == [
        ("shelf", "not wanted"),
        ("other", "new piece"),
    ]
    assert [one.name for one in found.wrong] == ["shelf"]


def test_a_piece_like_one_that_went_is_that_one_under_another_name():
    piece = only(compared([net()], [replace(net(), name="ledge")]))
    assert (piece.name, piece.was, piece.verdict, piece.says) == (
        "ledge", "shelf", "cut as before", "it was called shelf",
    )  # fmt: skip
    assert piece.is_wrong_on_paper  # its label is


def test_of_two_that_are_alike_none_is_taken_for_the_other():
    twins = [net(), replace(net(), name="second")]
    found = compared(twins, [replace(net(), name="ledge")])
    assert {one.name: one.verdict for one in found.pieces} == {
        "shelf": "not wanted", "second": "not wanted", "ledge": "new piece",
    }  # fmt: skip


def test_what_is_not_ready_any_more_is_not_cut():
    unready = PieceReport("shelf", "shelf", "not ready", "oak")
    piece = only(compared([net()], [unready]))
    assert (piece.verdict, lines(piece)) == ("do not cut", ["status not ready, was ready"])
    back = only(compared([unready], [net()]))
    assert (back.verdict, back.is_wrong_on_paper) == ("can be cut now", False)
    assert compared([unready], [unready]).is_empty


def test_the_most_harmful_comes_first():
    was = [replace(net(), name=name) for name in "abcd"]
    now = [
        replace(net(), name="a", measures=SHOPS["mm"].named(gap=5)),
        replace(net(width=600.0), name="b"),
        replace(net(width=620.0), name="c"),
        replace(net(width=50.0), name="e"),
    ]
    found = compared(was, now)
    assert [(one.name, one.verdict) for one in found.pieces] == [
        ("c", "new blank"), ("d", "not wanted"), ("b", "re-cut"), ("a", "cut as before"), ("e", "new piece"),
    ]  # fmt: skip
    assert summary(found) == (
        "4 pieces are not right on the old paper. A new blank is needed: c; Not asked for any more: d; "
        "Re-cut possible: b; Cut as before, but other things changed: a."
    )


def test_every_verdict_has_its_rank_and_its_words():
    assert set(get_args(Verdict)) == set(HARM) == set(MEANT)


# Everything that a piece's paper says is compared

SIZE = Dimension(10.0, 10.0, "10 mm")
FULL = {
    "kind": "top",
    "material": "oak",
    "grain": "along width",
    "quantity": 2,
    "datum": "front edge",
    "rule": "pushed back",
    "finished": (NamedDimension("width", SIZE),),
    "blank": (NamedDimension("depth", SIZE),),
    "rough": (NamedDimension("height", SIZE),),
    "edges": (EdgeReport("back", "wall back", "scribed", gap=SIZE),),
    "notches": (SHOPS["mm"].notch("pipe", 1, "from the left end", "from the front", ((1, 1),)),),
    "measures": (NamedDimension("gap", SIZE),),
    "cautions": ("mind the pipe",),
    "chance": ChanceReport(Likelihood(0.5, 0.0)),
    "confidence": 0.99,
    "limits": "all edges",
    "oversize": (OversizeReport("width", "sanding", SIZE, "the shop"),),
    "parts": (PartReport("stile", 2, (NamedDimension("length", SIZE),)),),
    "cut_outs": (with_hole(300).cut_outs[0],),
    "holes": bored(200).holes,
    "seams": (NamedDimension("joint", SIZE),),
    "cut_path": (((0.0, 0.0), (1.0, 1.0)),),
    "stock": StockReport("comes out", "of one sheet"),
    "waits_for": ("sink",),
    "entry": EntryReport("from the front"),
    "way": (WayStepReport("door", "goes", "it goes", SIZE),),
    "lift": LiftReport(20.0, "one person"),
    "screws": ("Screws: 2 1/2 in.",),
    "fixings": (FixingReport("s1", SIZE, "from the left end", SIZE, "corner left", SIZE, "centre"),),
    "installed": (InstalledReport("back", "gap", None, SIZE, SIZE, 1.0),),
}
"""Every field that `entries` must tell, so that none is forgotten where a new one comes."""


def test_nothing_that_the_paper_says_is_left_out():
    fields = {field.name: field for field in msgspec.structs.fields(PieceReport)}
    assert set(fields) == set(FULL) | ELSEWHERE, "tell the new field in survey/changes/entries.py"
    piece = PieceReport("top", status="ready", **FULL)
    for name in FULL:
        plain = "" if fields[name].required else fields[name].default
        assert entries(replace(piece, **{name: plain})) != entries(piece), name


def test_a_chance_that_moved_within_its_sampling_error_did_not_change():
    def sure(chance, error):
        return net(chance=ChanceReport(Likelihood(chance, error)))

    assert compared([sure(0.87, 0.01)], [sure(0.89, 0.01)]).is_empty
    piece = only(compared([sure(0.87, 0.001)], [sure(0.89, 0.001)]))
    assert lines(piece) == ["chance that all is well 89 %, was 87 %"]
    assert not piece.is_wrong_on_paper


def test_depths_to_plane_off_are_compared_place_by_place():
    shop = SHOPS["mm"]
    deeper = shop.scribed(
        "back", "wall back", "from the left end", scribed().edges[0].allowance,
        [(0, 3), (150, 6.5), (300, 4), (600, 6)],
    )  # fmt: skip
    piece = only(compared([scribed()], [scribed(edges=(deeper,))]))
    # At 150 mm it was 3.5 mm deep, half-way from 3 to 4.
    assert "depths to plane off at the back edge changed by at most 3 mm" in lines(piece)


def test_what_has_no_bulge_is_cut_to_chords_and_arcs_are_drawn_out():
    """A front corner of radius 50: its line leaves the square one by 50 (sqrt 2 - 1) = 20.7 mm."""
    points = ((0.0, 0.0), (550.0, 0.0), (600.0, 50.0), (600.0, 300.0), (0.0, 300.0))
    rounded = net(outline=points, bulges=(0.0, 0.41421356, 0.0, 0.0, 0.0))
    assert moved_by(net(outline=ring(600.0, 300.0)), rounded) == pytest.approx(20.71, abs=0.05)


def test_a_line_that_crosses_itself_by_a_hair_is_compared_all_the_same():
    """A spike of no width, and a corner that turns over by a hundredth of a millimetre."""
    hair = (
        (0, 0),
        (609.6, 0),
        (609.6, 304.8),
        (300, 304.8),
        (300, 320),
        (300, 304.8),
        (-0.01, 304.8),
        (0.01, 304.9),
    )
    assert only(compared([net()], [net(outline=hair, quantity=2)])).verdict == "make more"
    assert only(compared([net(outline=hair)], [net(width=620.0)])).verdict == "new blank"


def test_another_smallest_fraction_is_one_line_and_not_every_size():
    fine = report(net("in", width=609.0), unit="in", step="1/32")
    found = compared(report(net("in"), unit="in"), fine)
    assert [one.words for one in found.job] == ["smallest fraction 1/32, was 1/16"]
    assert found.pieces == ()


# Findings


def test_findings_come_go_and_say_otherwise():
    old = [
        finding(300, wall="left"),
        finding(304, name="drain"),
        finding(306, pieces=["a"], what="x", do="say it"),
    ]
    new = [
        finding(300, wall="left"),
        finding(306, pieces=["a"], what="y", do="say it"),
        finding(305, name="d", size="w"),
    ]
    found = compared(report(findings=old), report(findings=new)).findings
    assert [(one.kind, one.number) for one in found] == [("otherwise", 306), ("new", 305), ("gone", 304)]


def test_a_new_doubt_makes_the_old_paper_wrong_and_a_hint_does_not():
    doubt = finding(402, ["r1"], ["shelf"], what="this or that", do="read again")
    piece = only(compared(report(net()), report(net(), findings=[doubt])))
    assert (piece.doubts, piece.is_wrong_on_paper) == ((402,), True)
    assert piece.says == "look before you cut or set it: new finding 402"
    hint = finding(403, ["r1"], ["shelf"], what="length")
    assert compared(report(net()), report(net(), findings=[hint])).pieces == ()


# Records


UNDO = "undo"
"""Takes back the newest record, as the app does; nothing that is dictated takes back a withdrawal."""


@cache
def base() -> Survey:
    return survey_of(COUNTER, HUNG)


@cache
def fitted(*said: str) -> tuple[Survey, FitReport]:
    """The alcove with a counter and a cabinet, and lines put down after them; `{...}` stands for an id."""
    survey = base()
    for line in said:
        ids = {name: one.id for name, records in survey.named.items() for one in records}
        reading = next(one.id for one in base().records if say(one, "mm").startswith("length left-back"))
        if line == UNDO:
            survey = survey.plus(Withdrawal(id=new_id(), taken=now(), replaces=(survey.records[-1].id,)))
            continue
        ids |= {"reading": reading, "newest": survey.records[-1].id}
        survey = survey.plus(*dictate([line.format(**ids)], survey))
    return survey, fit(survey)


def kinds(found):
    return [(one.kind, one.before, one.now) for one in found.records]


READING = "length left-back to back-right up 100 reads 1500"
WIDER = "correct {reading}: length left-back to back-right up 100 reads 1503"
WIDER_NOW = "length left-back to back-right up 100 reads 1503"


def test_a_corrected_reading_is_told_with_what_it_was():
    found = changes(fitted(), fitted(WIDER))
    assert kinds(found) == [("corrected", READING, WIDER_NOW)]
    assert found.records[0].words == f"corrected: {WIDER_NOW}, was: {READING}"
    assert found.before.number + 1 == found.now.number


def test_an_added_reading_is_told():
    line = "length left-back to back-right up 500 reads 1500"
    assert kinds(changes(fitted(), fitted(line))) == [("added", "", line)]


def test_what_was_withdrawn_and_stands_again_is_told_with_why():
    with_reason = 'withdraw {reading} because "read at the plaster"'
    gone = fitted(with_reason)
    found = changes(fitted(), gone)
    assert kinds(found) == [("withdrawn", READING, "")]
    assert found.records[0].because == "read at the plaster"
    again = fitted(with_reason, UNDO)
    assert kinds(changes(gone, again)) == [("stands again", "", READING)]


def test_a_correction_that_was_taken_back_lets_the_old_reading_stand_again():
    back = fitted(WIDER, "withdraw {newest}")
    assert kinds(changes(fitted(WIDER), back)) == [("stands again", WIDER_NOW, READING)]
    between = changes(fitted(), back)
    assert between.is_empty
    assert between.before != between.now
    assert summary(between) == "Nothing that counts changed: what was handed over is right."


def test_a_piece_withdrawn_is_not_wanted():
    found = changes(fitted(), fitted("withdraw {hung}"))
    assert [(one.name, one.verdict) for one in found.pieces] == [("hung", "not wanted")]
    assert [one.kind for one in found.records] == ["withdrawn"]


def test_a_size_changed_reaches_the_pieces():
    narrower = f"correct {{counter}}: {COUNTER.replace('width 700', 'width 690')}"
    piece = only(changes(fitted(), fitted(narrower)))
    assert (piece.name, piece.verdict) == ("counter", "re-cut")
    assert "finished width 690 mm, was 700 mm (-10 mm)" in lines(piece)
    wider = f"correct {{counter}}: {COUNTER.replace('width 700', 'width 720')}"
    assert only(changes(fitted(), fitted(wider))).verdict == "new blank"


def test_a_corrected_name_is_the_same_piece_however_it_changed():
    other = f"correct {{counter}}: {COUNTER.replace('top counter', 'top ledge').replace('700', '680')}"
    piece = only(changes(fitted(), fitted(other)))
    assert (piece.name, piece.was, piece.verdict) == ("ledge", "counter", "re-cut")
    assert piece.says.startswith("it was called counter; ")


def test_one_record_in_place_of_two_corrects_both():
    survey = base()
    both = [one for one in survey.records if say(one, "mm").startswith("length left-back")]
    new = replace(both[0], id="new-one", replaces=tuple(one.id for one in both))
    (found,) = {one.kind for one in changes((survey, report()), (survey.plus(new), report())).records}
    assert found == "corrected"


def test_two_jobs_are_not_compared_unless_asked():
    other = Survey(dictate(ALCOVE, Survey([])))
    empty = report()
    with pytest.raises(ComparisonError, match=r"different jobs, `Bath` and `Bath`"):
        changes((base(), empty), (other, empty))
    found = changes((base(), empty), (other, empty), anyway=True)
    assert {one.kind for one in found.records} == {"added", "not there"}


# Whatever the two are


PIECES = st.lists(
    st.builds(
        lambda name, width, material, ready: (
            replace(net(width=width), name=name, material=material)
            if ready
            else PieceReport(name, "shelf", "not ready", material)
        ),
        st.sampled_from("abcde"),
        st.sampled_from([600.0, 600.3, 605.0, 640.0]),
        st.sampled_from(["oak", "ash"]),
        st.booleans(),
    ),
    max_size=4,
    unique_by=lambda piece: piece.name,
)


def swapped(found: Changes):
    """What can be said both ways, from the other side."""
    pieces = {
        (one.was or one.name, one.name, frozenset(_turned(line) for line in one.told))
        if one.verdict not in ("new piece", "not wanted")
        else (one.name, {"new piece": "not wanted", "not wanted": "new piece"}[one.verdict])
        for one in found.pieces
    }
    return pieces, {(one.now, one.before) for one in found.records}


def straight(found: Changes):
    pieces = {
        (
            one.name,
            one.was or one.name,
            frozenset((line.what, line.before, line.now, line.difference) for line in one.told),
        )
        if one.verdict not in ("new piece", "not wanted")
        else (one.name, one.verdict)
        for one in found.pieces
    }
    return pieces, {(one.before, one.now) for one in found.records}


def _turned(line):
    signs = {"+": "-", "-": "+"}
    difference = signs.get(line.difference[:1], line.difference[:1]) + line.difference[1:]
    return line.what, line.now, line.before, difference


@given(PIECES)
def test_nothing_changed_from_a_survey_to_itself(pieces):
    assert compared(pieces, pieces).is_empty


@given(PIECES, PIECES)
def test_the_way_back_is_the_way_there_turned_round(before, after):
    there, back = compared(before, after), compared(after, before)
    assert swapped(there) == straight(back)
    assert there.before == back.now


@pytest.mark.parametrize(
    "said",
    [
        (WIDER,),
        ("withdraw {hung}",),
        (f"correct {{counter}}: {COUNTER.replace('width 700', 'width 690')}",),
        (WIDER, "withdraw {newest}"),
    ],
)
def test_the_way_back_through_real_records(said):
    there, back = changes(fitted(), fitted(*said)), changes(fitted(*said), fitted())
    assert swapped(there) == straight(back)


def test_the_changes_go_to_json_and_back():
    found = changes(fitted(), fitted(WIDER))
    assert msgspec.json.decode(msgspec.json.encode(found), type=Changes) == found
    assert told(net(), net(), (METRIC, METRIC)) == ()
