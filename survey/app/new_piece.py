"""A new piece, filled in with what is usual, and what goes well with the pieces that are planned already.

All sizes here are common practice, no source: a start that a fitter changes, never a measurement.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from survey.errors import RecordError
from survey.records import (
    KINDS,
    BoxPiece,
    Edge,
    Filler,
    Piece,
    SizedPiece,
    Survey,
    Top,
    TypedLength,
)
from survey.records.pieces import OPEN
from survey.walk import Place, place_of

Side = Literal["left", "right"]
Sizes = dict[str, str]

SIDES: Final[tuple[Side, ...]] = ("left", "right")
FIRST: Final = ("cabinet", "tall-cabinet", "top", "panel", "filler")
"""Kinds that are worked out from the room; the others are listed at the size typed."""
OTHERS: Final = tuple(kind for kind, cls in KINDS.items() if issubclass(cls, SizedPiece))

KIND_WORDS: Final = {
    "cabinet": "Cabinet", "tall-cabinet": "Tall cabinet", "top": "Top", "panel": "Panel",
    "filler": "Filler strip", "splash": "Splash", "shelf": "Shelf", "face-frame": "Face frame",
    "drawer": "Drawer", "false-front": "False front", "toe-kick": "Toe-kick", "cleat": "Cleat",
    "stretcher": "Stretcher", "mirror": "Mirror", "cabinet-door": "Door", "light-strip": "Light strip",
    "case-back": "Back",
}  # fmt: skip
NAMES: Final = {
    "cabinet": "vanity", "tall-cabinet": "linen", "top": "counter", "panel": "end-panel",
    "cabinet-door": "door", "light-strip": "strip-light", "case-back": "box-back",
}  # fmt: skip
"""What a kind is called when nothing else is; the kind itself where it is not here."""

USUAL: Final[dict[str, dict[str, Sizes]]] = {
    "in": {
        "cabinet": {"width": "36", "height": "34 1/2", "depth": "21"},
        "tall-cabinet": {"width": "18", "height": "84", "depth": "21"},
        "top": {"thickness": "1 1/4"},
        "panel": {"along": "36", "depth": "21", "thickness": "3/4", "height": "34 1/2"},
        "filler": {"thickness": "3/4"},
        "splash": {"width": "36", "height": "4", "thickness": "3/4"},
        "shelf": {"width": "30", "height": "11 1/4", "thickness": "3/4"},
        "face-frame": {"width": "36", "height": "30", "thickness": "3/4"},
        "drawer": {"width": "15", "height": "6", "thickness": "18"},
        "false-front": {"width": "15", "height": "6", "thickness": "3/4"},
        "toe-kick": {"width": "36", "height": "4", "thickness": "1/2"},
        "cleat": {"width": "34 1/2", "height": "3 1/2", "thickness": "3/4"},
        "stretcher": {"width": "34 1/2", "height": "3 1/2", "thickness": "3/4"},
        "mirror": {"width": "30", "height": "36", "thickness": "1/4"},
        "cabinet-door": {"width": "15", "height": "22", "thickness": "3/4"},
        "light-strip": {"width": "24", "height": "1", "thickness": "1/2"},
        "case-back": {"width": "34 1/2", "height": "30", "thickness": "1/4"},
    },
    "mm": {
        "cabinet": {"width": "900", "height": "830", "depth": "530"},
        "tall-cabinet": {"width": "450", "height": "2100", "depth": "530"},
        "top": {"thickness": "30"},
        "panel": {"along": "900", "depth": "530", "thickness": "18", "height": "830"},
        "filler": {"thickness": "18"},
        "splash": {"width": "900", "height": "100", "thickness": "18"},
        "shelf": {"width": "760", "height": "280", "thickness": "18"},
        "face-frame": {"width": "900", "height": "760", "thickness": "18"},
        "drawer": {"width": "380", "height": "150", "thickness": "450"},
        "false-front": {"width": "380", "height": "150", "thickness": "18"},
        "toe-kick": {"width": "900", "height": "100", "thickness": "12"},
        "cleat": {"width": "860", "height": "90", "thickness": "18"},
        "stretcher": {"width": "860", "height": "90", "thickness": "18"},
        "mirror": {"width": "760", "height": "900", "thickness": "6"},
        "cabinet-door": {"width": "400", "height": "560", "thickness": "18"},
        "light-strip": {"width": "600", "height": "25", "thickness": "12"},
        "case-back": {"width": "860", "height": "760", "thickness": "6"},
    },
}
OVERHANG: Final = {"in": "1", "mm": "25"}
END_OVERHANG: Final = {"in": "1/2", "mm": "12"}
NET_GAP: Final = {"in": "1/16", "mm": "2"}
"""At an end that is cut net: what a line of caulk closes."""
FILLER_GAP: Final = {"in": "3/4", "mm": "20"}
"""The narrowest strip worth cutting."""
TOE_SPACE: Final = {"in": ("4", "3"), "mm": ("100", "75")}
"""Height and depth, of what stands on the floor."""
REVEAL: Final = {"in": "1/8", "mm": "4"}
"""Between two doors; half of it stays of the box around them."""
WIDEST_DOOR: Final = {"in": "24", "mm": "600"}
"""The widest box that one door closes."""
ALONE_DEPTH: Final = {"in": "22", "mm": "560"}
"""Of a top that lies on no cabinet."""


def new_piece(
    kind: str, survey: Survey, stamp: Mapping[str, Any], of: str = "", side: Side | None = None
) -> Piece:
    """Return a piece of a kind with usual sizes, its edges as the place has them.

    Parameters
    ----------
    kind
        As in `KINDS`.
    survey
        Its place, its job's unit and its pieces are looked at.
    stamp
        What a new record begins with (`Visit.stamp`).
    of, side
        The piece that it goes with, and the side of that; where nothing is said, the last that it suits.

    Raises
    ------
    RecordError
        The piece cannot be without something that is not there yet: a strip without a cabinet, a panel
        without anything to measure from.

    Examples
    --------
    >>> from survey.dictation import dictate, new_id, now
    >>> lines = ["job V in mm to 1 mm", "room bath", "wall back", "wall left", "corner left and back"]
    >>> survey = Survey(dictate(lines, Survey([])))
    >>> box = new_piece("cabinet", survey, {"id": new_id(), "taken": now()})
    >>> box.name, box.height.text, box.left.meets, box.left.finish, box.right.finish
    ('vanity', '830', 'left', 'filler', 'open')
    """
    start = _Start(survey, _unit(survey), _place(survey), of, side)
    name, fields = _FILLED.get(kind, _sized)(start, kind)
    made: type[Any] = KINDS[kind]
    piece: Piece = made(**stamp, **fields, name=free_name(name, survey))
    return piece


def free_name(wanted: str, survey: Survey) -> str:
    """Return a name that nothing has yet: the one wanted, or with the next number behind it."""
    name, number = wanted, 1
    while name in survey.named:
        number += 1
        name = f"{wanted}-{number}"
    return name


def goes_with(piece: Piece) -> str | None:
    """Return the name of the piece that a piece lies on, stands beside or belongs to."""
    if isinstance(piece, Top):
        return piece.on
    if isinstance(piece, Filler):
        return piece.beside
    return piece.of if isinstance(piece, SizedPiece) else None


@dataclass(frozen=True)
class _Start:
    """What a new piece is made from."""

    survey: Survey
    unit: Literal["in", "mm"]
    place: Place | None
    of: str
    side: Side | None

    def typed(self, text: str) -> TypedLength:
        return TypedLength(text, self.unit)

    def usual(self, kind: str) -> dict[str, TypedLength]:
        return {field: self.typed(text) for field, text in USUAL[self.unit][kind].items()}

    def beside(self, side: Side) -> str | None:
        """Return the wall that closes the back wall at a side."""
        return self.place.beside(self.place.back, side) if self.place else None

    def owner(self, *kinds: type[Piece]) -> Piece | None:
        """Return the piece that the new one goes with: the one named, or the last of these kinds."""
        found = [one for one in self.survey.of(*kinds) if not self.of or one.name == self.of]
        return found[-1] if found else None


def _unit(survey: Survey) -> Literal["in", "mm"]:
    return survey.job.unit if survey.job is not None else "in"


def _place(survey: Survey) -> Place | None:
    try:
        return place_of(survey)
    except RecordError:
        return None


def tops_on(survey: Survey, box: BoxPiece) -> list[Top]:
    """Return the tops that lie on a cabinet."""
    return [top for top in survey.of(Top) if top.on == box.name]


def lacking_strips(survey: Survey, box: BoxPiece) -> Iterator[Side]:
    """Give the sides of a cabinet that ask for a filler and have no strip yet."""
    strips = {(strip.beside, strip.side) for strip in survey.of(Filler)}
    for side in SIDES:
        if getattr(box, side).finish == "filler" and (box.name, side) not in strips:
            yield side


def _box(start: _Start, kind: str) -> tuple[str, dict[str, Any]]:
    """Fill in a box: it closes the back wall's free ends by fillers; between two it fills the width."""
    fields: dict[str, Any] = start.usual(kind)
    fields["kick_height"], fields["kick_depth"] = map(start.typed, TOE_SPACE[start.unit])
    taken = {getattr(box, side).meets for box in start.survey.of(BoxPiece) for side in SIDES}
    met = {side: wall for side in SIDES if (wall := start.beside(side)) and wall not in taken}
    if kind == "tall-cabinet" and len(met) == 2:
        del met["right"]  # it is rarely as wide as an alcove
    for side, wall in met.items():
        # Between two walls it stands in the middle: at most one gap can be asked for.
        gap = start.typed(FILLER_GAP[start.unit]) if len(met) == 1 else None
        fields[side] = Edge(meets=wall, finish="filler", gap=gap)
    if not met:
        fields |= _in_run(start)
    room = start.place.known(start.place.back) if start.place and len(met) == 2 else None
    if start.place and room is not None:
        strips = 2 * float(start.typed(FILLER_GAP[start.unit]).mm)
        if room > 2 * strips:
            handy = start.place.usual.handy
            fields["width"] = start.place.typed(math.floor((room - strips) / handy) * handy)
    return NAMES[kind], fields


