"""Taking pieces in from a cut list: what its columns are, what comes in, what cannot; all or none."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.new_piece import KIND_WORDS
from survey.app.page import Page, load_kv
from survey.app.plain import Heading, Quiet, Words
from survey.app.widgets import column as _column  # noqa: F401  the rules name it
from survey.app.widgets.form import FormRow
from survey.app.widgets.listed import InTheWay, Listed
from survey.app.widgets.sheet import choose
from survey.errors import SurveyError

if TYPE_CHECKING:
    from survey.intake import Again, CutList, Taken
    from survey.records import Piece

SUFFIXES: Final = (".csv", ".txt", ".tsv")
NOT_TAKEN: Final = "Not taken"
FIELD_WORDS: Final = {
    "name": "Name", "kind": "Kind", "quantity": "How many", "width": "Width", "height": "Height",
    "depth": "Depth", "thickness": "Thickness", "material": "Material", "grain": "Grain",
    "of": "The piece it belongs to", "on": "The wall it hangs on", "beside": "What it stands beside",
    "wall": "Wall",
}  # fmt: skip
"""What a column can be read as (`survey.intake.FIELDS`), in words."""
AGAIN: Final[dict[Again, str]] = {
    "refuse": "Nothing comes in",
    "skip": "It stays as it is",
    "correct": "It is corrected",
}
MOST: Final = 40
"""Pieces and faults that are listed."""
SIDES: Final = dp(16)


class IntakePage(Page):
    """Given the `file`, asks what its columns are and takes its pieces in."""

    title = StringProperty("Take in a cut list")
    place = "pieces"
    refusal = StringProperty()
    main = StringProperty("Take in")
    can_go = BooleanProperty(False)

    def shown(self) -> None:
        """Read the list beside the screen."""
        self._list: CutList | None = None
        self._taken: Taken | None = None
        self._columns: dict[str, str] = {}
        self._said: dict[str, str] = {}
        self._kind = ""
        self._again: Again = "refuse"
        beside(self.app, partial(_read, Path(self.given["file"]), self._shop), self._read, self._refused)

    def refresh(self) -> None:
        """Work out anew what would come in: the survey may have changed."""
        if self._list is not None:
            self._work_out()

    def go_on(self) -> None:
        """Put down what comes in, and keep what was said of the columns for the shop's next list."""
        from survey.shop import keep_columns

        taken = self._taken
        if taken is None or not self.can_go:
            return
        try:
            self._visit.put(*taken.records)
        except SurveyError as error:
            self.refusal = str(error)
            return
        told = f"{_pieces(len(taken.records))} came in."
        try:
            if self._said:
                keep_columns(self._shop, self._said)
        except SurveyError as error:
            told += f" What its columns are is not kept: {error}"
        self.app.go_to_place("pieces")
        self.app.tell(told, undoes=True)

    # What would come in

    def _read(self, read: tuple[CutList, dict[str, str]]) -> None:
        self._list, self._columns = read
        self._work_out()

    def _refused(self, error: SurveyError) -> None:
        self.refusal = str(error)

    def _work_out(self) -> None:
        from survey.intake import take_in

        assert self._list is not None
        self.can_go = False
        asked = (dict(self._columns), self._kind, self._again)
        visit = self._visit
        work = partial(take_in, self._list, visit.survey, asked[0], visit.hand, kind=asked[1], again=asked[2])

        def done(taken: Taken) -> None:
            if asked == (self._columns, self._kind, self._again) and self.parent is not None:
                self._show(taken)

        beside(self.app, work, done, self._refused)

    def _show(self, taken: Taken) -> None:
        self._taken = taken
        self.can_go = bool(taken.records) and not taken.faults
        self.main = f"Take in {_pieces(len(taken.records))}" if taken.records else "Nothing to take in"
        if self._lacks_kind:
            self.main = "Say what its pieces are first"
        self.ids.rows.pour(self._rows(taken))

    def _rows(self, taken: Taken) -> Iterator[Widget]:
        assert self._list is not None
        name = Path(self.given["file"]).name
        yield Words(text=name, bold=True, padding=(SIDES, dp(4)))
        if self._list.is_own:
            yield Quiet(text="Handed over by Scribefit: its pieces come as they were.", padding=(SIDES, 0))
        else:
            yield from self._questions()
        if taken.differ:
            yield self._row("What is there already, and differs", AGAIN[self._again], self._ask_again)
        if self._lacks_kind:
            return  # every row would say that it lacks one
        if taken.faults:
            yield Heading(text="Cannot be taken", padding=(SIDES, dp(14), SIDES, dp(2)))
            yield from (InTheWay(words=_capital(one)) for one in taken.faults[:MOST])
            yield from _and_more(len(taken.faults))
        if taken.same:
            yield Quiet(text=f"There already, just so: {', '.join(taken.same)}.", padding=(SIDES, dp(8)))
        if taken.records:
            yield Heading(text="Comes in", padding=(SIDES, dp(14), SIDES, dp(2)))
            yield from (_comes_in(one) for one in taken.records[:MOST])
            yield from _and_more(len(taken.records))

    def _questions(self) -> Iterator[Widget]:
        """Ask the kind where no column says it, and what each column is."""
        assert self._list is not None
        if self._asks_kind:
            kind = self._row("What all its pieces are", KIND_WORDS.get(self._kind, ""), self._ask_kind)
            kind.is_needed = True
            yield kind
        yield Heading(text="What its columns are", padding=(SIDES, dp(14), SIDES, dp(2)))
        for heading in filter(None, self._list.headings):
            cell = next((row[heading] for _, row in self._list.rows if row.get(heading)), "")
            words = f"{heading}, such as {cell}" if cell else heading
            answer = FIELD_WORDS.get(self._columns.get(heading, ""), "")
            yield self._row(words, answer, partial(self._ask_column, heading), NOT_TAKEN.lower())

    @property
    def _asks_kind(self) -> bool:
        return "kind" not in self._columns.values()

    @property
    def _lacks_kind(self) -> bool:
        return self._list is not None and not self._list.is_own and self._asks_kind and not self._kind

    def _row(self, words: str, answer: str, act: Any, hint: str = "") -> FormRow:
        row = FormRow(words=words, answer=answer, hint=hint)
        row.bind(on_release=lambda _: act())
        return row

    # What is asked

    def _ask_column(self, heading: str) -> None:
        options = [*FIELD_WORDS.items(), ("", NOT_TAKEN)]
        now = self._columns.get(heading, "")
        choose(f"“{heading}” is", options, partial(self._say_column, heading), now)

    def _say_column(self, heading: str, field: str) -> None:
        """Read a column as something; a column that was read so before is not any more."""
        others = {one: to for one, to in self._columns.items() if one != heading and to != field}
        self._columns = others | ({heading: field} if field else {})
        self._said = {one: to for one, to in self._said.items() if one in self._columns}
        if field:
            self._said[heading] = field
        self._work_out()

    def _ask_kind(self) -> None:
        choose("What all its pieces are", list(KIND_WORDS.items()), self._say_kind, self._kind)

    def _say_kind(self, kind: str) -> None:
        self._kind = kind
        self._work_out()

    def _ask_again(self) -> None:
        choose("What is there already, and differs", list(AGAIN.items()), self._say_again, self._again)

    def _say_again(self, again: Again) -> None:
        self._again = again
        self._work_out()

    @property
    def _visit(self) -> Any:
        assert self.app.visit is not None
        return self.app.visit

    @property
    def _shop(self) -> Path:
        return self.app.desk.home / "shop.json"


def _read(file: Path, shop: Path) -> tuple[CutList, dict[str, str]]:
    from survey.errors import FileError
    from survey.intake import MOST_BYTES, guessed, read_cut_list
    from survey.shop import read_shop

    try:
        with file.open("rb") as opened:
            content = opened.read(MOST_BYTES + 1)
    except OSError as error:
        raise FileError(f"{file}: cannot be read: {error.strerror or error}") from error
    read = read_cut_list(content)
    return read, guessed(read.headings, read_shop(shop).columns)


def _comes_in(piece: Piece) -> Listed:
    from survey.app.piece_form import sizes
    from survey.records import kind_of

    many = f"{piece.quantity} of it, " if getattr(piece, "quantity", 1) != 1 else ""
    return Listed(words=piece.name, told=f"{KIND_WORDS[kind_of(piece)].lower()}, {many}{sizes(piece)}")


def _and_more(count: int) -> Iterator[Widget]:
    if count > MOST:
        yield Quiet(text=f"And {count - MOST} more.", padding=(SIDES, dp(6)))


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


load_kv(__file__)
