"""A reading being taken: where the tape lies, what was read, and the pad. Saved, the next one comes up."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import replace as replaced
from typing import TYPE_CHECKING, Final

from kivy.clock import Clock, mainthread
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from msgspec.structs import replace

from survey.app.blanks import Blank
from survey.app.free_reading import again_line, free_line, said_line
from survey.app.keyboard import BACKSPACE, ENTER, PAD_ENTER, TAB
from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.plain import Pressable
from survey.app.reading_places import ENDS, moved, place_fields, spot_value
from survey.app.reading_words import FACES, TAPES, how_taken, instruments, starts
from survey.app.taking import Taking, as_last_time
from survey.app.typed import in_other_unit, typed_letter, typeset
from survey.app.unlikely import question
from survey.app.visit import Visit
from survey.app.walk_list import Row, next_missing, value_of, walk_rows
from survey.app.wedge import Wedge, understood
from survey.app.widgets import glyph as _glyph  # noqa: F401  the rules name it
from survey.app.widgets import number_sheet, sheet
from survey.app.widgets import picture as _picture  # noqa: F401  the rules name it
from survey.app.widgets.pad import ROOMY
from survey.drawing.piece_words import typeset as set_lengths
from survey.errors import RecordError, SurveyError
from survey.quantity import read_step
from survey.records import Reading, Record, StraightedgeCheck, Survey
from survey.records.limits import SIGNED
from survey.walk import Line, place_of

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp
    from survey.drawing import LaidOut

THOUGHT: Final = 0.7
"""Seconds after the last key until an unlikely value is asked about."""
LETTER: Final = 4.4
"""dp that a mm of a picture's paper is shown as: its letters are then as large as quiet words."""
WORDS: Final = 2.6
"""Letter heights of two lines: so much is left for what is read, and again for what to mind."""
CELL: Final = 52
"""dp that a cell of several numbers is wide, at least."""
KEY: Final = 3.6
"""Letter heights that a small key is wide, at least."""
ROOMY_HIGH: Final = 640
"""dp of a page's height from which there is room for each sixteenth and for all else."""
CELLS: Final = {
    "left_leg": "left leg", "right_leg": "right leg", "diagonal": "mark to mark", "along": "along",
    "up": "height", "below": "down", "out": "out", "known": "known", "reads": "reads",
}  # fmt: skip
"""Words over the cells of a reading with several numbers."""
LABELS: Final = {"offset": "Top leans in +", "angle": "Top leans in +"}
"""Words beside the value, where those of the blank are too long."""
OPENED: Final = ("line", "record", "kind", "line_said")
"""What a reading may be opened by."""


class Cell(Pressable, BoxLayout):
    """One of several numbers of a reading: what it is, and what was typed."""

    words = StringProperty()
    value = StringProperty()
    is_open = BooleanProperty(False)
    field = StringProperty()


class SettingKey(Pressable, Label):
    """How a reading is taken: its present value; a tap opens the choice."""

    sets = StringProperty()


class ReadingWords(Pressable, BoxLayout):
    """What is read, in plain words; a tap changes where."""

    words = StringProperty()
    before = StringProperty()
    mistake = StringProperty()
    is_tight = BooleanProperty(False)


class AllRead(BoxLayout):
    """What is shown when nothing is left to read."""

    page = ObjectProperty()
    words = StringProperty()


class NoReading(BoxLayout):
    """What is shown where there is no such reading."""

    page = ObjectProperty()
    words = StringProperty()


