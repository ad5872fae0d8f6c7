"""Weights by hand, and the revised NIOSH lifting equation worked out by hand (its constants from memory)."""

import math

import pytest

from fitting.errors import BadInput
from fitting.getting_in.weight import DENSITY, lift, limit_alone, weigh


def test_weights_add_up():
    """Granite 2000 x 600 x 30 = 0.036 m3 at 2700: 97.2 kg; MDF 1 m2 x 18 mm at 750: 13.5 (from memory)."""
    assert weigh([("granite", 2000 * 600 * 30)]) == pytest.approx(97.2)
    assert weigh([("granite", 2000 * 600 * 30), ("mdf", 1000 * 1000 * 18)]) == pytest.approx(110.7)
    assert weigh([]) == 0


def test_wood_is_heavier_with_its_water():
    """Red oak 0.67 oven-dry (NDS Table 12.3.3A), 8 % moisture: 723.6 kg/m3."""
    assert DENSITY["red oak"] == pytest.approx(723.6)


@pytest.mark.parametrize(
    ("given", "limit"),
    [
        ({}, 23.0),
        ({"reach": 500}, 11.5),
        ({"start": 0}, 23 * 0.775),
        ({"travel": 900}, 23 * (0.82 + 4.5 / 90)),
        ({"turn": math.pi / 2}, 23 * 0.712),
        ({"reach": 640}, 0.0),
        ({"start": 1760}, 0.0),
        ({"turn": math.radians(136)}, 0.0),
    ],
)
def test_what_one_person_lifts(given, limit):
    assert limit_alone(**given) == pytest.approx(limit)


@pytest.mark.parametrize(
    ("kilograms", "people"), [(23, 1), (23.1, 2), (46, 2), (46.1, 3), (69, 3), (69.1, None)]
)
def test_people(kilograms, people):
    assert lift(kilograms).people == people
    assert lift(kilograms / 2, limit=11.5).people == people


def test_what_hangs_wants_a_ledger():
    assert lift(5, hung=True).ledger
    assert not lift(50).ledger


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (lambda: weigh([("unobtainium", 1.0)]), "expected one of .*granite.*, got `unobtainium`"),
        (lambda: weigh([("mdf", -1.0)]), "mdf: expected a volume"),
        (lambda: limit_alone(reach=math.nan), "reach"),
        (lambda: lift(-1), "weight: expected 0 kg"),
    ],
)
def test_what_cannot_be_is_refused(call, expected):
    with pytest.raises(BadInput, match=expected):
        call()
