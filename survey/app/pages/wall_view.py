"""One wall from the front: what is on it, and where a new thing is put down by a tap."""

from __future__ import annotations

from typing import Any, Final

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.beside import beside
from survey.app.look import look
from survey.app.new_feature import ON_WALL, SORTS, made, name_for, places_to_read
from survey.app.page import Page, load_kv
from survey.app.plain import Key, Pressable
from survey.app.widgets import key_grid as _key_grid  # noqa: F401  the rules name it
from survey.app.widgets.picture import Picture
from survey.app.widgets.sheet import choose
from survey.drawing.laid_out import LaidOut
from survey.errors import SurveyError
from survey.records import Corner, Feature, Mark, Piece, Reading, Survey, Wall
from survey.report.structs import FitReport
from survey.walk import place_of, what_is_read

SCALES: Final = (4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200)
"""Finer than ISO 5455, for larger pictures: nobody measures on them."""
LETTER_MM: Final = 0.2
"""Pixels per paper mm, in heights of the page's letters: numbers of the picture are about as large."""
AROUND: Final = 30.0
"""Paper mm that numbers and words beside a wall take, about."""
FILLED: Final = 0.55
"""Of the place for the picture, along or up, that the wall itself has at least."""
LARGE: Final = (2000.0, 2000.0)
"""Paper mm: a sheet that nothing is too large for; the picture is shown as large as there is room."""
MARGIN: Final = 1.5
"""Around all that is drawn, paper mm."""


class WallPicture(Picture):
    """The wall; while `is_placing`, a tap is a place and not a thing."""

    is_placing = BooleanProperty(False)

    __events__ = ("on_place",)

    def on_place(self, right: float, up: float) -> None:
        """Nothing; the page binds it. Millimetres of the wall's elevation."""

    def on_touch_up(self, touch: Any) -> bool:
        """Tell a place, or what is there."""
        if touch.grab_current is not self or not self.is_placing:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        self._touches = [one for one in self._touches if one is not touch]
        moved = abs(touch.ox - touch.x) + abs(touch.oy - touch.y)
        if moved < dp(14) and not self._touches:
            (x, y), picture = self.to_paper(*touch.pos), self.laid_out
            self.dispatch(
                "on_place", (x - picture.origin[0]) * picture.one_to, (y - picture.origin[1]) * picture.one_to
            )
        return True


class TurnKey(Pressable, BoxLayout):
    """Leads to the wall beside this one; gone where there is none."""

    sign = StringProperty("back")
    words = StringProperty()


