"""The cut list, read back with the csv module as a spreadsheet would."""

import csv
import io
from fractions import Fraction

import pytest
from msgspec.structs import replace
from report_zoo import (
    METRIC,
    PIECES,
    alcove_top,
    cabinet,
    combed,
    corner_top,
    filler,
    framed_face,
    not_ready,
    report,
    sink_top,
    tall_panel,
)
from sample_reports import sample_report

from survey.handover.cut_list import COLUMNS, cut_list, harmless
from survey.quantity import read_length


def read(content: bytes):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def row(piece, **more):
    (found,) = read(cut_list(report(piece, **more)))
    return found


EVERYTHING = [make() for make in PIECES.values()]


def test_it_is_utf8_with_a_mark_and_rfc_4180_lines():
    content = cut_list(report(corner_top(), title="Küche"))
    assert content.startswith(b"\xef\xbb\xbfpiece,kind,quantity,")
    assert content.count(b"\r\n") == content.count(b"\n") == 2


def test_one_row_a_piece_with_the_same_columns_always():
    rows = read(cut_list(report(*EVERYTHING)))
    whole = [one for one in rows if not one["part"]]
    assert [one["piece"] for one in whole] == [piece.name for piece in EVERYTHING]
    assert [one["part"] for one in rows if one["part"]] == ["left stile", "right stile", "rail"]
    assert all(tuple(one) == COLUMNS and None not in one.values() for one in rows)


def test_columns_are_stable():
    """Programs at the saw are told these names once; new ones go to the end."""
    assert COLUMNS[:15] == (
        *("piece", "kind", "quantity", "material", "grain", "status"),
        *("finished_length", "finished_length_mm", "finished_length_in"),
        *("finished_width", "finished_width_mm", "finished_width_in"),
        *("finished_thickness", "finished_thickness_mm", "finished_thickness_in"),
    )
    assert COLUMNS[15:24] == tuple(name.replace("finished", "blank") for name in COLUMNS[6:15])
    assert COLUMNS[52:56] == ("datum", "notches", "note", "part")
    assert COLUMNS[56:65] == tuple(name.replace("finished", "rough") for name in COLUMNS[6:15])
    assert COLUMNS[65:] == (
        *("rough_sizes", "left_over_for", "cut_outs", "seams", "stock", "waits_for", "kilograms"),
        *("revision", "dictation"),
    )
    assert len(set(COLUMNS)) == len(COLUMNS) == 74


def test_parts_follow_their_piece_and_count_for_all_of_its_name():
    """By hand: 762 + 12.7 is 30 1/2 in rough, two rails in each of three frames make six."""
    whole, left, _, rail = read(cut_list(report(replace(framed_face(), quantity=3))))
    assert (whole["finished_length"], whole["finished_sizes"][:11]) == ("", "width 36 in")
    assert (left["piece"], left["part"], left["finished_length"]) == ("front-frame", "left stile", "30 in")
    assert (left["rough_length"], left["rough_length_in"], left["rough_width"]) == (
        *("30 1/2 in", "30.5", "2 1/4 in"),
    )
    assert (rail["part"], rail["quantity"], left["quantity"]) == ("rail", "6", "3")


def test_what_is_cut_out_left_over_and_waited_for_stands_in_words():
    found = row(sink_top())
    bowl, tap = found["cut_outs"].split("; ")
    assert bowl == (
        "bowl: oval 18 7/8 in x 14 3/16 in, centre 27 9/16 in from the right end, 10 1/4 in from the front"
    )
    assert tap.startswith("tap: oval 1 3/8 in x 1 3/8 in")
    assert found["left_over_for"] == "width 1 in end trimming; thickness 1/8 in planing"
    assert (found["rough_length"], found["rough_thickness_mm"]) == ("61 in", "33.337")
    assert (found["stock"], found["waits_for"], found["kilograms"]) == ("plank-2", "basin", "21.5")
    assert found["seams"] == "board joint from the front 11 in"


def test_where_a_back_is_bored_stands_in_words():
    (box,) = [one for one in sample_report("sink-wall").pieces if one.name == "sink-base"]
    assert row(box)["cut_outs"].split("; ")[0] == (
        "hole for drain: 2 in centre 12 in from the left side, 18 in from the underside"
    )


def test_corner_top_by_hand():
    """56 1/2 x 22 x 1 1/4 in finished; 3/8 in left on left and back (by hand from the zoo's numbers)."""
    found = row(corner_top())
    assert found["finished_length"] == "56 1/2 in"
    assert (found["finished_length_mm"], found["finished_length_in"]) == ("1435.1", "56.5")
    assert (found["finished_width"], found["finished_thickness"]) == ("22 in", "1 1/4 in")
    assert (found["blank_length"], found["blank_length_in"]) == ("56 7/8 in", "56.875")
    assert (found["blank_width"], found["blank_width_mm"]) == ("22 3/8 in", "568.325")
    assert (found["left_edge"], found["left_allowance"]) == ("scribed to wall left", "3/8 in")
    assert (found["back_allowance_mm"], found["back_allowance_in"]) == ("9.525", "0.375")
    assert (found["right_edge"], found["front_edge"]) == ("", "")
    assert (found["datum"], found["notches"]) == ("front edge and right end", "1")
    assert (found["material"], found["grain"]) == ("maple, edge glued", "along width")


