"""The place: which walls there are, chosen by picture; what they are made of; the level line."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import msgspec
from kivy.clock import Clock
from kivy.graphics import Color, Line
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.place_setup import (
    FRAMINGS,
    SHAPES,
    PlaceSetup,
    WallAsked,
    changes,
    new_place,
    place_setup,
)
from survey.app.plain import Pressable
from survey.app.typed import typeset
from survey.app.widgets.form import FormRow
from survey.app.widgets.number_sheet import ask_length
from survey.app.widgets.sheet import ask_words, choose
from survey.errors import SurveyError

DRAFT = "place"
AGES = {"old": "Old house", "new": "New house"}
CORNERS: dict[str, tuple[tuple[float, float], ...]] = {
    "wall": ((0.06, 0.66), (0.94, 0.66)),
    "left corner": ((0.16, 0.1), (0.16, 0.76), (0.94, 0.76)),
    "right corner": ((0.06, 0.76), (0.84, 0.76), (0.84, 0.1)),
    "alcove": ((0.16, 0.1), (0.16, 0.76), (0.84, 0.76), (0.84, 0.1)),
    "room": ((0.14, 0.14), (0.14, 0.84), (0.86, 0.84), (0.86, 0.14), (0.14, 0.14)),
}
"""Each kind of place from above, the back wall on top; walls from left to right, facing them."""
HATCHES = 9
"""Strokes behind a wall as long as the picture."""


class PlaceSign(Widget):
    """The walls of a kind of place from above, hatched behind."""

    shape = StringProperty("wall")

    def __init__(self, **given: Any) -> None:
        """Draw again when anything changes."""
        super().__init__(**given)
        self._again = Clock.create_trigger(self._draw)
        self.bind(pos=self._again, size=self._again, shape=self._again)
        look.bind(ink=self._worn)
        self._again()

    def _worn(self, *_: object) -> None:
        """Draw in the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def _draw(self, *_: object) -> None:
        side = min(self.width, self.height)
        left, bottom = self.center_x - side / 2, self.center_y - side / 2
        points = [(left + x * side, bottom + y * side) for x, y in CORNERS[self.shape]]
        self.canvas.clear()
        with self.canvas:
            Color(*look.pencil)
            for start, end in pairwise(points):
                _hatch(start, end, side / HATCHES)
            Color(*look.ink)
            Line(points=[each for point in points for each in point], width=dp(1.6), joint="round")


def _hatch(start: tuple[float, float], end: tuple[float, float], apart: float) -> None:
    """Draw strokes behind a wall: on its left, going from its left end to its right end."""
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    for number in range(int(length / apart)):
        gone = (number + 0.25) * apart
        x, y = start[0] + gone * along[0], start[1] + gone * along[1]
        reach = 0.7 * apart
        Line(
            points=[x, y, x + reach * (along[0] - along[1]), y + reach * (along[1] + along[0])], width=dp(0.6)
        )


class ShapeKey(Pressable, BoxLayout):
    """A kind of place to choose: its picture and its words."""

    shape = StringProperty("wall")
    words = StringProperty()
    is_chosen = BooleanProperty(False)
    words_height = NumericProperty(0)


