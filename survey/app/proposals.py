"""What goes with what is planned: pieces still lacking, the likeliest first, and a cut-out's likely start.

Which part goes with which is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from survey.app.new_piece import SIDES, Side, is_wide, lacking_strips, tops_on
from survey.app.piece_edges import own_wall
from survey.records import (
    BoughtItem,
    BoxPiece,
    CabinetDoor,
    CutOut,
    FaceFrame,
    FrontPiece,
    Piece,
    RoughIn,
    Splash,
    Survey,
    ToeKick,
    Top,
)

MOST: Final = 4
"""Proposals at once: more would be a list to read."""
BASINS: Final = ("basin", "sink", "bowl", "lavatory")
"""Words by which a bought item is known as something that is let into a top."""
OVALS: Final = ("oval", "round")


@dataclass(frozen=True)
class Proposal:
    """A piece that goes with one that is planned: its kind, the piece, and at which side of it."""

    words: str
    kind: str
    of: str
    side: Side | None = None


def proposals(survey: Survey, of: str = "") -> tuple[Proposal, ...]:
    """Return what is still lacking with the pieces that are planned, or with one of them; at most `MOST`.

    Strips and tops come first, for all cabinets, then what closes their fronts, then what is fixed on last.
    """
    found: list[tuple[int, Proposal]] = []
    for box in survey.of(BoxPiece):
        if of in ("", box.name):
            found += _with_box(survey, box)
    for top in survey.of(Top):
        if of in ("", top.name) and _wants_splash(survey, top):
            found.append((3, Proposal(f"Splash behind {top.name}", "splash", top.name)))
    found.sort(key=lambda one: one[0])
    return tuple(one for _, one in found[:MOST])


def _with_box(survey: Survey, box: BoxPiece) -> Iterator[tuple[int, Proposal]]:
    """Give what goes with a cabinet, each with its rank."""
    name, is_base = box.name, box.__struct_config__.tag == "cabinet"
    for side in lacking_strips(survey, box):
        yield 0, Proposal(f"Filler strip, {side} of {name}", "filler", name, side)
    if is_base and not tops_on(survey, box):
        yield 1, Proposal(f"Top on {name}", "top", name)
    fronts = [one for one in survey.of(FrontPiece) if one.of == name]
    yield from ((2, one) for one in _doors(box, fronts))
    has_kick = any(one.of == name for one in survey.of(ToeKick))
    if box.bottom is None and box.kick_depth is not None and not has_kick:
        yield 3, Proposal(f"Toe-kick under {name}", "toe-kick", name)
    if not fronts:
        yield 4, Proposal(f"Drawer in {name}", "drawer", name)
        if not any(one.of == name for one in survey.of(FaceFrame)):
            yield 5, Proposal(f"Face frame on {name}", "face-frame", name)


def _doors(box: BoxPiece, fronts: list[FrontPiece]) -> Iterator[Proposal]:
    """Give the next door: the only one of a narrow cabinet; of a wide one the left, then the right."""
    doors = [one for one in fronts if isinstance(one, CabinetDoor)]
    if len(doors) != len(fronts):
        return
    if not is_wide(box):
        if not doors:
            yield Proposal(f"Door on {box.name}", "cabinet-door", box.name)
        return
    for side in SIDES:
        if all(door.hinge != side for door in doors) and len(doors) < len(SIDES):
            yield Proposal(f"Door, {side} on {box.name}", "cabinet-door", box.name, side)
            return


def _wants_splash(survey: Survey, top: Top) -> bool:
    return top.back.meets is not None and not any(one.of == top.name for one in survey.of(Splash))


def likely_cut_out(survey: Survey, of: str) -> dict[str, Any]:
    """Return what is likely of a new cut-out in a piece: for the first basin bought, over the first drain.

    What another cut-out is for already, or lies over, is left to that.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm", "wall back", "drain d on back", 'bought bowl "oval basin" width 480']
    >>> survey = Survey(dictate([*lines, "top t thickness 30, back meets back scribed"], Survey([])))
    >>> likely_cut_out(survey, "t")
    {'of': 't', 'item': 'bowl', 'shape': 'oval', 'over': 'd'}
    """
    said: dict[str, Any] = {"of": of}
    others = survey.of(CutOut)
    used = {one.item for one in others}
    items = [one for one in survey.of(BoughtItem) if _is_let_in(one) and one.name not in used]
    items.sort(key=lambda one: one.of != of)
    if items:
        said["item"] = items[0].name
        if any(word in items[0].what.lower() for word in OVALS):
            said["shape"] = "oval"
    piece = next((one for one in survey.named.get(of, ()) if isinstance(one, Piece)), None)
    wall = None if piece is None else own_wall(piece, survey)
    covered = {one.over for one in others}
    for one in survey.of(RoughIn):
        if one.type == "drain" and wall in (None, one.wall) and one.name not in covered:
            said["over"] = one.name
            break
    return said


def _is_let_in(item: BoughtItem) -> bool:
    said = f"{item.name} {item.what}".lower()
    return any(word in said for word in BASINS)
