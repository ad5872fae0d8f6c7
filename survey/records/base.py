"""What every record has, and how a typed quantity is kept.

A record is a fact that somebody put down: it is never edited. A correction is a new record that
names the older one in `replaces`; taking something back is a `withdrawal`, and taking back a
correction brings back what it corrected.
"""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.quantity import Angle, Length, read_angle, read_length

LengthUnit = Literal["in", "ft", "mm", "cm", "m"]

# In the patterns, `(?!\n)` because Python's `$` also stands before a closing line break; control characters
# and marks of direction are no part of a name, because terminals and spreadsheets obey them.

RecordId = Annotated[
    str,
    Meta(
        pattern=r"^[0-9a-z][0-9a-z-]{0,63}$(?!\n)",
        description="Globally unique, never reused; new ones are 32 random hexadecimal digits.",
    ),
]
Name = Annotated[
    str,
    Meta(
        pattern=r"^[^\s:,'\"\x00-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069]{1,40}$(?!\n)",
        description="One word, unique in the survey; other records refer to the thing by it.",
    ),
]
Reference = Annotated[
    str,
    Meta(
        pattern=r"^[^\s:,'\"\x00-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069]{1,40}(:[a-z]{1,12})?$(?!\n)",
        description="The name of a corner, a mark or a feature; `name:edge` for one edge of it.",
    ),
]
Sentence = Annotated[str, Meta(max_length=2000)]
Kilograms = Annotated[float, Meta(gt=0, le=2000)]
Moment = Annotated[datetime, Meta(tz=True, description="RFC 3339, in UTC.")]


_read_once = lru_cache(maxsize=8192)(read_length)
"""A survey's sizes are asked for thousands of times while its pieces are worked out."""


class TypedLength(Struct, frozen=True, forbid_unknown_fields=True):
    """A length exactly as it was typed, and the unit that a bare number meant.

    >>> TypedLength("34 5/16", "in").mm
    Fraction(69723, 80)
    """

    text: Annotated[str, Meta(min_length=1, max_length=64)]
    unit: LengthUnit

    def __post_init__(self) -> None:
        """Refuse what cannot be read, while the place it came from is still known."""
        read_length(self.text, self.unit)

    @property
    def length(self) -> Length:
        """What the text says."""
        return _read_once(self.text, self.unit)

    @property
    def mm(self) -> Fraction:
        """The exact value in millimetres."""
        return self.length.mm


class TypedAngle(Struct, frozen=True, forbid_unknown_fields=True):
    """An angle or slope exactly as it was typed.

    >>> TypedAngle("89.5").angle.degrees
    Fraction(179, 2)
    """

    text: Annotated[str, Meta(min_length=1, max_length=64)]

    def __post_init__(self) -> None:
        """Refuse what cannot be read, while the place it came from is still known."""
        read_angle(self.text)

    @property
    def angle(self) -> Angle:
        """What the text says."""
        return read_angle(self.text)


class Record(
    Struct,
    frozen=True,
    kw_only=True,
    forbid_unknown_fields=True,
    omit_defaults=True,
    tag_field="kind",
    rename={"from_": "from"},
):
    """What every record has: who put it down, when, on which device, and what it replaces."""

    id: RecordId
    taken: Moment
    device: Annotated[str, Meta(max_length=80)] = ""
    person: Annotated[str, Meta(max_length=80)] = ""
    replaces: tuple[RecordId, ...] = ()
    note: Sentence = ""
