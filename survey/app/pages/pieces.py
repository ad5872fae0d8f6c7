"""The pieces that are planned, what each of their edges meets, and how far each has come."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.beside import beside
from survey.app.new_piece import FIRST, KIND_WORDS, OTHERS, Side, new_piece
from survey.app.page import Page, load_kv
from survey.app.piece_edges import own_wall
from survey.app.piece_form import edges_say, in_order, sizes
from survey.app.piece_state import piece_state
from survey.app.plain import Key, Quiet, Row
from survey.app.proposals import Proposal, proposals
from survey.app.widgets import fit_parts as _fit_parts  # noqa: F401  the rules name them
from survey.app.widgets import glyph as _glyph  # noqa: F401
from survey.app.widgets import picture as _picture  # noqa: F401
from survey.app.widgets.sheet import choose
from survey.drawing import DrawingError, LaidOut
from survey.errors import SurveyError
from survey.records import Piece, Room, Survey, kind_of

MORE = "more"
NO_ROOM = "The place comes first: then the edges of a new piece know their walls."


class PieceLine(Row):
    """A piece in the list."""

    piece = StringProperty()
    name = StringProperty()
    sizes = StringProperty()
    edges = StringProperty()
    sign = StringProperty("missing")
    state_words = StringProperty()
    is_below = BooleanProperty(False)
    is_old = BooleanProperty(False)


class EmptyPieces(BoxLayout):
    """What to do first."""

    says = StringProperty()


class PiecesPage(Page):
    """Lists the pieces; a tap opens one, the main key adds one."""

    title = "Pieces"
    place = "pieces"
    wall = StringProperty()
    """The wall that the picture shows; empty while there is none."""

    def shown(self) -> None:
        """Show the pieces, and a moment later where they stand."""
        self._drawn: Survey | None = None
        self.refresh()

    def refresh(self) -> None:
        """Show the pieces as they are now; lines that stay are kept."""
        visit = self.app.visit
        if visit is None:
            return
        survey = visit.survey
        pieces = in_order(survey.of(Piece))
        lines = self.ids.lines
        while len(lines.children) > len(pieces):
            lines.remove_widget(lines.children[0])
        while len(lines.children) < len(pieces):
            line = PieceLine()
            line.bind(on_release=lambda pressed: self.app.go("piece", record=pressed.piece))
            lines.add_widget(line)
        for (piece, is_below), line in zip(pieces, reversed(lines.children), strict=True):
            state = piece_state(piece, self.app.report, self.app.is_fresh)
            line.piece, line.name, line.is_below = piece.id, piece.name, is_below
            line.sizes = f"{KIND_WORDS[kind_of(piece)].lower()}, {sizes(piece)}"
            line.edges = edges_say(piece, survey)
            line.sign, line.state_words, line.is_old = state.sign, state.words, state.is_old
        self._say_first(bool(pieces), bool(survey.of(Room)))
        show_proposals(self.ids.proposed, proposals(survey), self.app, "What goes with them")
        if survey is not self._drawn:
            self._drawn = survey
            self._draw(survey, next((wall for one, _ in pieces if (wall := own_wall(one, survey))), None))

    def _draw(self, survey: Survey, wall: str | None) -> None:
        """Draw the pieces at the first one's wall, beside the screen: it takes a moment."""

        def work() -> LaidOut | None:
            from survey.drawing.pieces_view import pieces_picture

            try:
                return pieces_picture(survey, wall) if wall else None
            except DrawingError:  # the place is not set up
                return None

        def done(picture: LaidOut | None) -> None:
            if survey is self._drawn:
                self.ids.picture.laid_out = picture
                self.wall = wall if wall and picture else ""

        beside(self.app, work, done)

    def pick(self, record: str) -> None:
        """Go to the piece under a tap on the picture; what else is there belongs to the wall."""
        visit = self.app.visit
        if visit is not None and isinstance(visit.survey.by_id.get(record), Piece):
            self.app.go("piece", record=record)
        else:
            self.see_wall()

    def see_wall(self) -> None:
        """Go to the wall with all that is on it."""
        self.app.go("wall_view", wall=self.wall)

    def add(self) -> None:
        """Let a kind be chosen, and add a piece of it."""
        options = [(kind, KIND_WORDS[kind]) for kind in FIRST]
        choose("Add a piece", [*options, (MORE, "Something else")], self._chosen)

    def take_in(self) -> None:
        """Let a cut list be chosen, and go and see what would come in."""
        from survey.app.pages.intake import SUFFIXES
        from survey.app.widgets.file_choice import choose_file

        choose_file("A cut list (CSV)", SUFFIXES, lambda file: self.app.go("intake", file=str(file)))

    def _chosen(self, kind: str) -> None:
        if kind == MORE:
            choose("Add a piece, listed as typed", [(one, KIND_WORDS[one]) for one in OTHERS], self._open_new)
        else:
            self._open_new(kind)

    def _open_new(self, kind: str) -> None:
        piece = add_piece(self.app, kind)
        if piece is not None:
            self.app.go("piece", record=piece.id)

    def _say_first(self, has_pieces: bool, has_room: bool) -> None:
        empty = self.ids.empty
        empty.clear_widgets()
        if not has_pieces:
            first = EmptyPieces(says="" if has_room else NO_ROOM)
            first.ids.place.bind(on_release=lambda _: self.app.go("place"))
            empty.add_widget(first)


def add_piece(app: Any, kind: str, of: str = "", side: Side | None = None) -> Piece | None:
    """Add a piece with usual sizes; say that it can be undone, or why it cannot be."""
    try:
        piece = new_piece(kind, app.visit.survey, app.visit.stamp(), of, side)
        app.visit.put(piece)
    except SurveyError as error:
        app.tell(f"{error}.")
        return None
    app.tell(f"Added, with usual sizes: {piece.name}.", undoes=True)
    return piece


def show_proposals(box: BoxLayout, proposed: tuple[Proposal, ...], app: Any, title: str) -> None:
    """Put a key for each proposal into a box, below a quiet title; an empty box for none."""
    words = [one.words for one in proposed]
    if [key.text for key in reversed(box.children)][1:] == words:
        return
    box.clear_widgets()
    if proposed:
        box.add_widget(Quiet(text=title))
    for one in proposed:
        key = Key(text=one.words)
        key.bind(on_release=lambda _, one=one: add_piece(app, one.kind, one.of, one.side))
        box.add_widget(key)


load_kv(__file__)
