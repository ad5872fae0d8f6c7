"""Things on walls, bought items, stock and layers: what they are called, what is asked of them, what to mind.

No screen here. A thing is a record of `survey.records`; where it is, is said by readings of its position.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from survey.app.new_piece import free_name
from survey.app.record_form import Question, questions, shown_of, value_of
from survey.app.typed import typeset
from survey.records import (
    KINDS,
    AccessPanel,
    Area,
    Assumption,
    BoughtItem,
    Corner,
    CutOut,
    Electrical,
    Feature,
    FloorHeat,
    Layer,
    Machine,
    Mark,
    Opening,
    Oversize,
    Piece,
    Position,
    Record,
    RoughIn,
    Seam,
    Shelf,
    Stock,
    Stud,
    Survey,
    Top,
    Trim,
    TypedLength,
    Wall,
    Way,
    kind_of,
)
from survey.records.base import LengthUnit

FLOOR: Final = "floor"
OF_PIECES: Final = (BoughtItem, Stock, CutOut, Seam, Oversize, Machine, Way)
"""Kinds of record that pieces are cut by, from, and carried past."""
KEPT: Final = (Feature, Mark, Area, Assumption, *OF_PIECES)
"""Kinds of record that the feature page is for."""


@dataclass(frozen=True)
class Sort:
    """What a person may put down: its words, the record's kind, and its `type` where the kind has some."""

    words: str
    kind: str
    type: str = ""

    @property
    def key(self) -> str:
        """How pages hand it on: `rough-in/drain`."""
        return f"{self.kind}/{self.type}" if self.type else self.kind


ON_WALL: Final = (
    Sort("Drain", "rough-in", "drain"),
    Sort("Hot water", "rough-in", "hot"),
    Sort("Cold water", "rough-in", "cold"),
    Sort("Stop valve", "rough-in", "stop valve"),
    Sort("Stud", "stud"),
    Sort("Outlet", "electrical", "outlet"),
    Sort("Switch", "electrical", "switch"),
    Sort("Light", "electrical", "light"),
    Sort("Junction box", "electrical", "box"),
    Sort("Casing", "trim", "casing"),
    Sort("Baseboard", "trim", "baseboard"),
    Sort("Window sill", "trim", "sill"),
    Sort("Crown", "trim", "crown"),
    Sort("Door", "opening", "door"),
    Sort("Window", "opening", "window"),
    Sort("Shower door", "opening", "shower door"),
    Sort("Mark", "mark"),
    Sort("Gas", "rough-in", "gas"),
    Sort("Vent", "rough-in", "vent"),
    Sort("Register", "register"),
    Sort("Access panel", "access-panel"),
    Sort("Toilet", "fixture", "toilet"),
    Sort("Tub", "fixture", "tub"),
    Sort("Shower", "fixture", "shower"),
    Sort("Radiator", "fixture", "radiator"),
    Sort("Appliance", "fixture", "appliance"),
    Sort("Other fixture", "fixture", "other"),
    Sort("Heat in wall or floor", "floor-heat"),
    Sort("Anything else that stands out", "obstacle"),
)
"""In the order in which they come up in a bathroom."""
OFF_WALL: Final = (
    Sort("Bought item", "bought-item"),
    Sort("Sheet, board or slab on hand", "stock"),
    Sort("Layers of a wall or floor", "area"),
    Sort("Something taken as given", "assumption"),
)
FOR_PIECES: Final = (
    Sort("Cut-out", "cut-out"),
    Sort("Seam or joint", "seam", "seam"),
    Sort("Bought item", "bought-item"),
    Sort("Doorway on the way in", "way", "doorway"),
    Sort("Passage on the way in", "way", "passage"),
    Sort("Corner on the way in", "way", "corner"),
    Sort("Stairs on the way in", "way", "stairs"),
    Sort("Ceiling on the way in", "way", "ceiling"),
    Sort("Sheet, board or slab on hand", "stock"),
    Sort("Machine's bed", "machine"),
    Sort("How much to leave over", "oversize"),
)
"""What pieces are cut to suit, from, on, and carried past."""
SORTS: Final = {one.key: one for one in (*FOR_PIECES, *ON_WALL, *OFF_WALL)}

