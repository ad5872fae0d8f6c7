"""The saw list: a row for each board, sizes in the unit of their column, nothing that runs as a formula."""

import csv
import io

import pytest
from msgspec.structs import replace
from report_zoo import METRIC, cabinet, corner_top, filler, framed_face, not_ready, report
from sample_reports import sample_report

from survey.handover.saw_list import columns_of, saw_list


def rows(made, sizes="as printed"):
    return list(csv.DictReader(io.StringIO(saw_list(made, sizes).decode("utf-8-sig"), newline="")))


def test_pieces_and_parts_have_rows_boxes_and_unready_ones_have_none():
    made = report(cabinet(), corner_top(), framed_face(), not_ready())
    found = rows(made)
    parts = framed_face().parts
    assert [one["label"] for one in found] == [
        "vanity-top",
        *(f"{framed_face().name} / {one.name}" for one in parts),
    ]
    assert [one["number"] for one in found] == [str(number) for number in range(1, len(found) + 1)]
    assert [one["quantity"] for one in found[1:]] == [str(one.quantity) for one in parts]


def test_sizes_are_what_is_cut_first_along_the_grain():
    """The blank of the corner top: 56 7/8 along its grain, 22 3/8, 1 1/4 thick."""
    (top,) = rows(report(corner_top()))
    assert [top[f"{axis}_in"] for axis in ("length", "width", "thickness")] == ["56.875", "22.375", "1.25"]
    (fraction,) = rows(report(corner_top()), "fraction")
    assert fraction["length_in"] == "56 7/8"
    assert (top["grain_locked"], top["edges"]) == ("yes", "left scribed; back scribed")
    (metric,) = rows(report(corner_top(METRIC), step=METRIC), "fraction")
    assert float(metric["length_mm"]) == pytest.approx(56.875 * 25.4, abs=1.5)


def test_no_grain_lies_by_its_longer_side():
    (strip,) = rows(report(replace(filler(), grain="none")))
    assert strip["grain_locked"] == "no"
    assert float(strip["length_in"]) > float(strip["width_in"])


@pytest.mark.parametrize("name", ["=1+1", "@SUM(A1)", "+x", "\t=2", "'quoted"])
def test_no_cell_runs_as_a_formula(name):
    (row,) = rows(report(replace(filler(), name=name, material=name)))
    for column in ("label", "piece", "material"):
        assert row[column] == f"'{name}"


@pytest.mark.parametrize("name", ["sink-wall", "study-niche"])
def test_every_board_of_a_sample_is_there_with_three_sizes(name):
    made = sample_report(name)
    found = rows(made)
    assert tuple(found[0]) == columns_of(made.unit)
    boards = [
        board
        for piece in made.pieces
        if piece.status != "not ready"
        for board in (piece.parts or (piece,))
        if any(one.name == "thickness" for one in board.finished)
    ]
    assert len(found) == len(boards)
    for row in found:
        assert all(float(row[f"{axis}_{made.unit}"]) > 0 for axis in ("length", "width", "thickness"))
        assert row["revision"] == f"{made.revision} {made.survey_hash[:8]}"
