"""How a piece gets in: each thing to get past, with a picture that moves or is stepped through."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from survey.app.page import Page, load_kv
from survey.app.pages.fit import BEING_WORKED_OUT
from survey.app.plain import Quiet, Row, Words
from survey.app.widgets import fit_parts as _fit_parts  # noqa: F401  the rules name them
from survey.app.widgets import moving_picture as _moving  # noqa: F401
from survey.app.widgets.bench_parts import SIGNS

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp
    from survey.app.motion import Motion
    from survey.report.structs import FitReport, PieceReport

SECONDS = 4.0
"""What a whole motion takes to be shown."""
STEPS = 12
"""Steps that a motion is looked at in by hand."""


class WayStep(Row):
    """One thing to get past: whether it goes, how it is carried, and what would help."""

    name = StringProperty()
    sign = StringProperty("fine")
    says = StringProperty()
    helps = StringProperty()
    is_chosen = BooleanProperty(False)


class WayInPage(Page):
    """Tells the way of the piece of name `piece`."""

    title = "How it gets in"
    place = "fit"
    course = ObjectProperty(None, allownone=True)
    seen = StringProperty()
    """From where the picture shows it."""
    moves = BooleanProperty(False)
    """Whether there is anything to be stepped through: a doorway is passed in one moment."""
    is_moving = BooleanProperty(False)

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Begin with nothing told."""
        super().__init__(app, **given)
        self._told: FitReport | None = None
        self._event: Any = None
        self._rows: list[tuple[WayStep, Motion | None]] = []

    def refresh(self) -> None:
        """Tell the way anew once the report is there."""
        report = self.app.report
        if report is None or not self.app.is_fresh:
            if self._told is None:
                self._say(BEING_WORKED_OUT)
            return
        if report is self._told:
            return
        self._told = report
        piece = next((one for one in report.pieces if one.name == self.given.get("piece")), None)
        if piece is None:
            self._say(f"There is no piece {self.given.get('piece', '')} any more.")
        else:
            self._tell(piece)

    def left(self) -> None:
        """Move nothing more."""
        self.stop()

    def _say(self, words: str) -> None:
        self.stop()
        self.course = None
        self._rows = []
        self.ids.steps.clear_widgets()
        self.ids.steps.add_widget(Words(text=words))

    def _tell(self, piece: PieceReport) -> None:
        from survey.app.fit_words import held, sentence
        from survey.app.motion import motions

        by_name = {one.name: one for one in motions(piece)}
        self._say(f"{piece.name}, from the van to its place")
        for step in piece.way:
            margin = f" {held(step.margin.text)} to spare." if step.margin and step.verdict == "goes" else ""
            says = sentence(step.says)
            if not step.says.startswith(step.verdict):
                head = sentence(", ".join(filter(None, (step.verdict, step.how))))
                says = f"{head}{margin}\n{says}".strip()
            row = WayStep(
                name=step.name,
                sign=SIGNS[step.verdict],
                says=says,
                helps=sentence(f"what would help: {'; or '.join(step.helps)}") if step.helps else "",
            )
            self._add(row, by_name.get(step.name))
        if piece.entry is not None:
            told = sentence(piece.entry.says)
            only = sentence(piece.entry.only) if piece.entry.only else ""
            row = WayStep(name="Into its place", sign="note", says="\n".join(filter(None, (told, only))))
            self._add(row, by_name.get("into its place"))
        if piece.lift is not None:
            self.ids.steps.add_widget(Quiet(text=sentence(f"to lift: {piece.lift.says}")))
        if not self._rows:
            self._say("Nothing to get past was put down. Add doors, corners and stairs under Pieces.")
        shown = [row for row, motion in self._rows if motion is not None]
        if shown:  # what does not go is looked at first
            self.choose(next((row for row in shown if row.sign in ("cross", "in doubt")), shown[0]))

    def _add(self, row: WayStep, motion: Motion | None) -> None:
        row.bind(on_release=self.choose)
        self._rows.append((row, motion))
        self.ids.steps.add_widget(row)

    def on_course(self, *_: object) -> None:
        """Say from where it is seen, and offer to move it where it moves."""
        course: Motion | None = self.course
        self.moves = course is not None and course.moments > 1
        if course is None:
            self.seen = ""
        elif course.view == "plan":
            self.seen = "Seen from above."
        else:
            self.seen = "Seen from the side." if self.moves else "Seen from in front, as it goes through."

    def choose(self, chosen: WayStep) -> None:
        """Show the motion of a step."""
        self.stop()
        for row, motion in self._rows:
            row.is_chosen = row is chosen
            if row is chosen:
                self.course = motion
        self.ids.picture.share = 0.0

    # Moving

    def turn_on(self) -> None:
        """Let it move, or stop it; at its end it begins anew."""
        if self._event is not None:
            self.stop()
            return
        picture = self.ids.picture
        if picture.share >= 1.0:
            picture.share = 0.0
        self._event = Clock.schedule_interval(self._move, 1 / 30)
        self.is_moving = True

    def stop(self) -> None:
        """Leave the picture where it is."""
        if self._event is not None:
            self._event.cancel()
        self._event, self.is_moving = None, False

    def step(self, by: int) -> None:
        """Step through the motion by hand."""
        self.stop()
        picture = self.ids.picture
        picture.share = min(max(round(picture.share * STEPS) + by, 0), STEPS) / STEPS

    def _move(self, seconds: float) -> None:
        picture = self.ids.picture
        picture.share = min(picture.share + seconds / SECONDS, 1.0)
        if picture.share >= 1.0:
            self.stop()


load_kv(__file__)