def _in_run(start: _Start) -> dict[str, Edge]:
    """Let a box stand against the last one of the back wall that has a free side."""
    back = start.place.back if start.place else ""
    boxes = [box for box in start.survey.of(BoxPiece) if box.wall in ("", back)]
    met = {getattr(box, side).meets for box in boxes for side in SIDES}
    for box in reversed(boxes):
        for side, other in (("left", "right"), ("right", "left")):
            is_free = getattr(box, other).meets is None and getattr(box, side).meets is not None
            if is_free and box.name not in met:
                return {side: Edge(meets=box.name, finish="net")}
    return {}


def _top(start: _Start, kind: str) -> tuple[str, dict[str, Any]]:
    """Fill in a top: it goes to the walls that its cabinet goes to, or that the place has."""
    fields: dict[str, Any] = start.usual(kind)
    wanted = start.owner(BoxPiece)
    box = wanted if isinstance(wanted, BoxPiece) and (start.of or not tops_on(start.survey, wanted)) else None
    if box is not None and box.__struct_config__.tag == "tall-cabinet" and not start.of:
        box = None
    ends = {side: getattr(box, side).meets if box else start.beside(side) for side in SIDES}
    is_between = all(ends.values())
    for side, wall in ends.items():
        if wall is None:
            fields[side] = OPEN
        elif is_between:  # oversize at both ends it would not go in
            fields[side] = Edge(meets=wall, finish="net", gap=start.typed(NET_GAP[start.unit]))
        else:
            fields[side] = Edge(meets=wall, finish="scribed")
    back = (box.wall if box else "") or (start.place.back if start.place else "")
    if back:
        fields["back"] = Edge(meets=back, finish="scribed")
    if box is not None:
        fields |= {"on": box.name, "overhang": start.typed(OVERHANG[start.unit])}
        if not is_between:
            fields["end_overhang"] = start.typed(END_OVERHANG[start.unit])
    else:
        fields["depth"] = start.typed(ALONE_DEPTH[start.unit])
        if start.place:
            fields["up"] = start.place.typed(start.place.height)
        if not is_between:
            fields["width"] = start.typed(USUAL[start.unit]["cabinet"]["width"])
    return NAMES[kind], fields