WORDS: Final = {
    "type": "what it is", "toward": "runs from there to the", "projection": "how far it stands out",
    "bottom": "height of its bottom", "top": "height of its top", "from_": "from, along the wall",
    "to": "to, along the wall", "size": "its size is", "clear_width": "clear width", "because": "why",
    "knob": "how far its knob stands out",
}  # fmt: skip
"""Fields that are said otherwise of things than of other records."""
HINTS: Final = {
    ("cut-out", "item"): "for none", ("cut-out", "over"): "over nothing that is named",
    ("cut-out", "along"): "in the middle, or over what is named", ("cut-out", "end"): "from neither end",
    ("cut-out", "from_front"): "midway", ("oversize", "of"): "the whole shop",
}  # fmt: skip
"""By kind and field, what holds where nothing is said."""
BY_ITEM: Final = {"width": "as the item is", "depth": "as the item is", "radius": "as the item's corners"}
"""What a cut-out takes from its bought item; without one nobody said it."""
NAMES: Final[dict[str, dict[str, tuple[type[Any], ...]]]] = {
    "cut-out": {"of": (Top, Shelf), "item": (BoughtItem,), "over": (Feature, Mark)},
    "seam": {"of": (Top, Shelf)},
    "oversize": {"of": (Piece,)},
    "bought-item": {"of": (Piece,)},
}
"""By kind and field: records of which kinds a field can name."""
SAYS_NOTHING: Final = frozenset({"name", "id", "note", "text", "device", "person", "replaces"})
"""Fields that never name another thing."""

_GAS = (
    "Gas: leave it to a licensed trade. Nothing is cut, drilled or covered near it before they have looked."
)
_PIPES = "The pipe goes on behind the board, unseen: before drilling near it, find which way."
_CABLES = "Cables go up, down or across from a box, unseen: before drilling near it, find them."
_HEAT = "Do not drill or screw where it lies."
_PROVE = "Spacing is no proof: before it carries anything, prove it with a nail where it will be covered."
_ACCESS = "It must still open when the piece stands there."
"""Cautions (common practice, no source)."""


def name_for(sort: Sort, survey: Survey, said: str = "") -> str:
    """Propose a name that nothing has yet: by what it is, or by the last word of what was said of it.

    >>> name_for(SORTS["rough-in/stop valve"], Survey([])), name_for(SORTS["stud"], Survey([]))
    ('stop-valve', 'stud')
    >>> name_for(SORTS["bought-item"], Survey([]), "round vessel basin, 15 in")
    'basin'
    """
    word = sort.type if sort.type not in ("", "other", "box") else sort.kind
    if sort.kind == "way":
        word = f"way-{word}"
    spoken = re.findall(r"[^\W\d_][\w-]{2,39}", said.partition(",")[0])
    return free_name(spoken[-1].lower() if spoken else word.replace(" ", "-"), survey)


def sort_of(record: Record) -> Sort:
    """Return what a record is, as a person may put it down."""
    kind, type_ = kind_of(record), getattr(record, "type", "")
    return SORTS.get(f"{kind}/{type_}") or SORTS.get(kind) or Sort(kind.replace("-", " "), kind, type_)


def called(record: Record) -> str:
    """Return a thing's name, or what an assumption or a rule is about."""
    if isinstance(record, Assumption):
        return f"{record.what} of {record.of}"
    if isinstance(record, Oversize):
        return f"{record.purpose}, {record.of or 'the whole shop'}"
    return str(record.name)  # type: ignore[attr-defined]


def asked(kind: str) -> tuple[Question, ...]:
    """Return what is asked of a kind: what it is first, its wall, name and note last."""
    order = {"type": -1, "wall": 1, "name": 2, "note": 3}
    said = (replace(one, words=WORDS.get(one.field, one.words)) for one in questions(KINDS[kind]))
    return tuple(sorted(said, key=lambda one: order.get(one.field, 0)))


def choices(question: Question, kind: str, answers: Mapping[str, Any], survey: Survey) -> tuple[str, ...]:
    """Return what there is to choose from; empty where it is typed."""
    if question.sort == "choice":
        return question.choices
    walls = tuple(wall.name for wall in survey.of(Wall))
    if question.field == "wall":
        return walls if kind == "mark" else (*walls, FLOOR)
    if kind in NAMES and question.field in NAMES[kind]:
        named = {one.name for one in survey.of(*NAMES[kind][question.field])}
        return tuple(sorted(named))
    if kind == "assumption" and question.field == "of":
        what = answers.get("what")
        corners = tuple(corner.name for corner in survey.of(Corner))
        return corners if what == "corner angle" else (FLOOR,) if what == "level floor" else walls
    return ()


