"""What a slip probably was: the mistakes that a tape, a pencil and a tired eye invite.

Which slips are common and how common beside one another is common practice and our own guess, no source;
they are only ever asked, never assumed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, NamedTuple

from survey.errors import QuantityError
from survey.quantity import Length, LengthUnit, Step, read_length, write_length
from survey.quantity.values import MM_PER

NEAR_SDS: Final = 2.5
"""A slip explains what is off by no more than so many standard deviations (or half a graduation)."""

MOST: Final = 2
"""So many questions are asked; a third would be a guess."""

Scale = Literal["inch", "metric", "any"]
Sign = Literal["long", "short", "either"]


class _Amount(NamedTuple):
    """A slip of a fixed size: what is off when it happens, and what to ask."""

    weight: float  # how likely beside the others
    scale: Scale  # of the tape that it happens on
    sign: Sign  # whether the reading is too long by it, or too short
    least_mm: float
    most_mm: float  # more than `least_mm` where the size is not the same everywhere
    question: str


_INCH: Final = 25.4
_CASE: Final = (2.75 * _INCH, 80.0)  # 2 3/4 to 3 in, or 80 mm: what cases usually are, from memory

_AMOUNTS: Final = (
    _Amount(6.0, "inch", "long", _INCH, _INCH, "an inch burned at the hook end and not taken off?"),
    _Amount(5.0, "inch", "short", _INCH, _INCH, "an inch misread, or taken off twice?"),
    _Amount(5.0, "metric", "long", 100.0, 100.0, "10 cm burned at the hook end and not taken off?"),
    _Amount(4.0, "metric", "short", 100.0, 100.0, "10 cm misread, or taken off twice?"),
    _Amount(4.0, "inch", "either", 12 * _INCH, 12 * _INCH, "a foot misread?"),
    _Amount(3.0, "metric", "either", 1000.0, 1000.0, "a metre misread?"),
    _Amount(4.0, "metric", "either", 10.0, 10.0, "a centimetre misread?"),
    _Amount(3.0, "inch", "either", _INCH / 2, _INCH / 2, "a slipped half inch?"),
    _Amount(3.0, "inch", "either", _INCH / 4, _INCH / 4, "a slipped quarter?"),
    _Amount(3.0, "inch", "either", _INCH / 8, _INCH / 8, "a slipped eighth?"),
    _Amount(2.0, "inch", "either", _INCH / 16, _INCH / 16, "the wrong side of the 1/16?"),
    _Amount(2.0, "metric", "either", 5.0, 5.0, "half a centimetre misread?"),
    _Amount(2.0, "metric", "either", 1.0, 1.0, "the wrong side of the millimetre?"),
    _Amount(1.5, "any", "short", *_CASE, "the length of the tape's case forgotten?"),
    _Amount(1.0, "any", "long", *_CASE, "the length of the tape's case added without need?"),
)

_LAYER_WEIGHT: Final = 2.0
_LAYER_LONG: Final = "taken to the board and not to the tile ({layer})?"
_LAYER_SHORT: Final = "taken to the tile and not to the board ({layer})?"

# Digits that are taken for one another on a tape, or in a carpenter's hand.
_LOOK_ALIKE: Final = {"6": "9", "9": "6", "3": "8", "8": "3", "1": "7", "7": "1"}

_SWAPPED_WEIGHT, _MISREAD_WEIGHT, _SIGN_WEIGHT, _UNIT_WEIGHT = 5.0, 2.0, 5.0, 4.0

_UNITS: Final[tuple[tuple[LengthUnit, LengthUnit], ...]] = (
    ("in", "cm"),
    ("cm", "in"),
    ("cm", "mm"),
    ("mm", "cm"),
    ("in", "mm"),
    ("mm", "in"),
)
_UNIT_WORDS: Final[dict[LengthUnit, str]] = {"in": "inches", "cm": "centimetres", "mm": "millimetres"}

_RUN: Final = re.compile("[0-9]+")


def likely_slips(
    reading: Length,
    slip_mm: float,
    slip_sd_mm: float,
    step: Step,
    layers_mm: Sequence[float] = (),
    *,
    signed: bool = False,
) -> tuple[str, ...]:
    """Return what a slip probably was, as questions to the person who read it, the likeliest first.

    A slip is offered where it is the amount found to within 2.5 standard deviations or half a graduation,
    and where that is no more than half of it: what is known worse than that, anything would explain.

    Parameters
    ----------
    reading
        What was typed; its unit says which tape was read, its text which digits may be wrong.
    slip_mm
        How much too large it was read, as the other readings have it; negative for too small.
    slip_sd_mm
        Standard deviation of that.
    step
        The job's smallest fraction.
    layers_mm
        Thicknesses of tile and the like at its ends, which one may have forgotten.
    signed
        Whether the reading has a sign that can be taken the wrong way: a lean, an offset.

    Returns
    -------
    tuple of str
        At most two; none where nothing explains the slip.

    Raises
    ------
    ValueError
        For a slip, standard deviation or thickness that is no number or of no possible size.

    Examples
    --------
    >>> from survey.quantity import read_step
    >>> sixteenth = read_step("1/16")
    >>> likely_slips(read_length("35 5/16", "in"), 25.1, 0.5, sixteenth)
    ('an inch burned at the hook end and not taken off?',)
    >>> likely_slips(read_length("34", "in"), -228.0, 0.6, sixteenth)
    ('two digits swapped: 43 put down as 34?',)
    >>> likely_slips(read_length("34", "in"), 40.0, 0.6, sixteenth)
    ()
    """
    _refuse_bad(slip_mm, slip_sd_mm, layers_mm)
    case = _Case(reading, slip_mm, slip_sd_mm, step)
    if abs(slip_mm) <= case.near_mm:
        return ()
    found: dict[str, float] = {}
    for one in (
        *_amounts(case),
        *_layers(case, layers_mm),
        *_digits(case),
        *_units(case),
        *_signs(case, signed),
    ):
        if (score := case.score(one)) is not None:
            found[one.question] = max(score, found.get(one.question, -math.inf))
    return tuple(sorted(found, key=found.__getitem__, reverse=True)[:MOST])


@dataclass(frozen=True)
class _Explanation:
    """A reading is this much too large if this happened; between the two where the size is not fixed."""

    weight: float
    least_mm: float
    most_mm: float
    question: str


@dataclass(frozen=True)
class _Case:
    """A reading and what is off in it."""

    reading: Length
    slip_mm: float
    sd_mm: float
    step: Step

    @cached_property
    def near_mm(self) -> float:
        return max(NEAR_SDS * self.sd_mm, float(self.step.mm) / 2)

    @property
    def scale(self) -> Scale:
        return "inch" if self.reading.unit in ("in", "ft") else "metric"

    def score(self, one: _Explanation) -> float | None:
        """Return the logarithm of how likely it is beside others; None where it does not explain the slip."""
        low, high = sorted((one.least_mm, one.most_mm))
        off = max(low - self.slip_mm, self.slip_mm - high, 0.0)
        smallest = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high))
        # A hair of float, so that half a graduation is still near to one.
        if off > self.near_mm * (1 + 1e-9) or smallest < 2 * self.near_mm * (1 - 1e-9):
            return None
        return math.log(one.weight) - (NEAR_SDS * off / self.near_mm) ** 2 / 2


def _amounts(case: _Case) -> Iterator[_Explanation]:
    for row in _AMOUNTS:
        if row.scale not in ("any", case.scale):
            continue
        for sign in {"long": (1,), "short": (-1,), "either": (1, -1)}[row.sign]:
            yield _Explanation(row.weight, sign * row.least_mm, sign * row.most_mm, row.question)


def _layers(case: _Case, layers_mm: Sequence[float]) -> Iterator[_Explanation]:
    """One layer forgotten at an end, or the same at both."""
    for thickness in layers_mm:
        layer = write_length(thickness, case.step)
        for ends, said in ((1, layer), (2, f"{layer} at both ends")):
            mm = ends * thickness
            yield _Explanation(_LAYER_WEIGHT / ends, mm, mm, _LAYER_LONG.format(layer=said))
            yield _Explanation(_LAYER_WEIGHT / ends, -mm, -mm, _LAYER_SHORT.format(layer=said))


def _digits(case: _Case) -> Iterator[_Explanation]:
    """Two neighbouring digits of one number swapped, or one digit taken for its look-alike."""
    text = case.reading.text
    for run in _RUN.finditer(text):
        # Nobody says 03 for 3, but 12.05 is said.
        whole = text[: run.start()][-1:] not in (".", ",")
        for at in range(run.start(), run.end()):
            if at + 1 < run.end() and not (whole and at == run.start() and text[at + 1] == "0"):
                swapped = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
                yield from _other(case, swapped, _SWAPPED_WEIGHT, "two digits swapped")
            if text[at] in _LOOK_ALIKE:
                misread = text[:at] + _LOOK_ALIKE[text[at]] + text[at + 1 :]
                yield from _other(case, misread, _MISREAD_WEIGHT, "a digit misread")


def _other(case: _Case, text: str, weight: float, what: str) -> Iterator[_Explanation]:
    """Explain a reading by another text that was meant; none where that is no length."""
    try:
        meant = read_length(text, case.reading.unit)
    except QuantityError:
        return
    mm = float(case.reading.mm - meant.mm)
    question = f"{what}: {text.strip()} put down as {case.reading.text.strip()}?"
    yield _Explanation(weight, mm, mm, question)


def _units(case: _Case) -> Iterator[_Explanation]:
    """The number meant in another unit than it was put down in."""
    for put_down, meant in _UNITS:
        if case.reading.unit == put_down:
            mm = float(case.reading.mm * (1 - MM_PER[meant] / MM_PER[put_down]))
            question = f"{_UNIT_WORDS[meant]} put down as {_UNIT_WORDS[put_down]}?"
            yield _Explanation(_UNIT_WEIGHT, mm, mm, question)


def _signs(case: _Case, signed: bool) -> Iterator[_Explanation]:
    """The other way round: what was read as +v is −v, so it is 2 v too large."""
    if signed:
        mm = 2 * float(case.reading.mm)
        yield _Explanation(_SIGN_WEIGHT, mm, mm, "taken the wrong way, out for in?")


def _refuse_bad(slip_mm: float, sd_mm: float, layers_mm: Sequence[float]) -> None:
    if not math.isfinite(slip_mm):
        raise ValueError(f"expected a slip in mm, got {slip_mm}: find what made it")
    if not (math.isfinite(sd_mm) and sd_mm >= 0.0):
        raise ValueError(f"expected a standard deviation of 0 mm or more, got {sd_mm}: find what made it")
    for thickness in layers_mm:
        if not (math.isfinite(thickness) and thickness > 0.0):
            raise ValueError(f"expected a layer thicker than 0 mm, got {thickness}: leave it out")