def _panel(start: _Start, kind: str) -> tuple[str, dict[str, Any]]:
    """Fill in a panel: at the open side of the cabinet, as high and as deep as that."""
    place = start.place
    mark = place.start(place.back) if place else None
    if place is None or mark is None:
        raise RecordError(
            "a panel is measured from a corner or a mark: expected one on the back wall, got none; "
            "set up the place, or strike a mark on the wall"
        )
    fields: dict[str, Any] = start.usual(kind)
    box = start.owner(BoxPiece)
    is_leftward = place.leftward(place.back, mark)
    fields |= {
        "from_": mark,
        "show": "left" if is_leftward else "right",
        "back": Edge(meets=place.back, finish="scribed"),
    }
    if isinstance(box, BoxPiece) and box.wall in ("", place.back):
        fields |= {"depth": box.depth, "height": box.height, "bottom": box.bottom}
        near, far = (box.right, box.left) if is_leftward else (box.left, box.right)
        if near.meets is not None and far.meets is None:
            gap = float(near.gap.mm) if near.gap else 0.0
            fields["along"] = place.typed(gap + float(box.width.mm + fields["thickness"].mm))
    return NAMES[kind], fields


def _filler(start: _Start, kind: str) -> tuple[str, dict[str, Any]]:
    """Fill in a strip: at the side that asks for one."""
    boxes = [box for box in start.survey.of(BoxPiece) if not start.of or box.name == start.of]
    if not boxes:
        raise RecordError(
            "a filler strip stands beside a cabinet: expected one, got none; add the cabinet first"
        )
    lacking = [(box, side) for box in boxes for side in lacking_strips(start.survey, box)]
    box, side = lacking[0] if lacking else (boxes[-1], "left")
    side = start.side or side
    return f"{side}-filler", {**start.usual(kind), "beside": box.name, "side": side}