def hint(question: Question, kind: str, answers: Mapping[str, Any]) -> str:
    """Return what holds where a question has no answer; empty where nothing does.

    >>> width = next(one for one in asked("cut-out") if one.field == "width")
    >>> hint(width, "cut-out", {"item": "basin"}), hint(width, "cut-out", {})
    ('as the item is', '')
    """
    if kind == "cut-out" and question.field in BY_ITEM:
        is_round = question.field == "radius" and answers.get("shape") == "oval"
        return BY_ITEM[question.field] if answers.get("item") and not is_round else ""
    return shown_of(question, question.usual) or HINTS.get((kind, question.field), "")


def taken(question: Question, text: str, unit: LengthUnit) -> Any:
    """Return what a typed or chosen answer means in the record; a name is one word.

    Raises
    ------
    RecordError
        A number that is none, or parts that cannot be read.
    QuantityError
        A length that is none.
    """
    value = value_of(question, text, unit)
    return "-".join(text.split()) if text and question.field == "name" else value


def lacking(kind: str, answers: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the words of what a thing cannot be put down without."""
    return tuple(one.words for one in asked(kind) if one.is_needed and answers.get(one.field) in (None, ""))


def made(kind: str, answers: Mapping[str, Any], stamp: Mapping[str, object]) -> Record:
    """Return the record of a thing; `stamp` is a visit's."""
    return KINDS[kind](**stamp, **answers)  # type: ignore[arg-type]


def position_words(reading: Position) -> str:
    """Say where a thing was read.

    >>> from survey.dictation import dictate
    >>> lines = ["job V in in to 1/16", "position d along 22 1/2 from left-back up 18"]
    >>> position_words(dictate(lines, Survey([]))[1])
    '22 1⁄2″ along from left-back, 18″ up'
    """
    said = []
    if reading.along is not None:
        said.append(f"{length_words(reading.along)} along from {reading.from_}")
    named = ((reading.up, "up"), (reading.below, "below the level line"), (reading.out, "out"))
    said += [f"{length_words(value)} {words}" for value, words in named if value is not None]
    return ", ".join(said)


def length_words(value: TypedLength) -> str:
    """Say a length as it was typed."""
    return typeset(value.text, value.unit)


def layer_words(layer: Layer) -> str:
    """Say a layer.

    >>> layer_words(Layer("tile", TypedLength("3/8", "in"), "to come"))
    'tile, 3⁄8″, to come'
    """
    return f"{layer.name}, {typeset(layer.thickness.text, layer.thickness.unit)}, {layer.state}"


def cautions(record: Record) -> tuple[str, ...]:
    """Return what to mind near a thing.

    >>> from survey.dictation import dictate
    >>> cautions(dictate(["gas g on back"], Survey([]))[0])[0].split(":")[0]
    'Gas'
    """
    match record:
        case RoughIn(type="gas"):
            return (_GAS,)
        case RoughIn():
            return (_PIPES,)
        case Electrical():
            return (_CABLES,)
        case FloorHeat():
            return (_HEAT,)
        case Stud(proved="assumed spacing"):
            return (_PROVE,)
        case AccessPanel():
            return (_ACCESS,)
        case _:
            return ()


def places_to_read(record: Record) -> tuple[tuple[str, str], ...]:
    """Return the points of a thing whose place is read, each with the words of its key.

    >>> from survey.dictation import dictate
    >>> window, base = dictate(["window w on back", "baseboard b on back"], Survey([]))
    >>> places_to_read(window), places_to_read(base)
    ((('w:left', 'its left edge'), ('w:right', 'its right edge')), ())
    """
    match record:
        case Trim(type="baseboard" | "crown") | FloorHeat():
            return ()
        case Opening(name=name):
            return (f"{name}:left", "its left edge"), (f"{name}:right", "its right edge")
        case Trim(name=name):
            return ((name, "its near edge"),)
        case Feature(name=name) | Mark(name=name):
            return ((name, "its place"),)
        case _:
            return ()


def positions_of(survey: Survey, name: str) -> tuple[Position, ...]:
    """Return the readings of where a thing is, those of its edges too."""
    return tuple(one for one in survey.of(Position) if one.of.partition(":")[0] == name)


def names_it(survey: Survey, record: Record) -> tuple[Record, ...]:
    """Return the other records that name a thing, in any of their fields."""
    name = getattr(record, "name", None)
    if name is None:
        return ()
    return tuple(one for one in survey.current if one.id != record.id and _mentions(one, name))


def _mentions(value: Any, name: str) -> bool:
    if isinstance(value, str):
        return value.partition(":")[0] == name
    if isinstance(value, tuple):
        return any(_mentions(one, name) for one in value)
    fields = getattr(value, "__struct_fields__", ())
    return any(_mentions(getattr(value, field), name) for field in fields if field not in SAYS_NOTHING)
