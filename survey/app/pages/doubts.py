"""What the readings say against one another, which one more would help, and which to repeat."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.page import Page, load_kv
from survey.app.plain import Heading, Key, Pressable, Quiet, Words
from survey.app.widgets import picture as _picture  # noqa: F401  the rules name it

if TYPE_CHECKING:
    from survey.drawing import LaidOut
    from survey.quantity import Step
    from survey.records import Survey
    from survey.report.structs import FitReport, NextReading, SuspectReport

Named = Mapping[str, tuple[str, str]]
"""By record id: the reading's name and its value, as they are shown."""
MISFIT = 400
"""Number of the finding that the readings do not agree and none can be named."""


class DoubtCard(BoxLayout):
    """One matter: words, a picture, and the key that goes there."""


class NextPicture(BoxLayout):
    """The picture of a reading to take."""

    laid_out = ObjectProperty(None, allownone=True)


class Reads(BoxLayout):
    """A reading by its name, with its value and what is said of it."""

    words = StringProperty()
    value = StringProperty()
    quiet = StringProperty()


class ReadAgain(Pressable, BoxLayout):
    """The same, to be read once more by a tap."""

    words = StringProperty()
    value = StringProperty()
    quiet = StringProperty()


class DoubtsPage(Page):
    """Readings in doubt, the reading that tells, what to read next, and what to read again."""

    title = "Doubts and advice"
    place = "measure"

    def shown(self) -> None:
        """Show the latest report."""
        self._shown: FitReport | None = None
        self.refresh()

    def refresh(self) -> None:
        """Say that a newer report is worked out, or show it."""
        report, visit = self.app.report, self.app.visit
        self.ids.waiting.text = "" if self.app.is_fresh else "Working it out …"
        if report is None or visit is None or report is self._shown:
            return
        self._shown = report
        survey, tools = visit.survey, self.app.desk.settings.tools

        def named_and_drawn() -> tuple[Named, dict[str, LaidOut]]:
            from survey.app.measure_list import names_of_readings

            return names_of_readings(survey, tools), _pictures(report)

        def show(found: tuple[Named, dict[str, LaidOut]]) -> None:
            if self._shown is report and self.parent is not None:
                self._fill(report, *found)

        beside(self.app, named_and_drawn, show)

    def _fill(self, report: FitReport, named: Named, pictures: Mapping[str, LaidOut]) -> None:
        from survey.report.next_words import enough_words, one_width_words

        body = self.ids.body
        body.clear_widgets()
        telling = {one.tells: one for one in report.room.next_readings if one.tells}
        for suspect in report.room.suspects:
            self._suspect(suspect, named, telling.get(suspect.records), pictures)
        for found in report.findings:
            if found.number == MISFIT:
                words = f"{_sentence(found.says)} {_sentence(found.do)}"
                body.add_widget(_card(Heading(text="They do not agree"), Words(text=words)))
        groups = {suspect.records for suspect in report.room.suspects}
        for number, one in enumerate(one for one in report.room.next_readings if one.tells not in groups):
            heading = [Heading(text="Read next")] if number == 0 else []
            body.add_widget(_card(*heading, *self._advised(one, pictures)))
        self._repeats(report, named)
        enough, one_width = enough_words(report), one_width_words(report)
        if enough:
            body.add_widget(
                _card(Heading(text="It is enough"), Words(text=_sentence(enough.removeprefix("Nothing: "))))
            )
        if one_width:
            body.add_widget(_card(Words(text=one_width)))
        if not body.children:
            body.add_widget(_card(Words(text=_nothing(report))))

    def _suspect(
        self,
        suspect: SuspectReport,
        named: Named,
        telling: NextReading | None,
        pictures: Mapping[str, LaidOut],
    ) -> None:
        step = _step(self.app.visit.survey) if self.app.visit is not None else None
        is_one = len(suspect.records) == 1
        parts: list[Widget] = [Heading(text="This cannot be true" if is_one else "One of these is wrong")]
        for record, what, slip in zip(suspect.records, suspect.what, suspect.too_large_by, strict=True):
            name, value = named.get(record, (what, ""))
            off = _amount(slip, suspect.unit, step)
            if is_one:
                parts.append(Reads(words=name, value=value, quiet=f"looks {off}"))
            else:
                parts.append(self._to_repeat(record, name, value, f"if it is this one, it is {off}"))
        if is_one:
            self._about_one(suspect, parts)
        elif telling is not None:
            parts.append(Words(text="One more reading tells which:", bold=True))
            parts += self._advised(telling, pictures, says=False)
        self.ids.body.add_widget(_card(*parts))

    def _about_one(self, suspect: SuspectReport, parts: list[Widget]) -> None:
        """Ask what the slip may have been, and offer to read or to correct it."""
        (record,) = suspect.records
        if suspect.asks:
            parts.append(Words(text=_sentence(" or ".join(suspect.asks))))
        parts.append(_key("Read it again", partial(self._again, record), is_main=True))
        correct = partial(self.app.go, "entry", record=record, how="correct")
        parts.append(_key("I misread it: correct it", correct))

    def _advised(
        self, reading: NextReading, pictures: Mapping[str, LaidOut], says: bool = True
    ) -> list[Widget]:
        from survey.drawing.piece_words import plain, typeset
        from survey.report.next_words import reading_words

        parts: list[Widget] = [Words(text=typeset(plain(reading_words(reading))))]
        if says:
            parts.append(Quiet(text=_sentence(typeset(plain(reading.says)))))
        if reading.name in pictures:
            parts.append(NextPicture(laid_out=pictures[reading.name]))
        if reading.dictation:
            go = partial(self.app.go, "entry", line_said=reading.dictation)
            parts.append(_key("Read it", go, is_main=True))
        return parts

    def _repeats(self, report: FitReport, named: Named) -> None:
        from survey.report.next_words import READ_AGAIN

        known = [record for record in report.room.repeat if record in named]
        if not known:
            return
        parts: list[Widget] = [Words(text=f"{READ_AGAIN}.", bold=True)]
        parts += [self._to_repeat(record, *named[record]) for record in known]
        self.ids.body.add_widget(_card(*parts))

    def _to_repeat(self, record: str, name: str, value: str, quiet: str = "") -> ReadAgain:
        row = ReadAgain(words=name, value=value, quiet=quiet)
        row.bind(on_release=lambda _: self._again(record))
        return row

    def _again(self, record: str) -> None:
        self.app.go("entry", record=record, how="repeat")


