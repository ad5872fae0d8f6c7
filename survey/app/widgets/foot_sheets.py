"""What is asked about a cabinet's foot: what it stands on or how high it hangs, and its toe space."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

from msgspec.structs import replace

from survey.app.piece_edges import typeset_length
from survey.app.piece_form import as_typed
from survey.app.widgets.number_sheet import ask_length
from survey.app.widgets.sheet import choose
from survey.records import BoxPiece, Piece, TypedLength

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp

Base = Literal["box", "legs", "loose base"]
Part = Literal["bottom", "kick_height", "kick_depth"]

STANDS: dict[Base, str] = {
    "box": "It stands on the floor itself",
    "legs": "It stands on legs",
    "loose base": "It stands on a loose base, levelled first",
}
HANGS = "hangs"
ASKED: dict[Part, str] = {
    "bottom": "Height of its underside",
    "kick_height": "Height of the toe space",
    "kick_depth": "Depth of the toe space",
}


class FootSheets:
    """Asks about the foot of a cabinet; `put` gets the cabinet with what was said.

    Nothing is put before the last sheet: a sheet that is let go changes nothing.
    """

    def __init__(self, app: ScribefitApp, piece: BoxPiece, put: Callable[[Piece], None]) -> None:
        """Take the cabinet as it stands."""
        assert app.visit is not None
        self._app, self._unit = app, app.visit.unit
        self._piece, self._put = piece, put

    def ask(self) -> None:
        """Ask what it stands on, or what its toe space is."""
        piece = self._piece
        options: list[tuple[str, str]] = [*STANDS.items(), (HANGS, "It hangs on the wall")]
        now: str = piece.base if piece.bottom is None else HANGS
        parts: tuple[Part, ...] = ("kick_height", "kick_depth") if piece.bottom is None else ("bottom",)
        for part in parts:
            value = getattr(piece, part)
            said = "none" if value is None else typeset_length(value)
            options.append((part, f"{ASKED[part]}: {said}"))
        choose("Bottom", options, self._said, now)

    def _said(self, said: str) -> None:
        if said == HANGS:
            self._hang()
        elif said in STANDS:
            self._stand(said)
        else:
            part: Part = said  # type: ignore[assignment]  # it is no other
            self._ask_length(part)

    def _hang(self) -> None:
        """Hang it: what hangs has no base and no toe space."""
        self._piece = replace(self._piece, base="box", kick_height=None, kick_depth=None)
        self._ask_length("bottom")

    def _stand(self, base: Base) -> None:
        self._piece = replace(self._piece, base=base, bottom=None)
        if base != "box" and self._piece.kick_height is None:
            self._ask_length("kick_height")
        else:
            self._put(self._piece)

    def _ask_length(self, part: Part) -> None:
        def done(text: str) -> None:
            value = TypedLength(text, self._unit) if text else None
            self._put(replace(self._piece, **{part: value}))

        text = as_typed(getattr(self._piece, part), self._unit)
        hint = "Cleared: it stands on the floor." if part == "bottom" else "Cleared: none."
        ask_length(self._app, ASKED[part], done, text, hint=hint)