def _sized(start: _Start, kind: str) -> tuple[str, dict[str, Any]]:
    """Fill in a part whose size is typed, as wide as what it belongs to."""
    fields: dict[str, Any] = start.usual(kind)
    owner = start.owner(Top) if kind == "splash" else start.owner(BoxPiece)
    if kind == "mirror":
        owner = None
    if owner is not None:
        fields["of"] = owner.name
        if kind in ("splash", "face-frame", "toe-kick"):
            fields["width"] = _width(owner, start.survey) or fields["width"]
    if kind == "splash" and isinstance(owner, Top) and owner.back.meets is not None:
        fields["side"] = "back"
    if kind == "toe-kick" and isinstance(owner, BoxPiece) and owner.kick_height is not None:
        fields["height"] = owner.kick_height
    if kind == "cabinet-door":
        fields["hinge"] = start.side or "left"
        if isinstance(owner, BoxPiece) and start.place is not None:
            fields |= _door(start, start.place, owner)
    return NAMES.get(kind, kind), fields


def _door(start: _Start, place: Place, box: BoxPiece) -> dict[str, Any]:
    """Return the sizes of a door that lies over its box, half a reveal from its edges; of two, one half."""
    reveal = float(start.typed(REVEAL[start.unit]).mm)
    is_half = is_wide(box) and start.side is not None
    wide = (float(box.width.mm) - reveal * (2 if is_half else 1)) / (2 if is_half else 1)
    kick = float(box.kick_height.mm) if box.kick_height and box.bottom is None else 0.0
    high = float(box.height.mm) - kick - reveal
    if wide <= 0 or high <= 0:
        return {}
    from_left = float(box.width.mm) - wide - reveal / 2 if start.side == "right" and is_half else reveal / 2
    sizes = {"width": wide, "height": high, "from_left": from_left, "from_top": reveal / 2}
    return {field: place.typed(mm) for field, mm in sizes.items()}


def is_wide(box: BoxPiece) -> bool:
    """Whether one door would be too wide for a box."""
    unit: Literal["in", "mm"] = "in" if box.width.unit == "in" else "mm"
    return box.width.mm > TypedLength(WIDEST_DOOR[unit], unit).mm


def _width(owner: Piece, survey: Survey) -> TypedLength | None:
    """Return how wide a cabinet is, or a top by itself or by its cabinet."""
    if isinstance(owner, BoxPiece):
        return owner.width
    if not isinstance(owner, Top):
        return None
    if owner.width is not None:
        return owner.width
    boxes = [one for one in survey.named.get(owner.on or "", ()) if isinstance(one, BoxPiece)]
    return boxes[-1].width if boxes else None


_FILLED: Final = {
    "cabinet": _box, "tall-cabinet": _box, "top": _top, "panel": _panel, "filler": _filler
}  # fmt: skip