def _nothing(report: FitReport) -> str:
    """Say why there is nothing to say."""
    if not report.room.residuals:
        return "Nothing is read yet. Here it is said when readings cannot all be true."
    if not report.pieces:
        return (
            "Nothing speaks against the readings. Say what you will build, and the readings that help most "
            "are worked out."
        )
    return "Nothing speaks against the readings."


def _pictures(report: FitReport) -> dict[str, LaidOut]:
    from survey.drawing import DrawingError
    from survey.drawing.plan_view import reading_picture

    found = {}
    for reading in report.room.next_readings:
        try:
            found[reading.name] = reading_picture(report, reading)
        except DrawingError:
            continue  # the words say it
    return found


def _step(survey: Survey) -> Step | None:
    from survey.quantity import read_step

    return read_step(survey.job.step) if survey.job is not None else None


def _amount(slip: float, unit: str, step: Step | None) -> str:
    from survey.quantity import write_length

    way = "too large" if slip > 0 else "too small"
    if unit == "deg" or step is None:
        return f"{abs(slip):.1f}{'°' if unit == 'deg' else ' mm'} {way}"
    return f"{write_length(abs(slip), step, style='typeset')} {way}"


def _sentence(words: str) -> str:
    """Begin with a capital and end with a stop."""
    if not words:
        return ""
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "?")) else ".")


def _card(*parts: Widget) -> DoubtCard:
    card = DoubtCard()
    for part in parts:
        card.add_widget(part)
    return card


def _key(words: str, act: Callable[[], Any], is_main: bool = False) -> Key:
    key = Key(text=words, is_main=is_main)
    key.bind(on_release=lambda _: act())
    return key


load_kv(__file__)
