"""How good readings are: parts of a length's error, graduations, figures for every instrument."""

from __future__ import annotations

import math
from typing import get_args

import pytest

from fitting.tables import LASER_LIMIT, LENGTH_LIMITS
from survey.observe.accuracy import (
    BETWEEN_MARKS,
    HOOK_SD,
    SAID_OF_START,
    START_SD,
    angle_sd,
    graduation,
    lean_angle_sd,
    length_accuracy,
    offset_sd,
)
from survey.records import TypedLength
from survey.records.readings import Instrument, Start

SIXTEENTH = 1.5875
FINE = 1e-9

# 2014/32/EU, Annex X (MI-008), worked out by hand in mm: between two marks, and from the tape's end.
DIRECTIVE = [
    (1, "I", 0.2, 0.3),
    (1, "II", 0.5, 0.7),
    (1, "III", 1.0, 1.3),
    (2, "I", 0.3, 0.4),
    (2, "II", 0.7, 0.9),
    (2, "III", 1.4, 1.7),
    (3, "I", 0.4, 0.5),
    (3, "II", 0.9, 1.1),
    (3, "III", 1.8, 2.1),
    (5, "I", 0.6, 0.7),
    (5, "II", 1.3, 1.5),
    (5, "III", 2.6, 2.9),
]


@pytest.mark.parametrize(("metres", "tape_class", "between_marks", "from_end"), DIRECTIVE)
def test_the_parts_of_a_tapes_error_make_up_the_directives_limit(metres, tape_class, between_marks, from_end):
    tape = length_accuracy("tape", "hook", FINE, tape_class)
    printed = math.sqrt(tape.own**2 - START_SD["hook"] ** 2)
    end = math.sqrt(tape.zero**2 - HOOK_SD**2)
    scale = tape.scale * 1000 * metres
    assert 2 * (printed + scale) == pytest.approx(between_marks)
    assert 2 * (printed + scale + end) == pytest.approx(from_end)


@pytest.mark.parametrize("start", sorted(BETWEEN_MARKS))
def test_a_tape_between_marks_has_no_zero_but_its_scale(start):
    tape = length_accuracy("tape", start, SIXTEENTH)
    assert (tape.name, tape.zero, tape.scale) == ("tape, between marks", 0.0, 0.0001)
    assert (tape.tool.name, tape.tool.zero_sd, tape.tool.scale_sd) == (tape.name, tape.zero, tape.scale)


def test_a_rule_is_class_one_and_has_no_hook_to_wear():
    rule = length_accuracy("steel rule", "butted", SIXTEENTH)
    assert (rule.name, rule.zero, rule.scale) == ("steel rule, butted", 0.05, 0.00005)


def test_half_of_a_lasers_variance_is_its_offset():
    laser = length_accuracy("laser", None, FINE)
    assert laser.own == pytest.approx(laser.zero)
    assert laser.total(5000.0) == pytest.approx(LASER_LIMIT.value / 2)
    assert laser.scale == 0.0


def test_lengths_that_start_otherwise_share_nothing():
    names = {length_accuracy("tape", start, SIXTEENTH).name for start in START_SD}
    assert len(names) == len(START_SD) - len(BETWEEN_MARKS) + 1


def test_the_parts_of_a_length_add_in_squares():
    tape = length_accuracy("tape", "hook", SIXTEENTH)
    own = 0.15**2 + 0.25**2 + SIXTEENTH**2 / 12
    assert tape.total(2000.0) == pytest.approx(math.sqrt(own + 0.1**2 + 0.2**2 + 0.2**2))


def test_every_instrument_has_figures_with_a_source_and_gives_a_length():
    tapes = {"tape", "steel rule", "laser"}
    assert set(get_args(Instrument)) - tapes == set(LENGTH_LIMITS)
    for instrument in get_args(Instrument):
        accuracy = length_accuracy(instrument, None, SIXTEENTH)
        assert 0.4 < accuracy.total(1500.0) < 6.0
        assert (accuracy.tool is not None) == (instrument in tapes)


def test_every_start_has_a_figure():
    assert set(START_SD) == {*get_args(Start), None}
    assert set(SAID_OF_START) < set(get_args(Start))


GRADUATIONS = {
    "whole number": ("60", "in", SIXTEENTH, SIXTEENTH),
    "coarser fraction": ("60 1/2", "in", SIXTEENTH, SIXTEENTH),
    "the job's own": ("60 3/16", "in", SIXTEENTH, SIXTEENTH),
    "finer fraction": ("60 3/32", "in", SIXTEENTH, SIXTEENTH / 2),
    "finer fraction that could be written coarser": ("60 2/32", "in", SIXTEENTH, SIXTEENTH / 2),
    "feet and inches": ("2' 10 5/32\"", "in", SIXTEENTH, SIXTEENTH / 2),
    "coarser vulgar fraction": ("60½", "in", SIXTEENTH, SIXTEENTH),
    "finer vulgar fraction": ("60 ⅛", "in", 12.7, 3.175),
    "decimal of an inch": ("0.71", "in", SIXTEENTH, 0.254),
    "decimal that is a coarse fraction": ("34.25", "in", SIXTEENTH, SIXTEENTH),
    "halves": ("309.5", "mm", 1.0, 0.5),
    "tenths": ("309.3", "mm", 1.0, 0.1),
    "decimal comma in cm": ("87,23 cm", "in", SIXTEENTH, 0.1),
    "coarser decimal": ("1.5 m", "mm", 1.0, 1.0),
    "millimetres in a job in inches": ("872 mm", "in", SIXTEENTH, SIXTEENTH),
}


@pytest.mark.parametrize(("text", "unit", "step", "expected"), GRADUATIONS.values(), ids=GRADUATIONS)
def test_a_length_was_read_to_what_was_typed_where_that_is_finer(text, unit, step, expected):
    assert graduation(TypedLength(text, unit), step) == pytest.approx(expected)


def test_a_phones_tilt_is_worse_than_a_levels():
    """Over 1 m: half of 0.5 and of 0.1 degrees, by the sine's small angle, and the touch of 0.3 mm."""
    assert lean_angle_sd(1000.0, "phone level") == pytest.approx(math.hypot(4.363, 0.3), abs=0.001)
    assert lean_angle_sd(1000.0, "digital level") == pytest.approx(math.hypot(0.873, 0.3), abs=0.001)
    assert offset_sd(1000.0, "phone level", FINE) == pytest.approx(math.hypot(4.363, 0.3), abs=0.001)
    assert angle_sd("phone level") > angle_sd("angle gauge")
