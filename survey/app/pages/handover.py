"""Hand over: what stands in the way, the folder for the shop, and the files that were written."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.clock import mainthread
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.page import Page, load_kv
from survey.app.plain import Heading, Quiet, Row, Words
from survey.app.widgets import column as _column  # noqa: F401  the rules name it
from survey.app.widgets.form import FormRow
from survey.app.widgets.listed import InTheWay, Listed
from survey.app.widgets.sheet import choose, choose_several

if TYPE_CHECKING:
    from survey.app.handed import Handed
    from survey.errors import SurveyError
    from survey.handover.wanted import Wanted
    from survey.report.structs import FitReport

MOST: Final = 5
"""Of what stops the work, and of folders from before, that are listed."""


class FileRow(Row):
    """A file or folder that was written."""

    words = StringProperty()
    told = StringProperty()


class HandoverPage(Page):
    """Hands over; given a `folder`, shows what was written there."""

    title = StringProperty("Hand over")
    place = "handover"
    is_writing = BooleanProperty(False)
    share = NumericProperty(0.0)
    doing = StringProperty()
    refusal = StringProperty()
    main = StringProperty()
    can_go = BooleanProperty(False)
    has_stops = BooleanProperty(False)

    def shown(self) -> None:
        """Show the folder, or what there is to write."""
        self._written = Path(self.given["folder"]) if "folder" in self.given else None
        if self._written is None:
            self.refresh()
        else:
            self.title, self.main = "Handed over", "Share"
            beside(self.app, partial(_files, self._written), self._list)

    def refresh(self) -> None:
        """Say anew what stands in the way, and what will be written."""
        if self._written is not None or self.is_writing:
            return
        report = self.app.report
        self.can_go = report is not None and self.app.is_fresh
        stops = _stops(report)
        self.has_stops = bool(stops)
        self.main = "Hand over all the same" if stops else "Hand over"
        self.ids.rows.pour(self._rows(report, stops))

    def go_on(self) -> None:
        """Do what the main key says: write, or share what was written."""
        if self._written is not None:
            self.app.platform.share(self._written, self.app.tell)
        elif self.can_go:
            self._write()

    # What will be written

    def _rows(self, report: FitReport | None, stops: list[str]) -> Iterator[Widget]:
        if report is None or not self.app.is_fresh:
            yield Quiet(text="Working out what to cut …", padding=(dp(16), dp(4)))
        if report is None:
            return
        if stops:
            yield Heading(text="Stops before cutting", padding=(dp(16), dp(4)))
            for words in stops[:MOST]:
                yield InTheWay(words=words)
            more = f"and {len(stops) - MOST} more, " if len(stops) > MOST else ""
            row = FileRow(words="See them in Fit", told=f"{more}the papers will say them too")
            row.bind(on_release=lambda _: self.app.go_to_place("fit"))
            yield row
        yield Heading(text="Goes into the folder", padding=(dp(16), dp(12), dp(16), dp(4)))
        for words, told in _contents(report, self._templates(report)):
            yield Listed(words=words, told=told)
        yield from self._choices(report)
        folder = FormRow(words="In a new folder, in", answer=str(self._above))
        folder.bind(on_release=lambda _: self._choose())
        yield folder
        row = FileRow(words="Settings", told="title, units, smallest fraction, how sure, level line")
        row.bind(on_release=lambda _: self.app.go("settings"))
        yield row
        yield from self._before()

    def _choices(self, report: FitReport) -> Iterator[Widget]:
        """Ask on which paper the papers are set, and how outlines are written."""
        from survey.app.papers import BOOK_PAPERS, OUTLINES, template_paper, with_outline
        from survey.handover.tiling import PAPERS

        settings = self.app.desk.settings
        yield Heading(text="Papers and files", padding=(dp(16), dp(16), dp(16), dp(4)))
        yield self._choice("book_paper", "Job book on", list(BOOK_PAPERS.items()), settings.book_paper)
        if not with_outline(report):
            return
        forms = [(name, words) for name, (words, _) in OUTLINES.items()]
        yield self._choice("outlines", "Outlines for machines as", forms, settings.outlines)
        templates = self._templates(report)
        row = FormRow(words="Templates at full size of", answer=", ".join(templates) or "none")
        row.bind(on_release=lambda _: self._choose_templates(report))
        yield row
        if templates:
            papers = [(one, one) for one in PAPERS]
            on = template_paper(settings, report.unit)
            yield self._choice("template_paper", "Templates on", papers, on)

    def _choice(self, name: str, words: str, options: Sequence[tuple[str, str]], now: str) -> FormRow:
        """Ask one of the device's settings."""

        def chosen(value: str) -> None:
            setattr(self.app.desk.settings, name, value)
            self.app.desk.keep()
            self.refresh()

        row = FormRow(words=words, answer=dict(options)[now])
        row.bind(on_release=lambda _: choose(words, options, chosen, now))
        return row

    def _templates(self, report: FitReport) -> list[str]:
        from survey.app.papers import with_outline

        return [one for one in with_outline(report) if one in self.app.desk.kept.templates]

    def _choose_templates(self, report: FitReport) -> None:
        from survey.app.papers import with_outline

        def chosen(names: list[str]) -> None:
            self.app.desk.kept.templates = names
            self.app.desk.keep()
            self.refresh()

        options = [(one, one) for one in with_outline(report)]
        choose_several("Templates at full size of", options, chosen, self._templates(report))

    def _before(self) -> Iterator[Widget]:
        from survey.app.giving import handed_over

        folders = handed_over(self._above, self._title)
        if folders:
            yield Heading(text="Handed over before", padding=(dp(16), dp(16), dp(16), dp(4)))
            yield self._to_changes()
        for folder in folders[:MOST]:
            row = FileRow(words=folder.name.replace("_", " "))
            row.bind(on_release=lambda _, folder=folder: self.app.go("handover", folder=str(folder)))
            yield row

    def _to_changes(self, folder: Path | None = None) -> FileRow:
        """Lead to what changed since a folder, or since the newest one."""
        row = FileRow(words="What changed since", told="which papers are not right any more, and what to do")
        given = {} if folder is None else {"folder": str(folder)}
        row.bind(on_release=lambda _: self.app.go("changes", **given))
        return row

    @property
    def _above(self) -> Path:
        from survey.app.giving import folder_above

        return folder_above(self.app.desk)

    @property
    def _title(self) -> str:
        job = self.app.visit.survey.job if self.app.visit is not None else None
        return job.title if job is not None else "survey"

    def _choose(self) -> None:
        from survey.app.widgets.file_choice import choose_folder

        choose_folder("The folder that it goes into", self._chosen, self._above)

    def _chosen(self, folder: Path) -> None:
        self.app.desk.kept.folder = str(folder)
        self.app.desk.keep()
        self.refresh()

    # Writing

    def _write(self) -> None:
        from survey.app.changed import last_folder
        from survey.app.giving import next_folder
        from survey.app.papers import wanted
        from survey.report.revision import revision_mark

        visit, report = self.app.visit, self.app.report
        assert visit is not None
        assert report is not None
        folder = next_folder(
            self._above, self._title, revision_mark(report), datetime.now().astimezone().date()
        )
        self.is_writing, self.share, self.refusal, self.can_go = True, 0.0, "", False
        since = last_folder(self._above, visit.survey)
        desk = self.app.desk
        asked = wanted(desk.settings, desk.kept.templates, report)
        work = partial(_give, visit.path, report, folder, self._told, since, asked)
        beside(self.app, work, self._done, self._refused)

    @mainthread
    def _told(self, what: str, done: int, of: int) -> None:
        self.doing = f"Writing {what} …"
        self.share = done / max(of, 1)

    def _done(self, files: list[Path]) -> None:
        self.is_writing = False
        folder = files[0].parent
        if self.parent is None:
            self.app.tell(f"Handed over: {folder.name.replace('_', ' ')}.")
        else:
            self.app.go("handover", folder=str(folder))

    def _refused(self, error: SurveyError) -> None:
        self.is_writing = False
        if self.parent is None:
            self.app.tell(str(error))
            return
        self.refusal = f"Nothing was written. {error}"
        self.refresh()

    # What was written

    def _list(self, files: list[Handed]) -> None:
        self.can_go = True
        self.ids.rows.pour(self._file_rows(files))
        survey = self.app.visit.survey if self.app.visit is not None else None
        if survey is not None and self._written is not None:
            beside(self.app, partial(_is_of, self._written, survey), self._say_age, lambda _: None)

    def _pack(self) -> None:
        assert self._written is not None
        beside(self.app, partial(_packed, self._written), lambda target: self.app.tell(f"Packed: {target}."))

    def _say_age(self, is_of_now: bool) -> None:
        if not is_of_now:
            self.refusal = "The survey has changed since: these papers are of what was read before."

    def _file_rows(self, files: list[Handed]) -> Iterator[Widget]:
        assert self._written is not None
        yield Words(text=self._written.name.replace("_", " "), bold=True, padding=(dp(16), dp(4)))
        yield Quiet(text=f"In {self._written.parent}", padding=(dp(16), 0, dp(16), dp(8)))
        yield self._to_changes(self._written)
        zipped = FileRow(words="Pack into one zip", told="one file to send, beside the folder")
        zipped.bind(on_release=lambda _: self._pack())
        yield zipped
        for one in files:
            row = FileRow(words=one.file.name, told=f"{one.words}, {_size(one.size)}")
            row.bind(on_release=lambda _, file=one.file: self.app.go("preview", file=str(file)))
            yield row


