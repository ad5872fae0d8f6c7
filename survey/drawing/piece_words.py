"""What is said about a piece, in the same words on pictures, sheets and lists."""

from __future__ import annotations

import re

from survey.report.structs import EdgeReport, PieceReport

# A length stands alone: what belongs to a name, as in `filler-2 in oak`, is none.
_INCHES = re.compile(r"(?<![\w./-])(-?\d+(?: \d+/\d+|/\d+)?) in\b")
_MINUS = re.compile(r"(?<![\w-])-(?=\d)")
_WORDS = {
    "scribed": "scribed to {}",
    "net": "cut net to {}",
    "let in": "let into {}",
    "covered": "covered, at {}",
    "filler": "closed by a filler, at {}",
}


def typeset(text: str) -> str:
    """Set a printed length as on a rule: fraction slash, double prime, true minus.

    >>> typeset("34 5/16 in"), typeset("-1/2 in"), typeset("872 mm")
    ('34 5⁄16″', '−1⁄2″', '872 mm')
    >>> typeset("top-2: leave 5/16 in")
    'top-2: leave 5⁄16″'
    """
    return _MINUS.sub("−", _INCHES.sub(lambda match: match[1].replace("/", "⁄") + "″", text))


def plain(text: str) -> str:
    """Leave out the marks that set off names in findings and rules.

    >>> plain("its long edge on `vanity`")
    'its long edge on vanity'
    """
    return text.replace("`", "")


def printable(text: str) -> str:
    r"""Replace what cannot be lettered; never empty.

    >>> printable("top\x07left"), printable("")
    ('top left', '?')
    """
    kept = "".join(letter if letter.isprintable() else " " for letter in text)
    return " ".join(kept.split()) or "?"


def edge_words(edge: EdgeReport) -> str:
    """Say what an edge meets and how it is finished.

    >>> edge_words(EdgeReport("left", "wall left", "scribed"))
    'scribed to wall left'
    >>> edge_words(EdgeReport("front", "", "open"))
    'open'
    """
    meets = edge.meets.strip()
    if not meets or meets == "nothing":
        return edge.finish
    return _WORDS.get(edge.finish, edge.finish + ", at {}").format(meets)


def leave_words(edge: EdgeReport) -> str:
    """Say what is left over along an edge, or which gap it keeps; empty where neither."""
    if edge.allowance is not None:
        return f"leave {edge.allowance.total.text}"
    return f"gap {edge.gap.text}" if edge.gap is not None else ""


def across_words(text: str, across_from: str) -> str:
    """Say left and right instead of a sign where something is measured from a centre line.

    >>> start = "from the centre line, left is minus"
    >>> across_words("-12 1/2 in", start), across_words("3 in", start)
    ('12 1/2 in left', '3 in right')
    """
    if "centre line" not in across_from:
        return text
    return f"{text[1:]} left" if text.startswith("-") else f"{text} right"


def axis_of(name: str, piece: PieceReport) -> str:
    """Return along which axis of its outline a named size of a piece lies: x, y, or neither.

    Width runs to the right; height and length up; depth to the back, but on an upright piece, which
    has a height, to the right. A strip that lies has its length first: that runs to the right, its width up.

    >>> panel = PieceReport("p", "panel", "ready")
    >>> [axis_of(name, panel) for name in ("width", "depth", "height", "thickness")]
    ['x', 'y', 'y', '']
    """
    if is_lying_strip(piece):
        return {"length": "x", "width": "y"}.get(name, "")
    return _axis(name, piece)


def grain_axis(piece: PieceReport) -> str:
    """Return along which axis of its outline a piece's grain runs; grain is said as things stand in the room.

    >>> grain_axis(PieceReport("p", "panel", "ready", grain="along height"))
    'y'
    """
    return _axis(piece.grain.removeprefix("along "), piece)


def is_lying_strip(piece: PieceReport) -> bool:
    """Whether a piece is a strip whose length runs from left to right."""
    return [one.name for one in piece.finished[:2]] == ["length", "width"]


def _axis(name: str, piece: PieceReport) -> str:
    is_upright = any(one.name in ("height", "length") for one in piece.finished)
    y = ("height", "length") if is_upright else ("depth",)
    x = ("width", "depth") if is_upright else ("width",)
    if name in y or name in ("height", "length"):
        return "y"
    return "x" if name in x else ""
