"""A piece that is said to rest on itself stops that piece alone, never the whole survey."""

from __future__ import annotations

import pytest
from dictated import COUNTER, piece, report_of


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("filler f left of f thickness 18", "f"),
        ("filler f top of f thickness 18", "f"),
        ("top t on t thickness 30", "t"),
        ("cabinet c width 300 height 700 depth 500 bottom 900, left meets c net", "c"),
        ("splash s width 700 height 100 thickness 18 of s stands at back", "s"),
        ("shelf s width 700 height 200 thickness 18 of s up 1200, left meets s net", "s"),
        ("mirror m width 600 height 800 thickness 5 on back centred on m bottom 1000", "m"),
        ("toe kick k width 600 height 100 thickness 18 of k", "k"),
        ("hinged door d width 300 height 500 thickness 18 of d hinge left", "d"),
    ],
)
def test_what_rests_on_itself_is_a_finding_of_its_own(line, name):
    report = report_of(COUNTER, line)
    assert piece(report, name).status == "not ready"
    assert any(name in one.pieces and one.severity == "stops" for one in report.findings)
    assert piece(report, "counter").status == "ready"
    assert any(step.pieces == ("counter",) for step in report.order)
