"""One thing: on a wall, bought, on hand, or taken as given; or, with nothing given, the list of them all."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from msgspec.structs import replace

from survey.app.bench_words import GROUPS, bench_words
from survey.app.new_feature import (
    FOR_PIECES,
    KEPT,
    OF_PIECES,
    OFF_WALL,
    ON_WALL,
    SORTS,
    Sort,
    asked,
    called,
    cautions,
    choices,
    hint,
    lacking,
    layer_words,
    made,
    name_for,
    names_it,
    places_to_read,
    position_words,
    positions_of,
    sort_of,
    taken,
)
from survey.app.page import Page, load_kv
from survey.app.plain import Heading, Key, Quiet, Row
from survey.app.proposals import likely_cut_out
from survey.app.record_form import Question, shown_of, text_of
from survey.app.widgets import glyph as _glyph  # noqa: F401  the rules name it
from survey.app.widgets import key_grid as _key_grid  # noqa: F401
from survey.app.widgets.asking import Ask, ask_answer
from survey.app.widgets.form import FormRow
from survey.app.widgets.number_sheet import ask_length
from survey.app.widgets.sheet import ask_words, choose
from survey.errors import RecordError, SurveyError
from survey.records import Area, Layer, Position, Record, Survey, TypedLength, Wall, Way, kind_of

ACTS: tuple[tuple[str, str], ...] = (
    ("repeat", "Read it again"),
    ("correct", "Correct it"),
    ("back", "Take it back"),
)


Act = Callable[[], None]
Keys = list[tuple[str, Act, bool]]
"""Keys to offer: words, what they do, and whether it is the main one."""


class ThingRow(Row):
    """A thing in the list: its name, what it is, and where it was read."""

    words = StringProperty()
    quiet = StringProperty()


class PartHeading(Heading):
    """What the rows below it are about."""


class PartQuiet(Quiet):
    """What stands there in place of rows."""


class EndKeys(BoxLayout):
    """Keys at the end of a form."""


class Caution(BoxLayout):
    """What to mind, with its sign."""

    words = StringProperty()


class FeaturePage(Page):
    """Given `record`, a thing's id; or `kind`, such as `rough-in/drain`, for a new one; or neither: the list.

    `wall` is where a new one is, and whose things come first in the list; with `of`, which says `pieces`, it
    is about what pieces are cut by and carried past, and not about the place. `piece` is that in which a new
    cut-out or seam is.
    """

    title = StringProperty("All things")
    place = "measure"
    is_new = BooleanProperty(False)

    def __init__(self, app: Any, **given: str) -> None:
        """Take what the page is about, and so the place that it belongs to."""
        super().__init__(app, **given)
        if given.get("of"):
            self.place, self.title = "pieces", "For the pieces"

    def shown(self) -> None:
        """Show the list, the form of a thing, or put a new one down where nothing more need be said."""
        self._shape: object = None
        self._rows: dict[str, FormRow] = {}
        self._answers: dict[str, Any] = {}
        kind = self.given.get("kind", "")
        if kind:
            self._begin(kind)
        self.refresh()

    def refresh(self) -> None:
        """Show what is known now; rows that are there already keep their place."""
        if self.is_new:
            self._show_new()
        elif self.given.get("record"):
            self._show_record()
        else:
            self._show_list()

    # What the keys do

    def add(self) -> None:
        """Choose what to put down."""
        survey = self._visit.survey
        sorts: tuple[Sort, ...] = (*ON_WALL, *OFF_WALL) if survey.of(Wall) else OFF_WALL[:2]
        if self.given.get("of"):
            sorts = FOR_PIECES
        options = [(sort.key, sort.words) for sort in sorts]
        choose("What is it?", options, lambda key: self._go(kind=key, wall=self._wall()))

    def _go(self, **given: str) -> None:
        """Go on to one thing, for the pieces as before."""
        of = {"of": self.given["of"]} if self.given.get("of") else {}
        self.app.go("feature", **given, **of)

    def keep(self) -> None:
        """Put the new thing down."""
        kind = self._sort.kind
        missing = lacking(kind, self._answers)
        if missing:
            self.app.tell(f"Still needed: {', '.join(missing)}.")
            return
        try:
            record = made(kind, self._answers, self._visit.stamp())
            self._visit.put(record)
        except SurveyError as error:
            self.app.tell(str(error))
            return
        self.app.desk.draft(self._of, {})
        self.app.tell(f"Put down: {called(record)}.", undoes=True)
        of = {"of": self.given["of"]} if self.given.get("of") else {}
        self.app.swap("feature", record=record.id, **of)

    def measure(self, point: str) -> None:
        """Measure where a point of it is."""
        wall = str(getattr(self._record(), "wall", ""))
        self.app.go("entry", kind="position", wall=wall, of=point)

    def take_back(self) -> None:
        """Take the thing back, and where it was read."""
        record = self._record()
        if record is None:
            return
        name = getattr(record, "name", "")
        try:
            self._visit.withdraw(record, *positions_of(self._visit.survey, name))
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            self.app.tell(f"Taken back: {called(record)}.", undoes=True)
            self.app.back()

    # The list

    def _show_list(self) -> None:
        survey, first = self._visit.survey, self._wall()
        kinds = OF_PIECES if self.given.get("of") else KEPT
        things = [one for one in survey.current if isinstance(one, kinds)]
        shape = ("list", tuple(one.id for one in things), tuple(one.id for one in survey.of(Position)))
        if shape == self._shape:
            return
        self._shape = shape
        self._clear()
        walls = [one.name for one in survey.of(Wall)]
        walls.sort(key=lambda wall: wall != first)
        groups = [
            (_where(wall), [one for one in things if getattr(one, "wall", "") == wall])
            for wall in (*walls, "floor", "")
        ]
        if self.given.get("of"):
            groups = [(words, [one for one in things if isinstance(one, kinds)]) for words, kinds in GROUPS]
        for words, mine in groups:
            if mine:
                self._put(PartHeading(text=words))
            for one in sorted(mine, key=lambda one: getattr(one, "step", 0)):
                self._put(self._thing_row(one, survey))
        if not things:
            words = "Nothing yet. Pipes, studs, trim and outlets; what was bought for it; boards on hand."
            if self.given.get("of"):
                words = "Nothing yet. Cut-outs and seams, what was bought, boards on hand, the way in."
            self._put(PartQuiet(text=words))
        self._offer([("Add something", self.add, True)])

    def _thing_row(self, record: Record, survey: Survey) -> ThingRow:
        told = bench_words(record) if self.given.get("of") else sort_of(record).words
        read = positions_of(survey, getattr(record, "name", ""))
        if read:
            told += f" · {position_words(read[-1])}"
        elif places_to_read(record):
            told += " · not measured yet"
        row = ThingRow(words=called(record), quiet=told)
        row.bind(on_release=lambda _: self._go(record=record.id))
        return row

    # A new one

    def _begin(self, key: str) -> None:
        """Begin with what is said already; where that is all, put it down and show it."""
        survey, sort = self._visit.survey, SORTS[key]
        self._sort, self._of = sort, f"feature {key} {self._wall()}"
        fields = {one.field for one in asked(sort.kind)}
        walls = [one.name for one in survey.of(Wall)]
        wall = self._wall() or (walls[0] if len(walls) == 1 else "")
        said: dict[str, Any] = {"name": name_for(sort, survey), "wall": wall, "type": sort.type}
        if self.given.get("piece"):
            of = self.given["piece"]
            said |= likely_cut_out(survey, of) if sort.kind == "cut-out" else {"of": of}
        if sort.kind == "way":
            said["step"] = 1 + max((one.step for one in survey.of(Way)), default=0)
        self._answers = {field: text for field, text in said.items() if field in fields and text}
        self.is_new = True
        if not lacking(sort.kind, self._answers):
            self.keep()
            return
        for question in asked(sort.kind):
            text = self.app.desk.drafted(self._of).get(question.field, "")
            if text:
                self._answers[question.field] = taken(question, text, self._visit.unit)

    def _show_new(self) -> None:
        self.title = self._sort.words
        self._show_form(self._sort.kind, self._answers, ("new",), lambda: None, lambda: None)
        self._offer([("Keep", self.keep, True)])

    # One that is there

    def _show_record(self) -> None:
        record = self._record()
        if record is None:
            self._clear()
            self._shape = None
            self._put(PartQuiet(text="This was taken back."))
            self._offer([])
            return
        self.title = called(record)
        answers = {one.field: getattr(record, one.field) for one in asked(kind_of(record))}
        read = positions_of(self._visit.survey, getattr(record, "name", ""))
        layers = record.layers if isinstance(record, Area) else ()
        shape = (tuple(one.id for one in read), layers, cautions(record), places_to_read(record))
        self._show_form(
            kind_of(record),
            answers,
            shape,
            partial(self._show_parts, record, read),
            partial(self._show_end, record),
        )
        read_points = {one.of for one in read}
        keys: Keys = [
            (
                f"Measure {words} again" if point in read_points else f"Measure {words}",
                partial(self.measure, point),
                number == 0 and not read,
            )
            for number, (point, words) in enumerate(places_to_read(record))
        ]
        if isinstance(record, Area):
            keys.append(("Add a layer", self._add_layer, not record.layers))
        self._offer(keys)

    def _show_parts(self, record: Record, read: tuple[Position, ...]) -> None:
        """Show what stands above the form: cautions, where it was read, layers."""
        for words in cautions(record):
            self._put(Caution(words=words))
        for one in read:
            edge = one.of.partition(":")[2]
            words = f"{edge} edge, as read" if edge else "its place, as read"
            row = FormRow(words=_title(words), answer=position_words(one))
            row.bind(on_release=lambda _, one=one: self._about_reading(one))
            self._put(row)
        for number, layer in enumerate(record.layers if isinstance(record, Area) else ()):
            row = FormRow(words=f"Layer {number + 1}, from the framing out", answer=layer_words(layer))
            row.bind(on_release=lambda _, number=number: self._about_layer(number))
            self._put(row)

    def _show_end(self, record: Record) -> None:
        """Show what stands below the form: keys that are not needed each time."""
        end = EndKeys()
        notes = Key(text="Notes and photos")
        notes.bind(on_release=lambda _: self.app.go("remarks", about=_about(record)))
        back = Key(text="Take it back")
        back.bind(on_release=lambda _: self.take_back())
        end.ids.grid.add_widget(notes)
        end.ids.grid.add_widget(back)
        self._put(end)

    def _about_reading(self, reading: Position) -> None:
        def act(how: str) -> None:
            if how != "back":
                self.app.go("entry", record=reading.id, how=how)
                return
            self._try(lambda: self._visit.withdraw(reading), "Taken back.")

        choose(position_words(reading), ACTS, act)

    # Layers

    def _add_layer(self) -> None:
        def named(name: str) -> None:
            if name:
                ask_length(self.app, f"How thick is the {name}?", lambda text: sized(name, text))

        def sized(name: str, text: str) -> None:
            if text:
                options = [("to come", "Still to come"), ("in place", "In place")]
                choose("Is it there already?", options, lambda state: put(name, text, state))

        def put(name: str, text: str, state: str) -> None:
            layer = Layer(name, TypedLength(text, self._visit.unit), state)  # type: ignore[arg-type]
            self._set_layers(lambda layers: (*layers, layer))

        ask_words("What is it?", named, hint="tile, board, paint")

    def _about_layer(self, number: int) -> None:
        def change(what: str) -> None:
            if what == "out":
                self._set_layers(lambda layers: layers[:number] + layers[number + 1 :])
            else:
                self._set_layers(
                    lambda layers: tuple(
                        replace(one, state=what) if at == number else one for at, one in enumerate(layers)
                    )
                )

        options = [("in place", "In place"), ("to come", "Still to come"), ("out", "Take it out")]
        choose(f"Layer {number + 1}", options, change)

    def _set_layers(self, change: Callable[[tuple[Layer, ...]], tuple[Layer, ...]]) -> None:
        record = self._record()
        if isinstance(record, Area):
            self._correct(record, replace(record, layers=change(record.layers)))

    # The form

    def _show_form(self, kind: str, answers: dict[str, Any], shape: object, above: Act, below: Act) -> None:
        """Put the rows there, or fill in those that are."""
        if (kind, shape) != self._shape:
            self._shape = (kind, shape)
            self._clear()
            above()
            self._rows = {}
            for question in asked(kind):
                row = FormRow(words=_title(question.words), is_needed=question.is_needed)
                row.bind(on_release=lambda _, question=question: self._ask(question))
                self._rows[question.field] = row
                self._put(row)
            below()
        for question in asked(kind):
            row, value = self._rows[question.field], answers.get(question.field)
            row.answer = shown_of(question, value, self._visit.unit)
            row.hint = hint(question, kind, answers)

    def _ask(self, question: Question) -> None:
        """Ask for an answer as the field wants it."""
        record = self._record()
        kind = kind_of(record) if record is not None else self._sort.kind
        answers = self._answers if record is None else {"what": getattr(record, "what", None)}
        now = self._answers.get(question.field) if record is None else getattr(record, question.field)
        title = question.words[0].upper() + question.words[1:]

        def done(text: str) -> None:
            self._answer(question, text)

        names = choices(question, kind, answers, self._visit.survey)
        empty = "" if question.is_needed or question.usual is not None else "not said"
        text = text_of(question, now, self._visit.unit)
        ask_answer(self.app, Ask(question, title, text, now, names, empty), done)

    def _answer(self, question: Question, text: str) -> None:
        record = self._record()
        if not text and question.is_needed:
            self.app.tell(f"{question.words}: it cannot be without it.")
            return
        try:
            value = taken(question, text, self._visit.unit)
            if record is not None and question.field == "name" and value != record.name:  # type: ignore[attr-defined]
                self._refuse_name(record, value)
        except SurveyError as error:
            self.app.tell(str(error))
            return
        if record is not None:
            self._correct(record, replace(record, **{question.field: value}))
            return
        self._answers[question.field] = value
        if question.field in ("what", "material") and "name" in self._answers:
            self._answers["name"] = name_for(self._sort, self._visit.survey, text)
        said = {
            one.field: text_of(one, self._answers[one.field], self._visit.unit)
            for one in asked(self._sort.kind)
            if one.field in self._answers
        }
        self.app.desk.draft(self._of, said)
        self.refresh()

    def _refuse_name(self, record: Record, name: str) -> None:
        """Refuse a name that something else has, or a new one where others use the old one."""
        if name in self._visit.survey.named:
            raise RecordError(f"name: expected one that nothing has yet, got {name}: choose another")
        others = names_it(self._visit.survey, record)
        if others:
            raise RecordError(
                f"name: {len(others)} readings or pieces go by the old one: leave it, "
                "or take the thing back and put it down anew"
            )

    def _correct(self, old: Record, new: Record) -> None:
        if new != old:
            self._try(lambda: self._visit.correct(old, new), "")

    def _try(self, act: Callable[[], object], told: str) -> None:
        try:
            act()
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            if told:
                self.app.tell(told, undoes=True)

    # Within

    @property
    def _visit(self) -> Any:
        assert self.app.visit is not None
        return self.app.visit

    def _wall(self) -> str:
        return self.given.get("wall", "")

    def _record(self) -> Record | None:
        record_id = self.given.get("record", "")
        found: Record | None = self._visit.standing(record_id) if record_id else None
        return found

    def _put(self, widget: Any) -> None:
        self.ids.rows.add_widget(widget)

    def _clear(self) -> None:
        self.ids.rows.clear_widgets()

    def _offer(self, keys: Keys) -> None:
        """Put keys there, unless they are."""
        offered = self.ids.offered
        if [key.text for key in offered.children[::-1]] == [words for words, _, _ in keys]:
            return
        offered.clear_widgets()
        for words, act, is_main in keys:
            key = Key(text=words, is_main=is_main)
            key.bind(on_release=lambda _, act=act: act())
            offered.add_widget(key)


def _title(words: str) -> str:
    return words[:1].upper() + words[1:]


def _where(wall: str) -> str:
    return "Not on a wall" if not wall else "On the floor" if wall == "floor" else f"On wall {wall}"


def _about(record: Record) -> str:
    return str(getattr(record, "name", "") or record.id)


load_kv(__file__)