class WallViewPage(Page):
    """Given `wall`: its name. Without one, the back wall."""

    title = StringProperty("Wall")
    place = "measure"
    wall = StringProperty()
    to_left = StringProperty()
    to_right = StringProperty()
    told = StringProperty()
    open_count = NumericProperty(0)
    is_placing = BooleanProperty(False)
    is_wide = BooleanProperty(False)

    def shown(self) -> None:
        """Choose the wall and draw it."""
        self._drawn_for: object = None
        self._open: tuple[str, ...] = ()
        self._found: Any = None
        self._open_key = Key(on_release=lambda _: self.measure_open())
        self._soon = Clock.create_trigger(self._draw, 0.05)
        picture = self.ids.picture
        picture.bind(size=self._soon, on_pick=lambda _, record: self.pick(record))
        picture.bind(on_place=lambda _, right, up: self.put_at(right, up))
        for key, way in ((self.ids.left, "to_left"), (self.ids.right, "to_right")):
            key.bind(on_release=lambda _, way=way: self.turn_to(getattr(self, way)))
        self.bind(size=self._turn)
        self._turn()
        self.refresh()

    def left(self) -> None:
        """Draw nothing more."""
        self._soon.cancel()

    def refresh(self) -> None:
        """Say which wall this is and draw it again where anything changed."""
        survey = self._survey
        walls = [one.name for one in survey.of(Wall)]
        self.wall = self.given.get("wall", "") or self._back_wall(survey)
        self.title = f"Wall {self.wall}" if self.wall else "Wall"
        if self.wall not in walls:
            self.told = "There is no wall yet: say what kind of place it is first."
            return
        self.to_left = next((c.left_wall for c in survey.of(Corner) if c.right_wall == self.wall), "")
        self.to_right = next((c.right_wall for c in survey.of(Corner) if c.left_wall == self.wall), "")
        self._soon()

    def back(self) -> bool:
        """Leave off placing something."""
        was_placing, self.is_placing = self.is_placing, False
        self._say()
        return was_placing

    # What the keys do

    def add_here(self) -> None:
        """Let the next tap on the picture be the place of something new; again: leave off."""
        self.is_placing = not self.is_placing
        self.ids.picture.whole()
        self._say()

    def put_at(self, right: float, up: float) -> None:
        """Ask what is at a place of the elevation (mm), put it down, and measure it."""
        options = [(sort.key, sort.words) for sort in ON_WALL]
        choose("What is there?", options, lambda key: self._put(key, right, up))

    def measure_open(self) -> None:
        """Choose what has no place yet, and measure it."""
        options = [(point, _said(point)) for point in self._open]
        choose("Not measured yet", options, lambda point: self.app.go("entry", **self._asks(point)))

    def turn_to(self, wall: str) -> None:
        """Face the next wall."""
        if wall:
            self.app.swap("wall_view", wall=wall)

    def all_things(self) -> None:
        """Go to the list of all things."""
        self.app.go("feature", wall=self.wall)

    def notes(self) -> None:
        """Go to the wall's notes and photos."""
        self.app.go("remarks", about=self.wall)

    def pick(self, record_id: str) -> None:
        """Go to what was tapped."""
        assert self.app.visit is not None
        record = self.app.visit.standing(record_id)
        if isinstance(record, (Feature, Mark)):
            self.app.go("feature", record=record.id)
        elif isinstance(record, Piece):
            self.app.go("piece", record=record.id)
        elif isinstance(record, Reading):
            reading: Reading = record
            options = [("repeat", "Read it again"), ("correct", "Correct it")]
            choose(
                what_is_read(reading) or "A reading",
                options,
                lambda how: self.app.go("entry", record=reading.id, how=how),
            )

    # Within

    @property
    def _survey(self) -> Survey:
        assert self.app.visit is not None
        return self.app.visit.survey

    def _back_wall(self, survey: Survey) -> str:
        try:
            return place_of(survey).back
        except SurveyError:
            return next((one.name for one in survey.of(Wall)), "")

    def _put(self, key: str, right: float, up: float) -> None:
        assert self.app.visit is not None
        visit, sort = self.app.visit, SORTS[key]
        answers = {"name": name_for(sort, visit.survey), "wall": self.wall}
        if sort.type:
            answers["type"] = sort.type
        if sort.kind == "trim":
            answers["toward"] = self._away(visit.survey)
        self.is_placing = False
        try:
            record = made(sort.kind, answers, visit.stamp())
            visit.put(record)
        except SurveyError as error:
            self.app.tell(str(error))
            return
        self.app.tell(f"{sort.words} put down as {answers['name']}.", undoes=True)
        self.app.go("feature", record=record.id)
        places = places_to_read(record)
        if places:
            self.app.go("entry", **self._asks(places[0][0], right, up))

    def _away(self, survey: Survey) -> str:
        """Return the way from where places of this wall are counted: a casing's near edge is on that side."""
        place = place_of(survey)
        start = place.start(self.wall)
        return "left" if start is not None and place.leftward(self.wall, start) else "right"

    def _asks(self, point: str, right: float | None = None, up: float | None = None) -> dict[str, str]:
        """Return what the entry of a position is opened with; a tap's place is what it comes near to."""
        given = {"kind": "position", "wall": self.wall, "of": point}
        place = place_of(self._survey)
        start = place.start(self.wall)
        if start is not None:
            given["from_"] = start
        zero = self._found.start_x(start) if self._found is not None and start is not None else None
        if right is not None and up is not None and zero is not None:
            assert start is not None
            along = zero - right if place.leftward(self.wall, start) else right - zero
            given["along"] = place.typed(place.handy(along)).text
            given["up"] = place.typed(place.handy(up)).text
        return given

    def _offer(self, count: int) -> None:
        """Offer to measure what has no place yet, where there is any."""
        self.open_count = count
        key, offered = self._open_key, self.ids.offered
        key.text = f"Not measured: {count}"
        if count and key.parent is None:
            offered.add_widget(key)
        elif not count and key.parent is not None:
            offered.remove_widget(key)

    def _say(self) -> None:
        if self.is_placing:
            self.told = "Tap the place where it is."
        elif self._found is not None and not self._found.things:
            self.told = "Nothing is on this wall yet: pipes, studs, trim. Add them where they are."
        else:
            self.told = "Tap a thing to see or change it."

    def _turn(self, *_: object) -> None:
        """Put the keys beside the picture where the page is wider than high; for a left hand, left of it."""
        self.is_wide = self.width > self.height * 1.15
        around, is_keys_first = self.ids.around, self.is_wide and look.is_left_handed
        if isinstance(around.children[-1], WallPicture) == is_keys_first:
            around.children[:] = around.children[::-1]

    def _draw(self, *_: object) -> None:
        if self.app.visit is None or self.parent is None:
            return  # asked for a moment ago, and the page is gone
        picture = self.ids.picture
        survey, report = self._survey, self.app.report
        asked = (id(survey), id(report), self.wall, tuple(picture.size), look.body)
        if asked == self._drawn_for or picture.width < dp(40) or picture.height < dp(40):
            return
        self._drawn_for = asked
        wall, size, per_mm = self.wall, tuple(picture.size), LETTER_MM * look.body

        def take(answer: tuple[Any, LaidOut]) -> None:
            if self._drawn_for == asked:
                self._take(*answer)

        def refused(error: SurveyError) -> None:
            if self._drawn_for == asked:
                picture.laid_out, self.told = None, str(error)

        beside(self.app, lambda: _work(survey, wall, report, size, per_mm), take, refused)

    def _take(self, found: Any, laid_out: LaidOut) -> None:
        self._found, self._open = found, found.not_measured()
        self._offer(len(self._open))
        if self.ids.picture.laid_out != laid_out:
            self.ids.picture.laid_out = laid_out
        self._say()


def _said(point: str) -> str:
    name, _, edge = point.partition(":")
    return f"{edge} edge of {name}" if edge else name


def _work(
    survey: Survey, wall: str, report: FitReport | None, size: tuple[float, ...], per_mm: float
) -> tuple[Any, LaidOut]:
    """Draw a wall and lay it out for a place of so many pixels, its letters as large as the page's.

    Where it is crowded it comes out larger than its place; then all of it is shown smaller.
    """
    from survey.drawing import layout
    from survey.drawing.elevation import elevation
    from survey.drawing.wall_view import wall_drawing

    found, drawing = elevation(survey, wall), wall_drawing(survey, wall, report)
    extent, sheet = drawing.extents(), [pixels / per_mm for pixels in size]
    across, up = (max(mm - AROUND, FILLED * mm) for mm in sheet)
    least = max(extent.width / across, extent.height / up)
    scale = next((one for one in SCALES if one >= least), SCALES[-1])
    return found, layout(drawing, LARGE, scale).trimmed(MARGIN)


load_kv(__file__)
