"""One piece: its picture with edges to tap, its sizes, and what stands in its way."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from msgspec.structs import replace

from survey.app.bench_words import cut_words, cuts_in, takes_cuts
from survey.app.keyboard import scroll_to
from survey.app.leads import Lead
from survey.app.new_feature import sort_of
from survey.app.new_piece import KIND_WORDS, SIDES
from survey.app.page import Page, load_kv
from survey.app.pages.pieces import add_piece, show_proposals
from survey.app.piece_edges import edge_fields
from survey.app.piece_form import Entry, answered, as_typed, checked, entries, names_for, renamed
from survey.app.piece_sides import HINGE_AT, SEEN, STANDS_AT, TAP, sides
from survey.app.piece_state import findings_about, piece_state
from survey.app.plain import Heading, Key, Row
from survey.app.proposals import proposals
from survey.app.record_form import text_of
from survey.app.visit import Visit
from survey.app.walk_list import Row as WalkRow
from survey.app.walk_list import walk_rows
from survey.app.widgets import edge_picture as _edges  # noqa: F401  the rules name them
from survey.app.widgets import finding_list as _findings  # noqa: F401
from survey.app.widgets import glyph as _glyph  # noqa: F401
from survey.app.widgets import key_grid as _key_grid  # noqa: F401
from survey.app.widgets.asking import Ask, ask_answer
from survey.app.widgets.edge_sheets import EdgeSheets
from survey.app.widgets.foot_sheets import FootSheets
from survey.app.widgets.form import FormRow
from survey.app.widgets.sheet import ask_words, choose
from survey.errors import SurveyError
from survey.records import BoxPiece, CutOut, Piece, Seam, Survey, Top, kind_of

MIDDLE = {"cabinet": 100.0, "tall-cabinet": 170.0, "top": 64.0, "panel": 130.0, "filler": 150.0,
    "cabinet-door": 150.0, "drawer": 64.0, "false-front": 64.0, "toe-kick": 24.0, "face-frame": 100.0,
}  # fmt: skip
"""dp that the middle of a kind's picture is high: a top is flat, a tall cabinet tall."""


class PieceRow(FormRow):
    """A row of the form, with what was refused in it."""

    field = StringProperty()
    trouble = StringProperty()


class StateLine(Row):
    """How far the piece has come; a tap leads to what stands in its way."""

    sign = StringProperty("missing")
    words = StringProperty()
    is_old = BooleanProperty(False)
    leads_on = BooleanProperty(False)


class CutsHeading(Heading):
    """Says what the rows below it are."""


class CutKeys(BoxLayout):
    """Keys that add a cut-out or a seam."""


class GonePart(BoxLayout):
    """Shown where the piece was taken back."""

    page = ObjectProperty(None)


