"""Long checks are condensed with their error: nothing is lost but what no neighbour needs."""

import math
import time

import numpy as np
import pytest
from thorough import many

from fitting.site import know_room
from survey.dictation import dictate
from survey.findings import fit
from survey.observe import observe
from survey.observe.condense import MOST_STATIONS, condensed
from survey.records import Survey

PLACE = ['job "Long" in mm to 0.5 mm level line 1000', "room r back back old", "wall back", "mark m on back"]


def surveyed(places: np.ndarray, gaps: np.ndarray) -> Survey:
    said = ", ".join(f"{at:.1f} {gap:.1f}" for at, gap in zip(places, gaps, strict=True))
    return Survey(dictate([*PLACE, f"straightedge back up 900 from m: {said} with straightedge"], Survey([])))


def test_means_keep_their_places_and_get_surer_down_to_what_neighbours_share():
    places = np.linspace(0.0, 2999.0, 6000)
    taken = condensed(tuple(places), tuple(0.001 * places), 0.3, 0.4)
    assert len(taken) == MOST_STATIONS
    assert sum(one.count for one in taken) == 6000
    assert [one.gap for one in taken] == pytest.approx([0.001 * one.at for one in taken])
    assert [one.sd for one in taken] == pytest.approx(
        [math.hypot(0.3, 0.4 / math.sqrt(n.count)) for n in taken]
    )


def test_stations_in_any_order_and_twice_at_one_place():
    at = (*range(0, 1000, 10), *range(990, -10, -10))
    taken = condensed(at, tuple(float(one) for one in at), 0.3, 0.4)
    assert all(one.gap == pytest.approx(one.at) for one in taken)
    assert sum(one.count for one in taken) == 200


def test_all_at_one_place_are_one_reading():
    (only,) = condensed((500.0,) * 100, (2.0,) * 50 + (3.0,) * 50, 0.3, 0.4)
    assert (only.at, only.gap, only.count) == (500.0, 2.5, 100)


def test_a_wall_comes_out_as_from_all_its_stations():
    random = np.random.default_rng(3)
    places = np.linspace(50.0, 1950.0, 241)
    wall = 3.0 * np.sin(places / 300.0)
    survey = surveyed(places, 10.0 - wall + random.normal(0.0, 0.2, places.size))
    observed = observe(survey)
    (reading,) = observed.readings
    assert len(reading.read) == MOST_STATIONS
    assert observed.what[reading.key].at[5].endswith(("the mean of 4", "the mean of 5"))
    room = know_room(observed.plan, observed.readings, observed.prior)
    here = room.expect(lambda scene: [scene.depth("back", at, 900.0, True) for at in places[::12]])
    straight = np.polyfit(places[::12], here - wall[::12], 1)
    off = here - wall[::12] - np.polyval(straight, places[::12])
    assert np.abs(off).max() < 0.4


def test_a_hundred_thousand_stations_are_one_check():
    count = many(30_000, 100_000)
    places = np.linspace(0.0, 3000.0, count)
    began = time.perf_counter()
    report = fit(surveyed(places, np.full(count, 5.0)))
    assert time.perf_counter() - began < 120.0  # a hang, not a speed: see tests/benchmarks
    assert 205 not in [one.number for one in report.findings]
