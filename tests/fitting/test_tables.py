"""Published values: tape limits of 2014/32/EU, Annex X (MI-008)."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitting.errors import BadInput
from fitting.tables import (
    ANGLE_GAUGE_LIMIT,
    DIGITAL_LEVEL_LIMIT,
    LASER_LIMIT,
    LENGTH_LIMITS,
    NIST_TAPES,
    PHONE_LEVEL_LIMIT,
    PLYWOOD,
    SPIRIT_LEVEL_LIMIT,
    SQUARE_LIMIT,
    TAPE_CLASSES,
    nist_tape_error,
    plywood_thickness,
    tape_error,
)

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
    levels = [SPIRIT_LEVEL_LIMIT, DIGITAL_LEVEL_LIMIT, PHONE_LEVEL_LIMIT, ANGLE_GAUGE_LIMIT, SQUARE_LIMIT]
    rows = [*TAPE_CLASSES.values(), LASER_LIMIT, *levels, *LENGTH_LIMITS.values()]
    named = ("Directive 2014/32/EU", "from memory", "assumption", "common practice, no source")
    assert all(row.source.startswith(named) for row in rows)


# NIST Handbook 44, 5.52, metal tapes, as quoted: 6 ft or less 1/32 in; 7 to 30 ft 1/16; 31 to 55 ft 1/8;
# 56 to 80 ft 3/16; 81 to 100 ft 1/4.
@pytest.mark.parametrize(
    ("feet", "sixty_fourths"),
    [(0, 2), (6, 2), (7, 4), (30, 4), (31, 8), (55, 8), (56, 12), (80, 12), (81, 16), (100, 16)],
)
def test_tape_limits_are_those_of_the_handbook(feet, sixty_fourths):
    assert nist_tape_error(12.0 * feet) == sixty_fourths / 64


@pytest.mark.parametrize("length", [-1.0, 1200.1, float("nan"), float("inf")])
def test_a_length_outside_the_handbooks_table_is_refused(length):
    with pytest.raises(BadInput, match="expected a length of 0 to 1200 in"):
        nist_tape_error(length)


def test_the_handbooks_tolerances_grow():
    assert all(a.to_in < b.to_in and a.error_in < b.error_in for a, b in pairwise(NIST_TAPES))


# PS 1, unsanded, in inches: as quoted on a plywood association's page on performance categories; the
# tolerance is 1/32 in up to 13/16: least and most are the nominal size less and plus that.
@pytest.mark.parametrize("nominal", list(PLYWOOD))
def test_plywood_may_miss_its_nominal_thickness_by_a_thirty_second(nominal):
    over, under = map(int, nominal.split("/"))
    row = plywood_thickness(25.4 * over / under)
    assert row == PLYWOOD[nominal]
    assert (row.least, row.most) == pytest.approx((over / under - 1 / 32, over / under + 1 / 32), abs=6e-4)
    assert row.least < row.label < row.most


@pytest.mark.parametrize("nominal", [18.0, 25.4, 0.0])
def test_what_is_off_the_table_has_no_published_thickness(nominal):
    assert plywood_thickness(nominal) is None
