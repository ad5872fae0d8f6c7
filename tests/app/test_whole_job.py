"""Whole jobs by touches and keys only, from a blank one to the files for the shop; the command reads them.

What the tape reads is what a simulated fitter reads in a room that is known exactly.
"""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import msgspec
import numpy as np
import pytest
from click.testing import CliRunner
from filled import true_alcove
from gallery import settle
from pilot import Pilot
from simulated.fitter import read
from simulated.site import Site, plain_site

from survey.app.blanks import blanks
from survey.app.main import ScribefitApp
from survey.app.plain import Field, Key
from survey.app.typed import typeset
from survey.app.widgets.pad import PadButton
from survey.app.widgets.picture import Picture
from survey.cli import main as command
from survey.quantity import read_length
from survey.records import Position, Reading
from survey.report.structs import FitReport

TAPS_PER_NUMBER = 2


@pytest.fixture(autouse=True)
def _patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """A job's report is asked for when a test wants it: it is worked out after every reading otherwise."""
    monkeypatch.setattr("survey.app.main.CALM_AFTER", 3600.0)


def begin(pilot: Pilot, title: str, unit: str, level_line: str, shape: str) -> None:
    """Make a job and set up its place."""
    pilot.tap("New job")
    pilot.tap(pilot.all(Field)[0])
    pilot.type(title)
    pilot.tap(unit)
    pilot.tap("Height of the marked level line")
    pilot.type(f"{level_line}\n")
    pilot.tap("Begin")
    pilot.tap(shape)
    pilot.tap("Keep and go on")


class Fitter:
    """Reads what the app asks for in a room that is known exactly, and types it on the pad."""

    def __init__(self, pilot: Pilot, site: Site, positions: dict[str, str]) -> None:
        """Begin; `positions` say what is read of a feature's position, by the words of the blank."""
        self.pilot = pilot
        self.site = site
        self.positions = positions
        self.rng = np.random.default_rng(5)
        self.numbers = 0
        self.digits = 0

    def read_all(self) -> None:
        """Take every reading that comes up, until the walk is done."""
        pilot = self.pilot
        pilot.tap("Measure")
        pilot.tap("Read next")
        while "done" not in pilot.app.desk.kept.trail[-1].given:
            page = pilot.app.shell.page
            values = self._values(page.taking.reading)
            for blank in page.taking.blanks:
                self._type(values[blank.field])
                self._press(page.ids.pad.main)
                self.numbers += 1

    def _values(self, asked: Reading) -> dict[str, str]:
        if isinstance(asked, Position):
            return {blank.field: self.positions.get(blank.field, blank.usual) for blank in blanks(asked)}
        return {blank.field: blank.usual for blank in blanks(read(asked, self.site, self.rng))}

    def _type(self, text: str) -> None:
        """Type a value, with a fraction to a sixteenth by its key, or by the next below it and one more."""
        unit = self.pilot.app.visit.unit
        if text.startswith("-"):
            self._press("−")
        if unit == "mm":
            self.digits += len(text.lstrip("-"))
            for letter in text.lstrip("-"):
                self._press(letter)
            return
        sixteenths = round(abs(read_length(text, "in").mm) / Fraction(254, 160))
        whole, part = divmod(sixteenths, 16)
        for digit in str(whole) if whole or not part else "":
            self._press(digit)
            self.digits += 1
        if part:
            self.digits += 1
            if part > 1:
                self._press(str(Fraction(part - part % 2, 16)).replace("/", "⁄"))
            if part % 2:
                self._press("+1⁄16")

    def _press(self, words: str) -> None:
        key = next(one for one in self.pilot.all(PadButton) if one.text == words)
        self.pilot.touch(*key.to_window(*key.center))


def hand_over(pilot: Pilot, home: Path) -> tuple[str, Path]:
    """Go by way of the fit to the folder for the shop; return what the Fit page says, and the folder."""
    pilot.app._ask()
    pilot.answered()
    pilot.tap("See how it fits")
    settle(pilot)
    shown = pilot.text().replace("\xa0", " ")
    pilot.tap("Hand over")
    settle(pilot)
    pilot.tap(pilot.find("Hand over", Key))
    settle(pilot)
    (folder,) = (home / "handed over").iterdir()
    return shown, folder