@pytest.mark.parametrize("make", [corner_top, filler, tall_panel])
@pytest.mark.parametrize("step", [None, METRIC], ids=["in", "mm"])
def test_words_and_both_decimals_say_the_same(make, step):
    piece = make() if step is None else make(step)
    found = row(piece, **({"step": step} if step else {}))
    for state in ("finished", "blank"):
        for axis in ("length", "width", "thickness"):
            exact = read_length(found[f"{state}_{axis}"], "mm").mm
            assert abs(Fraction(found[f"{state}_{axis}_mm"]) - exact) <= Fraction(1, 2000)
            assert abs(Fraction(found[f"{state}_{axis}_in"]) * Fraction("25.4") - exact) <= Fraction(
                "0.00128"
            )


@pytest.mark.parametrize("make", [corner_top, filler, tall_panel])
def test_finished_and_allowance_are_the_blank(make):
    piece = make()
    found = row(piece)
    side, axis = {"vanity-top": ("left", "length"), "filler-left": ("left", "width")}.get(
        piece.name, ("back", "width")
    )
    parts = (
        read_length(found[name], "in").mm
        for name in (f"finished_{axis}", f"{side}_allowance", f"blank_{axis}")
    )
    finished, left, blank = parts
    assert finished + left == blank


def test_length_lies_along_the_grain_even_where_it_is_the_shorter():
    across = replace(corner_top(), grain="along depth")
    found = row(across)
    assert (found["length_is"], found["finished_length"]) == ("depth", "22 in")
    assert (found["width_is"], found["finished_width"]) == ("width", "56 1/2 in")
    assert row(corner_top())["length_is"] == "width"
    assert row(tall_panel())["length_is"] == "height"


def test_without_grain_the_longer_side_is_the_length():
    found = row(alcove_top(), step=METRIC)
    assert (found["grain"], found["finished_length"], found["finished_width"]) == ("", "904 mm", "420 mm")
    assert found["left_edge"] == "cut net to wall left, gap 2 mm"


def test_a_box_is_no_board():
    found = row(cabinet())
    assert found["finished_sizes"] == "width 54 in; height 30 in; depth 21 in"
    assert not any(found[name] for name in COLUMNS[6:26])
    assert found["status"] == "as typed"


@pytest.mark.parametrize("piece", [not_ready(), replace(corner_top(), status="not ready", findings=(300,))])
def test_what_is_not_ready_has_a_reason_and_no_number(piece):
    finding = report(not_ready()).findings[0]
    found = row(piece, findings=[replace(finding, pieces=(piece.name,))])
    assert found["note"] == ("do not cut | 300 nothing says where wall `left` is; read a length to it")
    told = {name: cell for name, cell in found.items() if cell and name not in ("piece", "note")}
    assert set(told) <= {"kind", "quantity", "material", "grain", "status", "revision"}
    assert told["status"] == "not ready"


def test_findings_stand_with_their_pieces_only():
    rows = read(cut_list(report(*EVERYTHING)))
    notes = {one["piece"]: one["note"] for one in rows}
    assert notes["vanity-top"].startswith("601 tile")
    assert "601" not in "".join(note for name, note in notes.items() if name != "vanity-top")
    assert notes["comb"] == ""


@pytest.mark.parametrize(
    "words",
    [
        "=1+1",
        "+cmd",
        "-2+3",
        "@sum",
        "\t=1",
        "\r=1",
        " =1",
        "=HYPERLINK(1)",
        "-",
        "+1-1",
        "-x",
        "\n=1",
        "＝1",
    ],
)
def test_formulas_are_made_harmless_everywhere(words):
    piece = replace(corner_top(), name=words, material=words, grain=words, datum=words)
    found = row(piece)
    for column in ("piece", "material", "datum"):
        assert found[column] == f"'{words}"
    assert not [cell for cell in found.values() if cell.lstrip()[:1] in tuple("=+@")]


@pytest.mark.parametrize("words", ["-3.5", "3", "maple", "", "a=b", "2-ply", "1 1/4 in"])
def test_what_is_no_formula_is_left_alone(words):
    assert harmless(words) == words


def test_quotes_commas_and_lines_survive():
    name = 'a"b,c\nd;é'
    assert row(replace(corner_top(), name=name))["piece"] == name


def test_twenty_notches_are_counted():
    assert row(combed(), step=METRIC)["notches"] == "20"
    assert row(combed(), step=METRIC)["quantity"] == "2"


def test_same_report_same_bytes():
    assert cut_list(report(*EVERYTHING)) == cut_list(report(*(make() for make in PIECES.values())))