def _packed(folder: Path) -> Path:
    from survey.handover.write import pack

    return pack(folder)


def _stops(report: FitReport | None) -> list[str]:
    from survey.drawing.piece_words import plain, typeset

    if report is None:
        return []
    found = [one for one in report.findings if one.severity == "stops"]
    told = [typeset(plain(f"{one.says}; {one.do}.")) for one in found]
    return [words[:1].upper() + words[1:] for words in told]


def _contents(report: FitReport, templates: list[str]) -> Iterator[tuple[str, str]]:
    from survey.app.papers import with_outline

    count = len(report.pieces)
    outlines = with_outline(report)
    yield "Job book", "to print: the room, each piece with its drawing, the day of installation"
    yield "Saw list", "for a program that divides boards: a row for each board"
    yield "Cut list", f"for a spreadsheet: {'1 piece' if count == 1 else f'{count} pieces'}"
    if outlines:
        yield ("Outline" if len(outlines) == 1 else "Outlines"), f"for a machine: {', '.join(outlines)}"
    if templates:
        name = "Template" if len(templates) == 1 else "Templates"
        yield name, f"to lay on the wood: {', '.join(templates)}"
    yield "Survey file", "all that was read, with photos, to open again"


def _give(
    path: Path,
    report: FitReport,
    folder: Path,
    told: Callable[[str, int, int], None],
    since: Path | None,
    asked: Wanted,
) -> list[Path]:
    from survey.app.giving import give

    return give(path, report, folder, told, since, asked)


def _files(folder: Path) -> list[Handed]:
    from survey.app.handed import files_of

    return files_of(folder)


def _is_of(folder: Path, survey: object) -> bool:
    from survey.app.handed import is_of
    from survey.records import Survey
    from survey.records.canonical import survey_hash

    assert isinstance(survey, Survey)
    return is_of(folder, survey_hash(survey))


def _size(count: int) -> str:
    """Say how large a file is.

    >>> _size(900), _size(48_123), _size(3_400_000)
    ('1 kB', '48 kB', '3.4 MB')
    """
    return f"{max(round(count / 1000), 1)} kB" if count < 999_500 else f"{count / 1e6:.1f} MB"


load_kv(__file__)
