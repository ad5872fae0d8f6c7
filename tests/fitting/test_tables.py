"""Published values: tape limits of 2014/32/EU, Annex X (MI-008)."""

from __future__ import annotations

import pytest

from fitting.errors import BadInput
from fitting.tables import DIGITAL_LEVEL_LIMIT, LASER_LIMIT, SPIRIT_LEVEL_LIMIT, TAPE_CLASSES, tape_error

# Worked out by hand from the directive's formula: mm without and with c, for classes I, II, III.
BY_HAND = [
    (1000, "I", 0.2, 0.3),
    (1000, "II", 0.5, 0.7),
    (1000, "III", 1.0, 1.3),
    (1500, "I", 0.3, 0.4),
    (1500, "II", 0.7, 0.9),
    (1500, "III", 1.4, 1.7),
    (2000, "I", 0.3, 0.4),
    (2000, "II", 0.7, 0.9),
    (2000, "III", 1.4, 1.7),
    (3000, "I", 0.4, 0.5),
    (3000, "II", 0.9, 1.1),
    (3000, "III", 1.8, 2.1),
    (5000, "I", 0.6, 0.7),
    (5000, "II", 1.3, 1.5),
    (5000, "III", 2.6, 2.9),
]


@pytest.mark.parametrize(("length", "tape_class", "between_marks", "from_hook"), BY_HAND)
def test_tape_limits_are_those_of_the_directive(length, tape_class, between_marks, from_hook):
    assert tape_error(length, tape_class) == pytest.approx(between_marks, abs=1e-12)
    assert tape_error(length, tape_class, from_hook=True) == pytest.approx(from_hook, abs=1e-12)


def test_length_is_rounded_up_to_the_next_whole_metre():
    assert tape_error(2000.0) == pytest.approx(0.7)
    assert tape_error(2000.1) == pytest.approx(0.9)
    assert tape_error(0.0) == pytest.approx(0.3)


@pytest.mark.parametrize("length", [-1.0, float("nan"), float("inf")])
def test_a_length_that_is_none_is_refused(length):
    with pytest.raises(BadInput, match="expected a length of zero or more mm"):
        tape_error(length)


def test_an_unknown_class_is_refused():
    with pytest.raises(BadInput, match="expected tape class I, II or III, got 'IV'"):
        tape_error(1000.0, "IV")  # type: ignore[arg-type]


def test_every_row_names_its_source():
    rows = [*TAPE_CLASSES.values(), LASER_LIMIT, SPIRIT_LEVEL_LIMIT, DIGITAL_LEVEL_LIMIT]
    assert all("2014/32/EU" in row.source or row.source.startswith("from memory") for row in rows)
