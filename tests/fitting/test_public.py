"""What `from fitting import ...` gives."""

import subprocess
import sys

import pytest

import fitting


def test_the_public_names_are_those_that_have_a_home():
    assert set(fitting.__all__) == set(fitting._MODULE)


@pytest.mark.parametrize("name", fitting.__all__)
def test_every_public_name_is_there(name):
    assert getattr(fitting, name) is not None


def test_an_unknown_name_is_refused():
    with pytest.raises(AttributeError, match="no public name `fit_sofa`"):
        _ = fitting.fit_sofa


def test_asking_for_the_room_does_not_load_shapely():
    asked = "import sys; from fitting import know_room; print('shapely' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