class PiecePage(Page):
    """Shows the piece whose `record` is given; with a `kind`, and no record, a new one of that kind.

    Every answer is a correction that is put down at once.
    """

    place = "pieces"

    def __init__(self, app: Any, **given: str) -> None:
        """Take what the page is about."""
        self._height = 0.0
        super().__init__(app, **given)
        self._typed: dict[str, str] = {}
        self._cuts: tuple[CutOut | Seam, ...] | None = None
        self._walked: tuple[Survey | None, tuple[WalkRow, ...]] = (None, ())
        self._find_soon = Clock.create_trigger(self._show_findings, 0.05)

    def shown(self) -> None:
        """Add the piece first where only its kind is given."""
        if "record" not in self.given:
            piece = add_piece(self.app, self.given.get("kind", "cabinet"))
            if piece is None:
                self.app.swap("pieces")
            else:
                self.app.swap("piece", record=piece.id)
            return
        self.refresh()

    def left(self) -> None:
        """Look no more for what stands in the way."""
        self._find_soon.cancel()

    @property
    def visit(self) -> Visit:
        """The open job."""
        assert self.app.visit is not None
        return self.app.visit

    @property
    def piece(self) -> Piece | None:
        """The piece as it stands now, corrections and undo followed."""
        found = self.visit.standing(self.given.get("record", ""))
        return found if isinstance(found, Piece) else None

    def refresh(self) -> None:
        """Show the piece as it is now; rows that stay keep their place."""
        piece, visit = self.piece, self.visit
        if piece is None:
            self._show_gone()
            return
        kind = kind_of(piece)
        self.title = piece.name
        state = piece_state(piece, self.app.report, self.app.is_fresh)
        line = self.ids.state
        line.sign, line.words, line.is_old = state.sign, state.words, state.is_old
        shown = sides(piece, visit.survey)
        tap = TAP.get(kind, "Tap an edge to change it.")
        self.ids.seen.text = f"{KIND_WORDS[kind]}, {SEEN[kind]}. {tap}" if shown else ""
        picture = self.ids.picture
        picture.middle = MIDDLE.get(kind, 64.0)
        picture.sides = shown
        show_proposals(self.ids.proposed, proposals(visit.survey, piece.name), self.app, "What goes with it")
        self._show_cuts(piece, visit.survey)
        self._show_form(piece, visit.survey)
        self._find_soon()

    def hold_place(self, height: float) -> None:
        """Keep what is on the screen where it is when the page grows or shrinks below it."""
        scroll = self.ids.scroll
        before, now = self._height - scroll.height, height - scroll.height
        self._height = height
        if before > 0 and now > 0:
            scroll.scroll_y = min(max(1 - (1 - scroll.scroll_y) * before / now, 0.0), 1.0)

    def _show_gone(self) -> None:
        self.title = "Piece"
        self._find_soon.cancel()
        self.clear_widgets()
        self.add_widget(GonePart(page=self))

    # What is cut out of it, and joined in it

    def _show_cuts(self, piece: Piece, survey: Survey) -> None:
        """List them, each to be opened, and keys to add more; nothing where a piece takes none."""
        box, found = self.ids.cuts, cuts_in(survey, piece) if takes_cuts(piece) else None
        if found == self._cuts:
            return
        self._cuts = found
        box.clear_widgets()
        if found is None:
            return
        if found:
            box.add_widget(CutsHeading())
        for one in found:
            row = FormRow(words=f"{sort_of(one).words} {one.name}", answer=cut_words(one))
            row.bind(on_release=lambda _, one=one: self.app.go("feature", record=one.id, of="pieces"))
            box.add_widget(row)
        keys = CutKeys()
        for words, kind in (("Add a cut-out", "cut-out"), ("Add a seam", "seam/seam")):
            key = Key(text=words)
            key.bind(on_release=lambda _, kind=kind: self._add_cut(kind))
            keys.ids.grid.add_widget(key)
        box.add_widget(keys)

    def _add_cut(self, kind: str) -> None:
        if self.piece is not None:
            self.app.go("feature", kind=kind, of="pieces", piece=self.piece.name)

    # The form

    def _show_form(self, piece: Piece, survey: Survey) -> None:
        rows = {row.field: row for row in self.ids.form.children}
        asked = entries(piece, survey)
        wanted = [one.question.field for one in asked]
        if wanted != [row.field for row in reversed(self.ids.form.children)]:
            self.ids.form.clear_widgets()
            for field in wanted:
                self.ids.form.add_widget(rows.get(field) or self._row(field))
        for one, row in zip(asked, reversed(self.ids.form.children), strict=True):
            row.words, row.answer = _title(one.words), one.answer
            row.hint, row.is_needed = one.hint, one.is_needed

    def _row(self, field: str) -> PieceRow:
        row = PieceRow(field=field)
        row.bind(on_release=lambda pressed: self.change(pressed.field))
        return row

    def change(self, field: str) -> None:
        """Ask for what a tap is about: an edge, a row of the form, what lies on a cabinet."""
        piece, visit = self.piece, self.visit
        if piece is None:
            return
        if field == "over":
            self._go_over(piece, visit.survey)
        elif field == "beside":
            self._ask_beside(piece, visit.survey)
        elif field == "foot" and isinstance(piece, BoxPiece):
            FootSheets(self.app, piece, lambda new: self._put(new, field)).ask()
        elif field.startswith((HINGE_AT, STANDS_AT)):
            self._move_to(piece, field)
        elif field == "name":
            ask_words("Name, one word", self._rename, piece.name)
        elif field in edge_fields(piece):
            EdgeSheets(self.app, piece, field, lambda new: self._put(new, field)).ask()
        else:
            asked = next((one for one in entries(piece, visit.survey) if one.question.field == field), None)
            if asked is not None:
                self._ask(piece, asked)

    def _ask(self, piece: Piece, asked: Entry) -> None:
        question, title = asked.question, _title(asked.words)
        names = names_for(piece, question.field, self.visit.survey)
        value = getattr(piece, question.field)

        def done(text: str) -> None:
            self._answer(asked, text)

        unit = self.visit.unit
        standing = as_typed(value, unit) if question.sort == "length" else text_of(question, value, unit)
        # What was refused stands there to be mended.
        text = self._typed.get(question.field) or standing
        can_be_empty = not question.is_needed and question.usual in (None, "", ())
        empty = (asked.hint or "not said") if can_be_empty else ""
        ask_answer(self.app, Ask(question, title, text, value, names, empty), done)

    def _answer(self, asked: Entry, text: str) -> None:
        piece, visit = self.piece, self.visit
        if piece is None:
            return
        field = asked.question.field
        try:
            new = answered(piece, asked.question, text, visit.unit)
            if new != piece:
                visit.correct(piece, new)
        except SurveyError as error:
            self._typed[field] = text
            self._refuse(str(error), field)
            return
        self._typed.pop(field, None)
        self._refuse("", field)

    def _refuse(self, why: str, field: str) -> None:
        """Say in place why something was not put down; nothing clears it."""
        row = next((one for one in self.ids.form.children if one.field == field), None)
        if row is not None:
            row.trouble = why
        else:
            self.ids.trouble.text = why

    def _rename(self, wanted: str) -> None:
        piece, visit = self.piece, self.visit
        if piece is None:
            return
        try:
            changes = renamed(piece, wanted, visit.survey)
            if changes:
                visit.put(*(replace(new, **visit.stamp(), replaces=(old.id,)) for old, new in changes))
        except SurveyError as error:
            self._refuse(str(error), "name")
            return
        self._refuse("", "name")

    def _put(self, new: Piece, field: str) -> None:
        piece, visit = self.piece, self.visit
        if piece is None:
            return
        try:
            if new != piece:
                visit.correct(piece, checked(new))
        except SurveyError as error:
            self._refuse(str(error), field)
            return
        self._refuse("", field)

    # Other pieces

    def _go_over(self, piece: Piece, survey: Survey) -> None:
        """Go to the top that lies on this cabinet; where there is none, add it."""
        tops = [one for one in survey.of(Top) if one.on == piece.name]
        if tops:
            self.app.go("piece", record=tops[0].id)
        else:
            add_piece(self.app, "top", piece.name)

    def _move_to(self, piece: Piece, act: str) -> None:
        """Move a door's hinges or a splash to the side tapped; a splash tapped where it stands is let go."""
        if act.startswith(HINGE_AT):
            self._put(replace(piece, hinge=act.removeprefix(HINGE_AT)), "hinge")
            return
        side = act.removeprefix(STANDS_AT)
        stands = None if getattr(piece, "side", None) == side else side
        self._put(replace(piece, side=stands), "side")

    def _ask_beside(self, piece: Piece, survey: Survey) -> None:
        """Ask at which side of which cabinet a strip stands."""
        boxes = survey.of(BoxPiece)
        options = [
            ((box.name, side), f"{_title(side)} of {box.name}") for box in boxes for side in (*SIDES, "top")
        ]
        now: Any = piece
        choose(
            "The strip stands",
            options,
            lambda at: self._put(replace(now, beside=at[0], side=at[1]), "beside"),
            (now.beside, now.side),
        )

    def take_back(self) -> None:
        """Take the piece back, and go to the others."""
        piece, visit = self.piece, self.visit
        if piece is None:
            return
        name = piece.name
        try:
            visit.withdraw(piece)
        except SurveyError as error:
            self.app.tell(str(error))
            return
        self.app.go_to_place("pieces")
        self.app.tell(f"Taken back: {name}.", undoes=True)

    def see_fit(self) -> None:
        """Go to the piece as it is fitted."""
        if self.piece is not None:
            self.app.go("fitted", piece=self.piece.name)

    def see_remarks(self) -> None:
        """Go to its notes and photos."""
        if self.piece is not None:
            self.app.go("remarks", about=self.piece.name)

    # What stands in the way

    def show_findings(self) -> None:
        """Scroll to what stands in the way."""
        if self.ids.findings.children:
            scroll_to(self.ids.findings)

    def _show_findings(self, *_: object) -> None:
        piece = self.piece
        if piece is not None:
            found = findings_about(piece, self.app.report)
            self.ids.state.leads_on = bool(found)
            self.ids.findings.show(found, self.visit.survey, self._rows(), self._follow, piece.name)

    def _follow(self, way: Lead) -> None:
        self.app.go(way.page, **way.given)

    def _rows(self) -> tuple[WalkRow, ...]:
        """Return the walk, made once for each state of the survey."""
        survey = self.visit.survey
        if self._walked[0] is not survey:
            self._walked = survey, walk_rows(survey, self.app.desk.settings.tools)
        return self._walked[1]


def _title(words: str) -> str:
    return words[:1].upper() + words[1:]


load_kv(__file__)