def by_command(folder: Path, to: Path) -> FitReport:
    """Let the command hand over the survey file too, hold its files to the app's; return its report."""
    (survey,) = folder.glob("*.survey")
    ran = CliRunner().invoke(command, ["handover", str(survey), "--to", str(to)])
    assert ran.exit_code == 0, ran.output
    made = {path.name for path in folder.iterdir()} - {survey.name}
    assert made == {path.name for path in to.iterdir()}
    for name in made:
        # The app's manifest lists the survey file, too, that goes with its papers.
        if name != "manifest.json":
            assert (folder / name).read_bytes() == (to / name).read_bytes(), name
    (written,) = to.glob("fit-report_r*.json")
    return msgspec.json.decode(written.read_bytes(), type=FitReport)


def assert_shown(shown: str, report: FitReport) -> None:
    """Hold the Fit page to the command's report: every piece is ready, its first sizes are these."""
    assert report.findings == ()
    for piece in report.pieces:
        assert piece.status == "ready"
        assert piece.name in shown
        for size in piece.finished[:2]:
            assert typeset(*size.size.text.rsplit(" ", 1)).replace("\xa0", " ") in shown


def test_an_alcove_in_inches(tmp_path: Path) -> None:
    with Pilot(ScribefitApp(home=tmp_path)) as pilot:
        begin(pilot, "Alcove vanity", "Inches", "40", "Alcove")
        pilot.tap("Pieces")
        pilot.tap("Add a piece")
        pilot.tap("Cabinet")
        pilot.tap("Width")
        pilot.type("\b\b46\n")
        pilot.tap("Filler strip, left of vanity")
        pilot.tap("Filler strip, right of vanity")
        pilot.tap("Top on vanity")
        before = pilot.taps
        fitter = Fitter(pilot, replace(true_alcove(), level_line=40 * 25.4), {})
        fitter.read_all()
        taps = pilot.taps - before
        print(f"{taps} taps for {fitter.numbers} numbers of {fitter.digits} digits")
        assert fitter.numbers > 40
        assert taps - fitter.digits <= TAPS_PER_NUMBER * fitter.numbers
        shown, folder = hand_over(pilot, tmp_path)
    report = by_command(folder, tmp_path / "by command")
    assert [piece.name for piece in report.pieces] == ["vanity", "left-filler", "right-filler", "counter"]
    assert_shown(shown, report)


def test_a_corner_with_a_casing_in_millimetres(tmp_path: Path) -> None:
    site = plain_site(1600.0, 900.0, None, (math.radians(0.8), 0.0), (-0.003, 0.002, 0.0))
    with Pilot(ScribefitApp(home=tmp_path)) as pilot:
        begin(pilot, "Corner", "Millimetres", "1000", "Left corner")
        settle(pilot)
        pilot.tap("Wall back")
        settle(pilot)
        pilot.tap("left")
        settle(pilot)
        pilot.tap("Add something")
        picture = pilot.all(Picture)[0]
        pilot.touch(*picture.to_window(*picture.center))
        pilot.tap("Casing")
        pilot.type("480")
        pilot.tap("Next")
        pilot.type("850")
        pilot.tap("Save")
        for words, text in (("Width", "60"), ("How far it stands out", "18")):
            pilot.tap(words)
            pilot.type(f"{text}\n")
        pilot.tap("Runs from there")
        pilot.tap("Left")
        pilot.tap("Pieces")
        pilot.tap("Add a piece")
        pilot.tap("Top")
        Fitter(pilot, site, {"along": "480"}).read_all()
        shown, folder = hand_over(pilot, tmp_path)
    report = by_command(folder, tmp_path / "by command")
    assert_shown(shown, report)
    ((notch,),) = [piece.notches for piece in report.pieces]
    assert notch.around == "casing"
