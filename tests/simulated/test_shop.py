"""A virtual shop's jobs as installed: its hands are seen in its figure, and usual hands are not accused."""

import pytest

from simulated.hand import Skill
from simulated.shop import FIRST, job_of
from survey.installed import learned

JOBS = range(FIRST - 1000, FIRST - 988)
"""Twelve sites, none of them among those that the study prints."""


@pytest.fixture(scope="module")
def figures():
    return {times: learned([job_of(seed, Skill(times)) for seed in JOBS]) for times in (1.0, 3.0)}


def test_usual_hands_are_not_accused(figures):
    usual = figures[1.0]
    assert (usual.jobs, usual.verdict, usual.slips) == (12, "as usual", ())
    assert usual.low < 1.0 < usual.high


def test_hands_three_times_as_unsure_are_seen(figures):
    """Only a part of what is not known comes from the hands; the rest is wall that nobody read."""
    assert 1.2 < figures[3.0].factor / figures[1.0].factor < 3.0
