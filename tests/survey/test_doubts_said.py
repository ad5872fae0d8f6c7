"""Of many readings of which one is wrong, the likeliest are said in words, and the rest by number."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from survey.doubts import Judged, findings_of
from survey.quantity import read_step
from survey.report.structs import SuspectReport


@pytest.mark.parametrize(
    ("count", "named", "end"), [(2, 2, "one 1 "), (5, 5, "one 4 "), (12, 4, "and 8 more")]
)
def test_a_long_group_names_its_likeliest_four(count, named, end):
    ids, what = tuple(f"{each:032x}" for each in range(count)), tuple(f"one {each}" for each in range(count))
    doubts = SimpleNamespace(misfit=SimpleNamespace(fails=False))
    judged = Judged((SuspectReport(ids, what, (3.0,) * count, "mm", ()),), (), doubts)
    context = SimpleNamespace(printer=SimpleNamespace(step=read_step("1 mm")))
    (said,) = findings_of(judged, context, ())
    assert said.says.count("looks 3 mm too large") == named
    assert said.says.split("; ")[-1].startswith(end)
    assert said.records == ids
