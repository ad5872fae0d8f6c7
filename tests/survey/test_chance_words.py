"""Chances in words: whole percents, never certain; what is said of slips and of edges."""

import pytest
from msgspec.structs import replace

from survey.report.chance_words import chance_words, driver_words, matters, percent, slip_words
from survey.report.structs import (
    AllowanceReport,
    ChanceReport,
    Dimension,
    EdgeReport,
    Likelihood,
    PieceReport,
    UnfoundReport,
)

NUMBERS = " if marked out by numbers to 1 mm: use the DXF or a template)"


def of(chance: float) -> Likelihood:
    return Likelihood(chance, 0.01)


def size(mm: float) -> Dimension:
    return Dimension(mm, mm, f"{mm:g} mm")


@pytest.mark.parametrize(
    ("chance", "says"),
    [
        (0.0, "<1 %"),
        (0.004, "<1 %"),
        (0.006, "1 %"),
        (0.5, "50 %"),
        (0.9949, "99 %"),
        (0.996, ">99 %"),
        (1, ">99 %"),
    ],
)
def test_nothing_sampled_is_certain_or_hopeless(chance, says):
    assert percent(chance) == says


@pytest.mark.parametrize(
    ("chance", "says"),
    [
        (ChanceReport(of(1.0), goes_in=of(1.0), close=of(1.0)), "goes in: >99 %"),
        (ChanceReport(of(0.99), covers=of(0.99)), "the blank covers the wall: 99 %"),
        (
            ChanceReport(of(0.9), goes_in=of(0.98), close=of(0.9), greatest_gap=size(3), by_numbers=of(0.7)),
            "goes in: 98 %; with no gap over 3 mm: 90 % (70 %" + NUMBERS,
        ),
        (
            ChanceReport(of(0.9), goes_in=of(0.98), close=of(0.9), greatest_gap=size(3), by_numbers=of(0.9)),
            "goes in: 98 %; with no gap over 3 mm: 90 %",
        ),
        (
            ChanceReport(of(0.9), goes_in=of(0.95), close=of(0.95), covers=of(0.94)),
            "goes in: 95 %; the blank covers the wall: 94 %; all well: 90 %",
        ),
    ],
    ids=["goes in", "covers", "by numbers", "by numbers as good", "both"],
)
def test_a_chance_says_what_it_is_of_and_all_together_only_where_that_is_more(chance, says):
    assert chance_words(chance, "1 mm") == says


def unfound(slip, effect) -> ChanceReport:
    return ChanceReport(of(0.9), unfound=UnfoundReport("r", "angle c", slip, effect))


@pytest.mark.parametrize(
    ("slip", "effect", "says"),
    [
        (
            size(3),
            size(1),
            "angle c: a slip of 3 mm or less would go unnoticed, and move an edge by up to 1 mm",
        ),
        (None, size(1), "angle c: a small slip would go unnoticed, and move an edge by up to 1 mm"),
        (size(3), size(0), ""),
        (None, None, ""),
    ],
    ids=["a length", "an angle", "no harm", "finding 403 says it"],
)
def test_the_slip_that_nothing_shows(slip, effect, says):
    assert slip_words(unfound(slip, effect)) == says


def edge(name: str, unknown: float, driver: str = "the wall") -> EdgeReport:
    left = AllowanceReport(size(2), size(unknown), size(1.5), size(3.5 + unknown))
    return EdgeReport(name, "wall", "scribed", allowance=left, driver=driver)


def test_what_is_not_known_matters_where_it_is_most_of_what_is_left_on_or_the_edge_may_fail():
    piece = PieceReport("top", "top", "ready", confidence=0.99, chance=ChanceReport(of(0.9)))
    assert matters(edge("left", 3), piece)
    assert not matters(edge("left", 2), piece)
    for chance, says in ((0.98, True), (0.995, False)):
        unsure = replace(piece, chance=ChanceReport(of(0.9), by_edge={"left": of(chance)}))
        assert matters(edge("left", 1), unsure) == says


def test_edges_with_the_same_unknown_are_told_together():
    edges = (
        edge("left", 1, "length a"),
        edge("back", 1, "the wall"),
        edge("right", 1, "length a"),
        edge("x", 1, ""),
    )
    piece = PieceReport("top", "top", "ready", edges=edges)
    assert driver_words(piece) == "left and right edge: length a; back edge: the wall"
