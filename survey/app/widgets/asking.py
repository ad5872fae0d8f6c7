"""Asks for the answer to a question of a form, each sort in its own way: pad, choice, words, step by step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from survey.app.record_form import Question
from survey.app.widgets.number_sheet import ask_length
from survey.app.widgets.sheet import ask_words, choose
from survey.records.limits import SIGNED

LONG = ("note", "described", "because", "what")
SIDES = ("left", "right", "back")
RULES = ("at least", "at most", "exactly")
EDGES = ("left", "centre", "right")
EXAMPLES = {
    "ProfilePoint": "how far across, `out` and how far out, a comma between two: 0 out 1/4, 1 out 1/2",
    "TypedLength": "from the top, a comma between two: 5, 18",
}
"""What is typed for parts that are no choice."""
LETS_GO = "let go"


@dataclass(frozen=True)
class Ask:
    """A question with its title, the text that stands there, and what there is to choose from.

    `names` are the things that a field of words, or a line to be in line with, can name; `empty` says what
    holds where it is taken back, nothing where it cannot be.
    """

    question: Question
    title: str
    text: str = ""
    now: Any = None
    names: Sequence[str] = ()
    empty: str = ""


def ask_answer(app: Any, ask: Ask, done: Callable[[str], None]) -> None:
    """Let the person answer; `done` gets what `record_form.value_of` reads, empty to take it back."""
    question, sort = ask.question, ask.question.sort
    if sort in ("length", "angle"):
        hint = f"Cleared: {ask.empty}." if ask.empty else ""
        of: Any = sort
        ask_length(app, ask.title, done, ask.text, of, hint, is_signed=question.field in SIGNED)
    elif sort == "yes or no":
        choose(ask.title, [("yes", "Yes"), ("no", "No")], done, "yes" if ask.now else "no")
    elif sort == "choice":
        options = [(one, _title(one)) for one in question.choices]
        choose(ask.title, [*options, *_empty(ask)], done, ask.now)
    elif sort == "parts" and question.part in _BY_STEPS:
        _BY_STEPS[question.part](app, ask, done)
    elif ask.names:
        choose(ask.title, [*((one, one) for one in ask.names), *_empty(ask)], done, ask.now or "")
    else:
        hint = EXAMPLES.get(question.part, "")
        ask_words(ask.title, done, ask.text, hint, is_long=question.field in LONG)


def _empty(ask: Ask) -> list[tuple[str, str]]:
    return [("", _title(ask.empty))] if ask.empty else []


def _ask_aim(app: Any, ask: Ask, done: Callable[[str], None]) -> None:
    """Ask what decides where a piece sits; what is in line needs an edge and a line."""

    def chosen(what: str) -> None:
        if what != "in line":
            done(what)
        elif not ask.names:
            app.tell("There is nothing to be in line with: put a drain, a window or a mark down first.")
        else:
            options = [(edge, f"Its {edge}" if edge == "centre" else f"Its {edge} side") for edge in EDGES]
            choose("What is in line?", options, edged)

    def edged(edge: str) -> None:
        choose("In line with what?", [(one, one) for one in ask.names], lambda line: lined(edge, line))

    def lined(edge: str, line: str) -> None:
        choose(
            "How far from it?",
            [(False, "Right in line with it"), (True, "A length to the right of it")],
            lambda off: offset(edge, line, off),
        )

    def offset(edge: str, line: str, off: bool) -> None:
        said = f'in line {edge} with "{line}"'
        if not off:
            done(said)
            return
        ask_length(
            app,
            f"How far right of {line}?",
            lambda text: done(f"{said} off {text}" if text else said),
            is_signed=True,
        )

    options = [
        ("least scribe", "The least to plane off, all edges added"),
        ("balanced", "The greatest scribe as small as can be"),
        ("even front", "Its front even with what it goes with"),
        ("even ends", "Gaps or overhangs at both ends alike"),
        ("in line", "In line with something"),
    ]
    now = getattr(ask.now, "what", "")
    choose(ask.title, [*options, ("", "Pushed home, as usual")], chosen, now)


def _ask_shape(app: Any, ask: Ask, done: Callable[[str], None]) -> None:
    """Ask how a corner is shaped, and how large."""

    def chosen(shape: str) -> None:
        if not shape:
            done("")
            return
        size = getattr(ask.now, "size", None)
        ask_length(
            app,
            _title(shape),
            lambda text: done(f"{shape} {text}" if text else ""),
            size.text if size else "",
        )

    options = [("radius", "Rounded, by a radius"), ("clip", "Clipped, as much along both edges")]
    choose(ask.title, [*options, ("", "Square")], chosen, getattr(ask.now, "shape", ""))


def _ask_pins(app: Any, ask: Ask, done: Callable[[str], None]) -> None:
    """Ask for a gap that is kept at one side; what was said of that side before goes."""
    kept = {one.side: f"{one.side} {one.rule} {one.gap.text}" for one in ask.now or ()}

    def sided(side: str) -> None:
        options = [(rule, _title(rule)) for rule in RULES]
        choose(
            f"The gap at the {side} is",
            [*options, (LETS_GO, "Whatever it comes to")],
            lambda rule: ruled(side, rule),
        )

    def ruled(side: str, rule: str) -> None:
        if rule == LETS_GO:
            put({**kept, side: ""})
            return
        ask_length(
            app,
            f"{_title(rule)}, at the {side}",
            lambda text: put({**kept, side: f"{side} {rule} {text}" if text else ""}),
        )

    def put(pins: dict[str, str]) -> None:
        done(", ".join(pins[side] for side in SIDES if pins.get(side)))

    options = [
        (side, f"{_title(side)}: {kept[side].removeprefix(side).strip()}" if side in kept else _title(side))
        for side in SIDES
    ]
    choose("A gap that must be kept, at the", options, sided)


_BY_STEPS: dict[str, Callable[[Any, Ask, Callable[[str], None]], None]] = {
    "Aim": _ask_aim,
    "CornerShape": _ask_shape,
    "Pin": _ask_pins,
}


def _title(words: str) -> str:
    return words[:1].upper() + words[1:]