class PlacePage(Page):
    """Sets the place up, and changes it later; what is half said is kept as a draft."""

    title = "The place"
    place = "measure"

    def shown(self) -> None:
        """Go on with what was half said, or with the place as it is."""
        drafted = self.app.desk.drafted(DRAFT).get("setup")
        self.setup: PlaceSetup | None = None
        self._known = place_setup(self.app.visit.survey) if self.app.visit is not None else None
        if drafted:
            try:
                self.setup = msgspec.json.decode(drafted, type=PlaceSetup)
            except msgspec.MsgspecError:
                self.setup = None
        self.setup = self.setup or self._known
        self._lay_out()

    def keep(self) -> None:
        """Put the place down, as one act."""
        visit = self.app.visit
        if visit is None or self.setup is None:
            return
        try:
            records = changes(visit.survey, self.setup, visit.stamp)
            if records:
                visit.put(*records)
        except SurveyError as error:
            self.refuse(str(error))
            return
        self.app.desk.draft(DRAFT, {})
        self.app.go_to_place("measure")
        if records:
            self.app.tell("The place is kept.", undoes=True)

    def refuse(self, reason: str) -> None:
        """Say in place why it cannot be kept."""
        self.ids.reason.text = reason[:1].upper() + reason[1:] + "."

    def choose_shape(self, shape: Any) -> None:
        """Take a kind of place; what was said of its walls stays."""
        line = self._level_line()
        self._say(self.setup.shaped(shape) if self.setup is not None else new_place(shape, line))

    def change_wall(self, wall: WallAsked) -> None:
        """Ask what is to be said of a wall."""
        options = [(str(framing), _framing_words(framing)) for framing in FRAMINGS]
        options += [("spacing", "How far its studs are apart"), ("name", "Call it something else")]
        choose(
            f"Wall {wall.name}: what is it made of?",
            options,
            lambda what: self._ask(wall, what),
            wall.framing,
        )

    def change_age(self) -> None:
        """Ask how old the house is: old walls are expected to be twice as far out."""
        choose(
            "How old is the house?", list(AGES.items()), lambda age: self._with(age=age), self._setup().age
        )

    def change_level_line(self) -> None:
        """Ask how high the marked level line is."""
        ask_length(
            self.app,
            "Level line, above the floor",
            lambda text: self._with(level_line=text),
            self._setup().level_line,
            hint="From the place on the floor that you call 0 up to the line. All heights count from there.",
        )

    def _ask(self, wall: WallAsked, what: str) -> None:
        def say(**said: str) -> None:
            self._say(self._setup().with_wall(wall.usual, **said))

        if what == "name":
            hint = "One word, as you would call it: window, shower, left"
            ask_words(f"Wall {wall.name}", lambda name: say(name="-".join(name.split())), wall.name, hint)
        elif what == "spacing":
            hint = "From middle to middle, about. It is not trusted: prove each stud."
            ask_length(self.app, "Studs every", lambda text: say(spacing=text), wall.spacing, hint=hint)
        else:
            say(framing=what)

    def _setup(self) -> PlaceSetup:
        assert self.setup is not None
        return self.setup

    def _level_line(self) -> str:
        job = self.app.visit.survey.job if self.app.visit is not None else None
        return job.level_line.text if job is not None and job.level_line is not None else ""

    def _with(self, **said: Any) -> None:
        self._say(msgspec.structs.replace(self._setup(), **said))

    def _say(self, setup: PlaceSetup) -> None:
        self.setup = setup
        self.app.desk.draft(DRAFT, {"setup": msgspec.json.encode(setup).decode()})
        self._lay_out()

    def _lay_out(self) -> None:
        setup, ids = self.setup, self.ids
        ids.reason.text = ""
        ids.shapes.clear_widgets()
        if setup is None or setup.shape is not None:
            for shape, words in SHAPES.items():
                is_chosen = setup is not None and setup.shape == shape
                key = ShapeKey(shape=shape, words=words, is_chosen=is_chosen)
                key.bind(on_release=lambda pressed: self.choose_shape(pressed.shape))
                key.ids.name.bind(texture_size=self._level_keys)
                ids.shapes.add_widget(key)
        ids.rows.clear_widgets()
        for row in self._rows() if setup is not None else ():
            ids.rows.add_widget(row)
        ids.keep.text = "" if setup is None else "Keep and go on" if self._known is None else "Keep"
        ids.lead.text = "Which walls does the work go between?" if setup is None else ""

    def _level_keys(self, *_: object) -> None:
        """Make all kinds as high as the one whose words take most lines."""
        keys = self.ids.shapes.children
        highest = max((key.ids.name.texture_size[1] for key in keys), default=0)
        for key in keys:
            key.words_height = highest

    def _rows(self) -> list[FormRow]:
        setup = self._setup()
        unit = self.app.visit.unit if self.app.visit is not None else "in"
        rows = [
            self._row(f"Wall {wall.name}", _wall_words(wall, unit), self.change_wall, wall)
            for wall in setup.walls
        ]
        line = f"{typeset(setup.level_line, unit)} above the floor" if setup.level_line else ""
        hint = "Heights count from the line itself"
        return [
            *rows,
            self._row("The house", AGES[setup.age], self.change_age),
            self._row("Level line", line, self.change_level_line, hint=hint),
        ]

    def _row(self, words: str, answer: str, act: Any, *given: Any, hint: str = "") -> FormRow:
        row = FormRow(words=words, answer=answer, hint=hint)
        row.bind(on_release=lambda _: act(*given))
        return row


def _framing_words(framing: str) -> str:
    return "Not known yet" if framing == "unknown" else framing.capitalize()


def _wall_words(wall: WallAsked, unit: str) -> str:
    spacing = f", every {typeset(wall.spacing, unit)}" if wall.spacing else ""
    return f"{_framing_words(wall.framing)}{spacing}"


load_kv(__file__)
