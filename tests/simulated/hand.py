"""What a person's hands and tools do to a true length: errors common to a site, and one at a time; typing.

Every figure here is an assumption, of the order of common practice, without a source.
"""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np

from simulated.laws import FloatArray
from simulated.site import Site
from survey.records import Reading, TypedAngle, TypedLength

HOOK_SD, SCALE_SD = 0.2, 1e-4
READING_SD, BENT_SD, STICKS_SD, DISTANCE_METER_SD = 0.3, 1.0, 0.4, 0.75
GAP_SD, LASER_LINE_SD = 0.25, 0.35
STATION_SD, HEIGHT_SD, MARK_SD = 3.0, 5.0, 1.0
LEVEL_SD, LASER_PLUMB_SD, LASER_SQUARE_SD = 5e-4, 2e-4, 2e-4
SQUARE_SD, FLIPPED_SQUARE_SD = 8e-4, 3e-4
GAUGE_SD, EYE_SD = math.radians(0.1), math.radians(1.0)
TOUCH_SD = 0.4
CROSS_PLACE_SD, CROSS_TURN_SD = 60.0, math.radians(1.0)

TAPE_IN, TAPE_MM = 16, Fraction(1)
GAP_IN, GAP_MM = 32, Fraction(1, 2)


@dataclass(frozen=True)
class Skill:
    """How many times all errors are, and whether numbers are rounded to the graduation."""

    times: float
    rounds: bool = True


SKILLS = {"careful": Skill(1.0), "hasty": Skill(1.5), "perfect": Skill(0.0, rounds=False)}


def skill_of(skill: str | Skill) -> Skill:
    if isinstance(skill, Skill):
        return skill
    if skill not in SKILLS:
        raise ValueError(f"expected a skill out of {', '.join(SKILLS)}, got {skill!r}: use one of these")
    return SKILLS[skill]


@dataclass(frozen=True)
class Cross:
    """Two laser lines through (x, y); `turn` of one from the back wall, `skew` of the other off square."""

    x: float
    y: float
    turn: float
    skew: float

    def normal(self, heading: float) -> FloatArray:
        """Return the normal (2,) of the line that runs more nearly along a wall's heading."""
        quarters = round(heading / (math.pi / 2))
        angle = quarters * math.pi / 2 + self.turn + (self.skew if quarters % 2 else 0.0)
        return np.array([-math.sin(angle), math.cos(angle)])


@dataclass(frozen=True)
class Hand:
    """One person on one site: what all lengths share comes from the site's seed, the rest from `rng`."""

    site: Site
    rng: np.random.Generator
    skill: Skill

    def off(self, sd: float) -> float:
        return float(self.rng.normal(0.0, 1.0)) * sd * self.skill.times

    @property
    def tape(self) -> tuple[float, float]:
        """The hook's zero in mm and the scale's error, the same for the whole site."""
        zero, scale = np.random.default_rng([self.site.seed, 2]).normal(0.0, self.skill.times, 2)
        return float(zero) * HOOK_SD, float(scale) * SCALE_SD

    def cross(self, name: str) -> Cross:
        """Return the laser cross of this name, set up once per site near the middle of the place."""
        rng = np.random.default_rng([self.site.seed, 3, zlib.crc32(name.encode())])
        right, back, turn, skew = rng.normal(0.0, 1.0, 4)
        middle = self.site.walls["back"].length / 2
        return Cross(
            middle + float(right) * CROSS_PLACE_SD,
            -450.0 + float(back) * CROSS_PLACE_SD,
            float(turn) * CROSS_TURN_SD,
            float(skew) * LASER_SQUARE_SD * self.skill.times,
        )

    # Numbers

    def taped(self, mm: float, reading: Reading) -> float:
        """Read a true length with this reading's instrument and start."""
        if reading.instrument == "laser":
            return mm + self.off(DISTANCE_METER_SD)
        zero, scale = self.tape
        hooked = reading.start not in ("butted", "burned an inch", "mark")
        sd = {"bent into the corner": BENT_SD, "two sticks": STICKS_SD}.get(str(reading.start), 0.0)
        return mm * (1.0 + scale) + hooked * zero + self.off(READING_SD) + self.off(sd)

    def length(self, mm: float, like: TypedLength) -> TypedLength:
        return self._typed(mm, like, TAPE_IN, TAPE_MM)

    def gap(self, mm: float, like: TypedLength) -> TypedLength:
        """Type a gap; less than nothing is nothing."""
        return self._typed(max(mm, 0.0), like, GAP_IN, GAP_MM)

    def offset(self, mm: float, like: TypedLength) -> TypedLength:
        return self._typed(mm, like, GAP_IN, GAP_MM)

    def angle(self, radians: float, graduation: float = 0.1) -> TypedAngle:
        degrees = math.degrees(radians)
        if not self.skill.rounds:
            return TypedAngle(f"{degrees:z.8f}")
        return TypedAngle(f"{round(degrees / graduation) * graduation:z.2f}")

    def _typed(self, mm: float, like: TypedLength, per_inch: int, step: Fraction) -> TypedLength:
        if not self.skill.rounds:
            return TypedLength(f"{mm:z.7f}", "mm")
        if like.unit in ("in", "ft"):
            return inches(round(mm / 25.4 * per_inch), per_inch)
        return millimetres(round(mm / float(step)) * step)

    # Places

    def start(self, wall: str, from_: str, up: float) -> tuple[float, float]:
        """Return where along a wall a corner really is, and +1 where one measures to the right from it."""
        if from_ not in self.site.corners:
            known = ", ".join(self.site.corners)
            raise ValueError(f"expected a corner of the site ({known}), got {from_!r}: measure from one")
        sign = -1.0 if self.site.corners[from_][0] == wall else 1.0
        return self.site.corner_along(wall, from_, up), sign

    def place(self, wall: str, along: TypedLength, from_: str, up: float) -> float:
        """Return where along a wall, from its left end, the hand goes for a station."""
        start, sign = self.start(wall, from_, up)
        return start + sign * (float(along.mm) + self.off(STATION_SD))

    def mark(self, wall: str, along: TypedLength, from_: str, up: float) -> float:
        """Return where along a wall a scratch is that was struck once, for all tapes held to it."""
        start, sign = self.start(wall, from_, up)
        struck = np.random.default_rng(
            [self.site.seed, 3, zlib.crc32(f"{wall} {along.text} {from_}".encode())]
        )
        return start + sign * (float(along.mm) + float(struck.normal(0.0, self.skill.times * MARK_SD)))

    def height(self, up: TypedLength | None) -> float:
        return (0.0 if up is None else float(up.mm)) + self.off(HEIGHT_SD)


@lru_cache(maxsize=100_000)
def inches(count: int, per_inch: int) -> TypedLength:
    """Type a count of graduations in inches, as people write them.

    >>> inches(549, 16), inches(-8, 16)
    (TypedLength(text='34 5/16', unit='in'), TypedLength(text='-1/2', unit='in'))
    """
    whole, part = divmod(Fraction(abs(count), per_inch), 1)
    text = " ".join(str(one) for one in (whole, part) if one) or "0"
    return TypedLength("-" * (count < 0) + text, "in")


@lru_cache(maxsize=100_000)
def millimetres(mm: Fraction) -> TypedLength:
    return TypedLength(f"{float(mm):g}", "mm")
