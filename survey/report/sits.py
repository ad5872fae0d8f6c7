"""What a piece's aim and pins ask for: for the fitting, and in words."""

from __future__ import annotations

from collections.abc import Collection

from fitting.aim import Clash, Mending, SidePin, What
from survey.finding import Finding, finding
from survey.records import BoxPiece, Top
from survey.report.context import Context, NotReady, mm, not_made

AIMS: dict[str, What] = {
    "least scribe": "least scribe",
    "balanced": "balanced",
    "even ends": "even ends",
}
"""Aims that the fitting works out by its gaps; the others say themselves where a piece sits."""
WORDS = {
    "least scribe": "placed so that what is left at its edges is least in all",
    "balanced": "placed so that the widest gap of its edges is least",
    "even front": "its front in one plane with that of",
    "even ends": "placed so that its ends are as alike as they can be",
    "in line": "in line with",
}


def what_of(piece: BoxPiece | Top) -> What:
    """Return what the fitting is to make least."""
    return "stay" if piece.aim is None else AIMS.get(piece.aim.what, "stay")


def pins_of(piece: BoxPiece | Top) -> tuple[SidePin, ...]:
    """Return a piece's pins for the fitting."""
    return tuple(SidePin(pin.side, pin.rule, mm(pin.gap)) for pin in piece.pins)


def out_of_line(piece: BoxPiece | Top, width: float) -> float:
    """Return how far right of its line the left side of a piece stands that is in line with something."""
    assert piece.aim is not None
    before = {"left": 0.0, "centre": width / 2, "right": width}[piece.aim.edge or "left"]
    return mm(piece.aim.off) - before


def refuse_pins(piece: BoxPiece | Top, walls: Collection[str]) -> None:
    """Refuse a pin at a side that has no line of its own at a wall."""
    for pin in piece.pins:
        if pin.side not in walls:
            why = f"a pin says what the gap at its {pin.side} is, and that side keeps no line at a wall"
            raise NotReady(not_made(piece, why, "let it meet a wall, or take the pin away"))


def refuse_box_aim(piece: BoxPiece, ends: Collection[str], beside: str | None) -> None:
    """Refuse an aim of a box that has nothing to go by; `ends` are the sides that meet walls."""
    if piece.aim is None:
        return
    what = piece.aim.what
    if what == "even front" and beside is None:
        raise _aimless(piece, "it stands beside no cabinet that holds it", "let a side meet that cabinet")
    if what in AIMS and beside is not None:
        do = "leave the aim out, or give it to the cabinet that the run starts with"
        raise _aimless(piece, f"cabinet `{beside}` already says where it stands", do)
    if what in AIMS and len(ends) < (2 if what == "even ends" else 1):
        raise _aimless(piece, "too few of its ends meet walls", "say what they meet, or leave the aim out")


def refuse_top_aim(piece: Top) -> None:
    """Refuse an aim of a top that has nothing to go by."""
    if piece.aim is None:
        return
    what, at_walls = piece.aim.what, [one for one in (piece.left, piece.right) if one.meets is not None]
    if what == "even front" and piece.on is None:
        raise _aimless(piece, "it lies on no cabinet", "say the cabinet that it lies on")
    if what == "even ends" and (piece.on is None or piece.width is None) and len(at_walls) < 2:
        raise _aimless(
            piece, "it has no two ends of its own", "say the cabinet that it lies on, and its width"
        )
    if what == "in line" and (piece.on is not None or at_walls):
        raise _aimless(piece, "what it lies on or meets says where it is", "leave the aim out")
    if what in ("least scribe", "balanced") and piece.back.meets is None and len(at_walls) != 1:
        raise _aimless(piece, "no edge of it that keeps a line meets a wall", "leave the aim out")


def _aimless(piece: BoxPiece | Top, why: str, do: str) -> NotReady:
    what = "" if piece.aim is None else piece.aim.what
    return NotReady(not_made(piece, f"its aim is `{what}`, and {why}", do))


def refuse_clash(context: Context, piece: BoxPiece | Top, clash: Clash | None) -> list[Finding]:
    """Tell pins that contradict one another, and the least change that would mend it."""
    if clash is None:
        return []
    up = context.printer.up
    if not clash.pins:
        why = "there is not room enough between its walls"
        return [not_made(piece, why, "make it narrower")]
    which = "; ".join(_said(context, pin) for pin in clash.pins)
    least = clash.least
    do = "take one of them away, or make it narrower"
    if least is not None and least.by is not None:
        do = f"change {_said(context, least.pin)} by {up(least.by).text}{_towards(least)}, or take one away"
    return [finding(516, [piece.id], [piece.name], piece=piece.name, which=which, do=do)]


def aim_words(context: Context, piece: BoxPiece | Top, beside: str | None) -> str:
    """Return how a piece sits by its aim and pins, to follow the rule; nothing where it has none."""
    said = ""
    if piece.aim is not None:
        what = piece.aim.what
        said = f"; {WORDS[what]}"
        if what == "in line":
            edge = "centre" if piece.aim.edge == "centre" else f"{piece.aim.edge} side"
            said = f"; its {edge} in line with `{piece.aim.line}`"
            off = mm(piece.aim.off)
            if off:
                said += f", {context.printer.near(abs(off)).text} {'right' if off > 0 else 'left'} of it"
        if what == "even front":
            said += f" `{beside}`"
    if piece.pins:
        pins = ", ".join(_said(context, pin) for pin in pins_of(piece))
        said += f"; kept by its pins: {pins}"
    return said


def _said(context: Context, pin: SidePin) -> str:
    return f"`{pin.side} {pin.rule} {context.printer.near(pin.gap).text}`"


def _towards(mending: Mending) -> str:
    return {"at least": " down", "at most": " up", "exactly": ""}[mending.pin.rule]