class EntryPage(Page):
    """A reading being taken.

    Given is one of: `line`, the name of a walk's line (`typed`: what stands in its first blank at first);
    `record`, the id of a reading, with `how`: `repeat` or `correct`; `kind`, a reading kind's tag, with
    `wall`, and for a position `of`, `along`, `from_`, `up`; `line_said`, an advised reading's dictation.
    """

    title = StringProperty("Reading")
    said = StringProperty()
    label = StringProperty()
    echo = StringProperty()
    other = StringProperty()
    remark = StringProperty()
    is_refused = BooleanProperty(False)
    is_large = BooleanProperty(False)

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Wait to be shown."""
        super().__init__(app, **given)
        self.line: Line | None = None
        self.taking: Taking | None = None
        self._taken: tuple[Reading, ...] = ()
        self._rows: tuple[Row, ...] = ()
        self._is_busy = False
        self._before = ""
        self._wedge = Wedge()
        self._cells: list[Cell] = []
        self._drawn: tuple[object, ...] = ()
        self._ask = Clock.create_trigger(self._wonder, THOUGHT)
        self._fit = Clock.create_trigger(self._arrange, -1)
        self._draw = Clock.create_trigger(self._begin_picture, 0.05)

    @property
    def visit(self) -> Visit:
        """The open job."""
        assert self.app.visit is not None
        return self.app.visit

    # Coming and going

    def shown(self) -> None:
        """Bring the reading up."""
        self.bind(size=self._fit)
        ids = self.ids
        ids.scroll.bind(height=self._fit)
        ids.words.bind(height=self._fit)
        ids.small_keys.bind(height=self._fit)
        ids.picture.bind(size=self._draw)
        self._begin()

    def turn(self, **given: str) -> bool:
        """Bring another reading up in place."""
        if self.taking is None or "done" in given:
            return False
        self.given = given
        self._begin()
        return self.taking is not None

    def left(self) -> None:
        """Ask and draw nothing more."""
        for waiting in (self._ask, self._fit, self._draw):
            waiting.cancel()

    def refresh(self) -> None:
        """Follow an undo: what was saved a moment ago and is taken back comes up again, with its numbers."""
        if self._is_busy or self.taking is None:
            return
        survey, saved = self.visit.survey, self.given.get("saved", "")
        if saved in survey.taken_back and "came" in self.given and not self.taking.values:
            undone = survey.by_id[saved]
            assert isinstance(undone, Reading)
            again = Taking(undone, self.taking.step)
            again.correct(undone)
            again.in_place_of = ""
            came = {"line": self.given["came"]}
            self.app.desk.draft(_key(came), again.kept())
            self.app.swap("entry", **came)

    def _begin(self) -> None:
        survey, settings = self.visit.survey, self.app.desk.settings
        self._rows = walk_rows(survey, settings.tools)
        self.said = self.given.get("said", "")
        if "done" in self.given:
            self._all_read()
            return
        try:
            self.line, self._taken = self._find()
            self.taking = self._start(self.line)
        except SurveyError as error:
            self.taking = None
            self._none(str(error))
            return
        self.remark, self.is_refused = "", False
        words = self.ids.words
        words.words = _sentence(_named(self.line))
        words.mistake = self.line.mistake
        self._show_before()
        self._build_cells()
        self._show_keys()
        self._open()
        self.ids.scroll.scroll_y = 1
        self._fit()

    def _find(self) -> tuple[Line, tuple[Reading, ...]]:
        """Return what is read, and what was read there before.

        Raises
        ------
        SurveyError
            There is no such reading.
        """
        survey, given = self.visit.survey, self.given
        if "line" in given:
            row = next((row for row in self._rows if row.line.name == given["line"]), None)
            if row is None:
                raise RecordError(f"The walk asks no longer for: {given['line']}.")
            return row.line, row.taken
        if "record" in given:
            record = self.visit.standing(given["record"])
            if not isinstance(record, Reading):
                raise RecordError("This reading is no longer there.")
            row = next((row for row in self._rows if record in row.taken), None)
            line = again_line(record) if row is None else replaced(row.line, reading=record)
            return line, (record,) if row is None else row.taken
        if "line_said" in given:
            return said_line(given["line_said"], survey), ()
        return free_line(given.get("kind", ""), survey, given), ()

    def _start(self, line: Line) -> Taking:
        """Begin with what was half typed, with what is corrected, or as the last of the kind was taken."""
        survey, desk = self.visit.survey, self.app.desk
        step = read_step(survey.job.step if survey.job is not None else "1/16")
        is_again = "record" in self.given
        planned = (
            replace(line.reading, note="") if is_again else as_last_time(line.reading, survey, desk.settings)
        )
        taking = Taking(planned, step)
        drafted = desk.drafted(_key(self.given))
        if drafted:
            taking.take_up(drafted)
        elif is_again and self.given.get("how") == "correct":
            taking.correct(line.reading)
        elif "typed" in self.given:
            taking.type(self.given["typed"])
        return taking

    def _all_read(self) -> None:
        self.clear_widgets()
        count = sum(len(row.taken) for row in self._rows)
        self.add_widget(AllRead(page=self, words=f"{count} readings are in, nothing on the walk is missing."))

    def _none(self, words: str) -> None:
        self.clear_widgets()
        self.add_widget(NoReading(page=self, words=words))

    # What is shown

    def _open(self) -> None:
        """Show the open blank: its name, what is typed in it, and the pad that it takes."""
        taking = self._now
        pad = self.ids.pad
        pad.asked = taking.asked
        pad.extra = "Touches" if _can_touch(taking) else ""
        self.label = _label(taking.open, taking)
        self._is_busy = True
        pad.text = taking.text
        self._is_busy = False
        self._echo()
        self._show_cells()
        self._draw()

    def _echo(self) -> None:
        """Show what is typed; called for each key, so labels only."""
        taking = self._now
        self.echo = typeset(taking.text, taking.step.unit, taking.open.sort)
        self.other = in_other_unit(taking.text, taking.asked)
        pad = self.ids.pad
        if taking.is_last():
            pad.main = "Save"
        else:
            pad.main = "Next gap" if isinstance(taking.reading, StraightedgeCheck) else "Next"

    def _show_before(self) -> None:
        line = self.line
        assert line is not None
        if self._taken and line.times == 1:
            self.ids.words.before = "\n".join(
                f"{'Corrected here' if one.id == self._now.in_place_of else 'Read'}: "
                f"{_value(one, self.visit.unit)}"
                for one in self._taken
            )
        else:
            self.ids.words.before = ""

    def _show_keys(self) -> None:
        keys = self.ids.small_keys
        words = how_taken(self._now.reading)
        if self._taken:
            words = {"how": "in place" if self._now.in_place_of else "again", **words}
        if [key.sets for key in reversed(keys.children)] != list(words):
            keys.clear_widgets()
            for sets in words:
                key = SettingKey(sets=sets)
                key.bind(on_release=lambda pressed: getattr(self, f"_change_{pressed.sets}")())
                keys.add_widget(key)
        for key in keys.children:
            key.text = words[key.sets]

    def _build_cells(self) -> None:
        """Make as many cells as there is room for; they follow the open blank."""
        taking, cells = self._now, self.ids.cells
        count = len(taking.blanks)
        is_check = isinstance(taking.reading, StraightedgeCheck)
        wide = max(dp(CELL), look.body * (2.7 if is_check else 5.2))
        cells.cols = max(2, min(int((self._left_width() - dp(6)) / wide), count))
        rows = 1 if self._room_above() < dp(430) else 3
        wanted = 0 if count == 1 else min(count, cells.cols * rows)
        if len(self._cells) != wanted:
            cells.clear_widgets()
            self._cells = [Cell() for _ in range(wanted)]
            for cell in self._cells:
                cell.bind(on_release=self._tap_cell)
                cells.add_widget(cell)
        self._show_cells()

    def _show_cells(self) -> None:
        taking = self._now
        every, seen = taking.blanks, len(self._cells)
        here = next(k for k, blank in enumerate(every) if blank.field == taking.open.field)
        first = min(max(here - seen // 2, 0), len(every) - seen)
        for cell, blank in zip(self._cells, every[first:], strict=False):
            cell.field, cell.words = blank.field, _short(blank, taking)
            cell.value = typeset(taking.values.get(blank.field, ""))
            cell.is_open = blank.field == taking.open.field

    @property
    def _now(self) -> Taking:
        assert self.taking is not None
        return self.taking

    # Where everything stands

    def _where_in_walk(self) -> str:
        """Return the title: which reading of the walk it is, as far as there is room to say so."""
        names = [row.line.name for row in self._rows]
        name = self.given.get("line", "")
        if self.is_large or name not in names:
            return "Read" if self.is_large else "Reading"
        count = f"{names.index(name) + 1} of {len(names)}"
        return f"Reading {count}" if self.width >= dp(ROOMY) else count

    def _left_width(self) -> float:
        return self.width - self.ids.below.width if self.orientation == "horizontal" else self.width

    def _room_above(self) -> float:
        """Return how much height there is beside or above the pad."""
        return self.height if self.orientation == "horizontal" else self.height - self.ids.pad.height

    def _arrange(self, *_: object) -> None:
        """Put the pad under the thumb, and the picture where there is room."""
        if self.taking is None or self.width <= 1:
            return
        ids = self.ids
        is_wide = self.width > self.height * 1.1
        self.orientation = "horizontal" if is_wide else "vertical"
        self._put_in_order(is_wide and look.is_left_handed)
        ids.below.size_hint = (None, 1) if is_wide else (1, None)
        ids.below.width = min(dp(330), self.width * 0.56) if is_wide else self.width
        ids.pad.is_roomy = not is_wide and self.width >= dp(ROOMY) and self.height >= dp(ROOMY_HIGH)
        is_tablet = min(self.width, self.height) >= dp(600)
        ids.pad.key_height = 76 if is_tablet else 64
        ids.pad.width = min(ids.below.width, dp(640 if is_tablet else 560))
        if not is_wide:
            ids.below.height = ids.pad.height
        self.is_large = look.small > dp(22)
        self.title = self._where_in_walk()
        width = self._left_width() - dp(16)
        keys = ids.small_keys
        keys.cols = max(2, min(len(keys.children), int((width + dp(4)) / (look.small * KEY + dp(4)))))
        self._build_cells()
        self._hang_picture()

    def _put_in_order(self, is_pad_first: bool) -> None:
        order = [self.ids.upper, self.ids.below]
        if is_pad_first:
            order.reverse()
        if self.children[::-1] != order:
            self.clear_widgets()
            for part in order:
                self.add_widget(part)

    def _hang_picture(self) -> None:
        """Give the picture the height that is left above the words, or a place beside them."""
        ids = self.ids
        spare = ids.scroll.height - ids.small_keys.minimum_height - ids.told.height - dp(30)
        about, picture, words = ids.about, ids.picture, ids.words
        # By what words usually need, not by what these take now: that changes with where the picture hangs.
        is_above = spare >= dp(130) + WORDS * (look.body + look.small)
        words.is_tight = not is_above
        order = [words, picture] if is_above else [picture, words]
        if about.children[::-1] != order:
            about.clear_widgets()
            for part in order:
                about.add_widget(part)
        if is_above:
            about.orientation, picture.size_hint = "vertical", (1, None)
            picture.height = min(spare - words.height, dp(560))
            about.height = picture.height + words.height + about.spacing
        else:
            about.orientation = "horizontal"
            # Beside very large letters a picture would be a blot.
            picture.size_hint = (None, 1) if self.is_large else (0.8, 1)
            picture.width = 0 if self.is_large else picture.width
            about.height = max(words.height, min(max(spare, dp(84)), dp(150)))

    def _begin_picture(self, *_: object) -> None:
        """Lay the picture out beside the screen; what is typed must not wait for it."""
        if self.taking is None or self.app.visit is None or self.ids.picture.width < dp(40):
            return
        per_mm = dp(LETTER) * look.small / dp(15)
        paper = (round(self.ids.picture.width / per_mm, 1), round(self.ids.picture.height / per_mm, 1))
        every = self._now.blanks
        opened = next(k for k, blank in enumerate(every) if blank.field == self._now.open.field)
        wanted = (self._now.reading, self.visit.survey, paper, opened)
        if wanted != self._drawn:
            self._drawn = wanted
            threading.Thread(target=self._lay_out, args=wanted, daemon=True).start()

    def _lay_out(self, reading: Reading, survey: Survey, paper: tuple[float, float], opened: int) -> None:
        from survey.drawing.reading_view import reading_view

        try:
            laid_out = reading_view(reading, place_of(survey), survey, paper, opened)
        except SurveyError:
            laid_out = None
        self._hang(reading, laid_out)

    @mainthread
    def _hang(self, reading: Reading, laid_out: LaidOut | None) -> None:
        if self.taking is not None and self.taking.reading == reading:
            self.ids.picture.laid_out = laid_out

    # What is typed

    def typed(self) -> None:
        """Take what the pad has now."""
        if self._is_busy or self.taking is None:
            return
        taking = self.taking
        taking.type(self.ids.pad.text)
        if self.remark:
            self.remark, self.is_refused = "", False
        self._echo()
        for cell in self._cells:
            if cell.is_open:
                cell.value = typeset(taking.text)
        self._keep()
        self._ask()

    def key(self, code: int, text: str, mods: list[str]) -> bool:
        """Take a letter of a keyboard, or of a laser that types like one."""
        if self.taking is None or {"ctrl", "alt", "meta"} & set(mods):
            return False
        pad = self.ids.pad
        standing = pad.text
        line = self._wedge.take_key(code, text)
        if len(self._wedge.pending) == 1:
            self._before = standing
        if line is not None:
            self._sent(line, is_entered=code != TAB)
            return True
        if code in (ENTER, PAD_ENTER):
            self.go_on()
            return True
        typed = None if code == TAB else typed_letter(standing, code, text)
        if typed is None:
            return code == BACKSPACE
        pad.text = typed
        return True

    def _sent(self, line: str, is_entered: bool) -> None:
        """Take a line that a device sent; what is far from usual waits to be looked at."""
        if self._now.open.sort == "angle":
            sent_text, reason = line.strip(), ""
        else:
            sent = understood(line, self.app.desk.settings.laser_unit, self.visit.unit)
            sent_text, reason = sent.text, sent.reason
        self.ids.pad.text = self._before if reason else sent_text
        if reason:
            self._refuse(reason)
        elif is_entered:
            self._wonder()
            if not self.remark:
                self.go_on()

    def _keep(self) -> None:
        self.app.desk.draft(_key(self.given), self._now.kept())

    def _wonder(self, *_: object) -> None:
        """Ask about a value that is far from what it must be near."""
        if self.taking is not None and not self.is_refused and self.app.visit is not None:
            self.remark = self._question()

    def _question(self) -> str:
        taking, survey = self._now, self.visit.survey
        if not taking.text or taking.open.sort == "angle":
            return ""
        return question(taking.open, taking.text, taking.reading, survey, place_of(survey))

    def _refuse(self, reason: str) -> None:
        self.remark, self.is_refused = reason, True

    # What is done

    def go_on(self) -> None:
        """Open the next blank, or save when all are filled."""
        taking = self._now
        reason = taking.refused()
        if not taking.text.strip():
            reason = "Type what you read first."
        if reason:
            self._refuse(reason)
            return
        if taking.is_last():
            self._save()
            return
        taking.open_next()
        self.remark = ""
        self._keep()
        self._open()

    def touches(self) -> None:
        """Say that the edge touches here, and go on to the next gap."""
        self.ids.pad.text = "0"
        if not self._now.is_last():
            self.go_on()

    def _save(self) -> None:
        taking, visit = self._now, self.visit
        asked = self._question() if not self.remark else ""
        self._is_busy = True
        try:
            record: Record = replace(taking.finished(), **visit.stamp(), replaces=())
            if taking.in_place_of:
                record = visit.correct(visit.survey.by_id[taking.in_place_of], record)
            else:
                visit.put(record)
        except SurveyError as error:
            self._refuse(str(error))
            return
        finally:
            self._is_busy = False
        self.app.desk.draft(_key(self.given), {})
        self._after(record, asked)

    def _after(self, record: Record, asked: str) -> None:
        """Say that it is saved, and bring up what is to be read next."""
        assert self.line is not None
        assert isinstance(record, Reading)
        said = f"Saved {_value(record, self.visit.unit)}. {asked}".strip()
        if "line" not in self.given:
            self.app.back()
            self.app.tell(said, undoes=True)
            return
        name = self.given["line"]
        row = next_missing(walk_rows(self.visit.survey, self.app.desk.settings.tools), name)
        if row is None:
            self.app.swap("entry", done="yes")
        else:
            self.app.swap("entry", line=row.line.name, said=said, saved=record.id, came=name)

    # How and where it is taken

    def _set(self, reading: Reading) -> None:
        self._now.reading = reading
        self._keep()
        self._show_keys()
        self._draw()
        self._fit()

    def _change_instrument(self) -> None:
        def chosen(instrument: str) -> None:
            planned = self._now.planned.start or "hook"
            start = planned if instrument in TAPES else None
            self._set(replace(self._now.reading, instrument=instrument, start=start))

        reading = self._now.reading
        sheet.choose("Read with", [(one, one) for one in instruments(reading)], chosen, reading.instrument)

    def _change_start(self) -> None:
        reading = self._now.reading
        sheet.choose(
            "How the tape starts",
            starts(),
            lambda start: self._set(replace(self._now.reading, start=start)),
            reading.start,
        )

    def _change_face(self) -> None:
        reading = self._now.reading
        sheet.choose(
            "Measured to",
            list(FACES.items()),
            lambda face: self._set(replace(self._now.reading, face=face)),
            reading.face,
        )

    def _change_up(self) -> None:
        self._ask_place("up", "How high", self._now.reading.up.text)  # type: ignore[attr-defined]

    def _change_place(self) -> None:
        self.change_place()

    def _change_note(self) -> None:
        sheet.ask_words(
            "Note to this reading",
            lambda words: self._set(replace(self._now.reading, note=words)),
            self._now.reading.note,
            is_long=True,
        )

    def _change_how(self) -> None:
        """Choose between a further reading and a correction of one that is there, or take one back."""
        unit = self.visit.unit
        options = [("", "Read it again: all are kept")]
        for one in self._taken:
            options.append((one.id, f"Correct {_value(one, unit)}"))
            options.append((f"-{one.id}", f"Take {_value(one, unit)} back"))
        sheet.choose("This was read before", options, self._take_how, self._now.in_place_of)

    def _take_how(self, record: str) -> None:
        if record.startswith("-"):
            try:
                self.visit.withdraw(self.visit.survey.by_id[record[1:]])
            except SurveyError as error:
                self.app.tell(str(error))
                return
            self.app.tell("Taken back.", undoes=True)
            self._rows = walk_rows(self.visit.survey, self.app.desk.settings.tools)
            self._taken = tuple(one for one in self._taken if one.id != record[1:])
        elif record:
            old = self.visit.survey.by_id[record]
            assert isinstance(old, Reading)
            self._now.correct(old)
        else:
            self._now.read_again()
        self._keep()
        self._show_before()
        self._show_keys()
        self._build_cells()
        self._open()
        self._fit()

    def change_place(self) -> None:
        """Let the person say that the reading is taken somewhere else."""
        fields = place_fields(self._now.reading, self.visit.survey)
        options = [(one.field, f"{_sentence(one.words)}: {one.value or 'not said'}") for one in fields]
        if isinstance(self._now.reading, StraightedgeCheck):
            options.append(("station", "A further station"))
        if not options:
            return

        def chosen(field: str) -> None:
            if field == "station":
                number_sheet.ask_length(self.app, "Where the station is", self._add_station)
                return
            one = next(each for each in fields if each.field == field)
            if one.sort == "length":
                self._ask_place(one.field, _sentence(one.words), one.value)
            else:
                sheet.choose(
                    _sentence(one.words), one.choices, lambda value: self._move(one.field, value), one.value
                )

        sheet.choose("Where it is read", options, chosen)

    def _ask_place(self, field: str, title: str, text: str) -> None:
        number_sheet.ask_length(
            self.app, title, lambda value: self._move(field, value), text, is_signed=field in SIGNED
        )

    def _move(self, field: str, value: str) -> None:
        if value.startswith("on ") and field in ENDS:
            wall = value.removeprefix("on ")
            start = place_of(self.visit.survey).start(wall) or ""
            number_sheet.ask_length(
                self.app,
                f"How far along wall {wall}",
                lambda along: self._move(field, spot_value(wall, start, along or "0")),
                hint=f"from {start}" if start else "",
            )
            return
        try:
            self._set(moved(self._now.reading, field, value, self.visit.unit))
        except SurveyError as error:
            self.app.tell(str(error))

    def _tap_cell(self, cell: Cell) -> None:
        """Open a blank; a station that is open already is moved or left out."""
        taking = self._now
        if cell.field != taking.open.field:
            taking.go_to(cell.field)
            self.remark, self.is_refused = "", False
            self._open()
        elif isinstance(taking.reading, StraightedgeCheck):
            options = [("move", f"Its place: {_short(taking.open, taking)}")]
            if len(taking.blanks) > 2:
                options.append(("leave", "Nothing can be read here: leave it out"))
            sheet.choose(self.label, options, self._change_station)

    def _change_station(self, what: str) -> None:
        taking = self._now
        assert isinstance(taking.reading, StraightedgeCheck)
        number = int(taking.open.field.split()[1])
        if what == "move":
            at = taking.reading.stations[number].at.text
            number_sheet.ask_length(
                self.app, "Where the station is", lambda text: self._move_station(number, text), at
            )
            return
        taking.leave_out(number)
        self._stations_changed()

    def _move_station(self, number: int, at: str) -> None:
        if at:
            self._now.move_station(number, at)
            self._stations_changed()

    def _add_station(self, at: str) -> None:
        if at:
            self._now.add_station(at)
            self._stations_changed()

    def _stations_changed(self) -> None:
        self._keep()
        self._build_cells()
        self._open()


def _key(given: Mapping[str, str]) -> str:
    """Name the draft of a reading by what it was opened with."""
    return "entry " + " ".join(f"{name}={given[name]}" for name in OPENED if name in given)


def _can_touch(taking: Taking) -> bool:
    """Whether an edge lies at the wall, so that it touches somewhere."""
    reading = taking.reading
    return isinstance(reading, StraightedgeCheck) and reading.instrument not in ("line laser", "string")


def _label(blank: Blank, taking: Taking) -> str:
    if isinstance(taking.reading, StraightedgeCheck):
        return f"Gap at {_short(blank, taking)}"
    return LABELS.get(blank.field, blank.label)


def _short(blank: Blank, taking: Taking) -> str:
    """Return what stands over a cell: where a gap is, or what the number is."""
    if isinstance(taking.reading, StraightedgeCheck):
        at = taking.reading.stations[int(blank.field.split()[1])].at
        return typeset(at.text, at.unit).removesuffix(" mm")
    return CELLS.get(blank.field, blank.label)


def _value(reading: Reading, unit: str) -> str:
    """Say what a reading reads, typeset."""
    said = value_of(reading)
    return typeset(said, unit) if said[-1:].isdigit() and "gaps" not in said else typeset(said)


def _named(line: Line) -> str:
    """Name a line; where a check's stations are shown, it needs not say from where to where they go."""
    return line.name.split(", from ")[0] if isinstance(line.reading, StraightedgeCheck) else line.name


def _sentence(words: str) -> str:
    shown = set_lengths(words)
    return shown[:1].upper() + shown[1:]


load_kv(__file__)
