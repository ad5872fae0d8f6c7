"""A typed text and the place in it that reading has come to; private to `read`."""

import re
from typing import Final, NamedTuple, NoReturn

from survey.errors import QuantityError
from survey.quantity.values import DENOMINATORS

# Longer than any length or angle that a person types; bounds the work and the integers.
LONGEST_TEXT: Final = 64

# Every character is replaced by exactly one, so that a place is the same in both texts.
_SAME_MEANING: Final = str.maketrans(
    {
        **dict.fromkeys("\u00a0\u202f\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a", " "),
        **dict.fromkeys("\u2032\u2018\u2019", "'"),
        **dict.fromkeys("\u2033\u201c\u201d", '"'),
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013", "-"),
        "\u2044": "/",
        "\u00ba": "\u00b0",  # keyboards carry the ordinal mark where people look for the degree
    }
)

_VULGAR: Final = {
    "½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
    # No rule carries these; they are known here only to be refused with the right words.
    "⅓": (1, 3), "⅔": (2, 3), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5), "⅘": (4, 5), "⅙": (1, 6),
    "⅚": (5, 6), "⅐": (1, 7), "⅑": (1, 9), "⅒": (1, 10), "↉": (0, 3),
}  # fmt: skip
_V: Final = "".join(_VULGAR)

_AMOUNT: Final = re.compile(
    rf"""(?:(?P<whole>[0-9]+)(?:-|[ ]+|(?=[{_V}])))?
         (?:(?P<over>[0-9]+)/(?P<under>[0-9]+)|(?P<vulgar>[{_V}]))
       | (?P<units>[0-9]*)(?P<mark>[.,])(?P<decimals>[0-9]+)
       | (?P<plain>[0-9]+)""",
    re.VERBOSE,
)
_NUMBER_AHEAD: Final = re.compile(rf" *(?=[0-9.,{_V}])")
_SIGN: Final = re.compile(r"([-+]) *")
_PIECE: Final = re.compile(rf"[0-9]+(?:[./,][0-9]+)*|[{_V}]|\d+|[^\W\d_]+")

_HINT_NUMBER: Final = (
    "write one number, or a whole number and one fraction as 34 5/16; a word or a comma between two"
)
_HINT_WORD: Final = "write one number and at most one unit"
_HINTS: Final = {
    "/": "write a fraction as 5/16, with one bar and no spaces",
    ".": "write one decimal mark with digits behind it, and no thousands marks",
    ",": "write one decimal mark with digits behind it, and no thousands marks",
    "-": "a minus stands before the whole; a hyphen touches what it joins, as in 34-5/16",
    "+": "write the sum",
    "\t": "write a space",
}


class Amount(NamedTuple):
    """A number without sign or unit, and where its parts stand in the text."""

    over: int
    under: int
    start: int
    fraction_at: int = -1
    mark_at: int = -1
    comma: str = ""  # as typed when the decimal mark is a comma


class Scan:
    """A typed text and the place that reading has come to."""

    __slots__ = ("clean", "end", "place", "typed")

    def __init__(self, typed: str, example: str) -> None:
        """Start at the first character that is no space; refuse nothing and too much."""
        if len(typed) > LONGEST_TEXT:
            # The error carries the beginning only: a pasted book is no help to anybody.
            raise QuantityError(
                f"expected at most {LONGEST_TEXT} characters, got {len(typed)}: type one quantity",
                typed[:LONGEST_TEXT] + "…",
                LONGEST_TEXT,
            )
        self.typed = typed
        self.clean = typed if typed.isascii() else typed.translate(_SAME_MEANING)
        self.end = len(self.clean.rstrip())
        self.place = len(self.clean) - len(self.clean.lstrip())
        if not self.end:
            self.place = 0
            self.refuse(f"expected a number, got nothing: type it as {example}", 0)

    def refuse(self, problem: str, place: int) -> NoReturn:
        """Raise the refusal that points at a place of the typed text."""
        raise QuantityError(problem, self.typed, place)

    def refuse_instead_of(self, expected: str) -> NoReturn:
        """Refuse what stands at the next character that is no space."""
        place = self.place
        while place < self.end and self.clean[place] == " ":
            place += 1
        if place == self.end:
            self.refuse(f"expected {expected}, got the end: type the rest", place)
        found = _PIECE.match(self.typed, place, self.end)
        piece = found.group() if found else self.typed[place]
        self.refuse(f"expected {expected}, got {piece!r}: {_hint(piece, self.clean[place])}", place)

    def sign(self) -> int:
        """Take a leading minus (-1) or plus; 1 where there is none."""
        found = _SIGN.match(self.clean, self.place, self.end)
        if found is None:
            return 1
        self.place = found.end()
        return -1 if found.group(1) == "-" else 1

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Move past a pattern if it stands here."""
        found = pattern.match(self.clean, self.place, self.end)
        if found is not None:
            self.place = found.end()
        return found

    def take_space_before_number(self) -> bool:
        """Move to a number that comes next; False, and stay, where none does."""
        return self.take(_NUMBER_AHEAD) is not None

    def amount(self) -> Amount:
        """Take a number: whole, decimal, fraction, or whole and fraction."""
        found = _AMOUNT.match(self.clean, self.place, self.end)
        if found is None:
            self.refuse_instead_of("a number")
        start, self.place = self.place, found.end()
        if found["plain"]:
            return Amount(int(found["plain"]), 1, start)
        if found["mark"]:
            digits, decimals, at = found["units"], found["decimals"], found.start("mark")
            comma = found.group() if found["mark"] == "," else ""
            return Amount(int(digits + decimals), 10 ** len(decimals), start, -1, at, comma)
        return self._fraction(found, start)

    def _fraction(self, found: re.Match[str], start: int) -> Amount:
        """Give a fraction with its whole; refuse one that no rule carries, or of 1 and more.

        An improper fraction is most likely one whose space was missed: `345/16` would be a
        plausible 21 9/16 where 34 5/16 was meant.
        """
        part = "vulgar" if found["vulgar"] else "over"
        at, under_at = found.start(part), found.start("vulgar" if found["vulgar"] else "under")
        over, under = _VULGAR.get(found[part]) or (int(found["over"]), int(found["under"]))
        if under not in DENOMINATORS:
            carried = ", ".join(map(str, DENOMINATORS))
            self.refuse(
                f"expected a fraction over one of {carried}, got one over {under}: "
                "use one of these, or a decimal",
                under_at,
            )
        if over >= under:
            self.refuse(
                f"expected a fraction of less than 1, got {over}/{under}: "
                "write the whole number, a space, then the rest",
                at,
            )
        return Amount(int(found["whole"] or 0) * under + over, under, start, at)

    def finish(self, expected: str) -> None:
        """Refuse whatever is left but space."""
        if self.place < self.end:
            self.refuse_instead_of(expected)


def _hint(piece: str, clean: str) -> str:
    """Say what to do about a piece of text that does not belong where it stands."""
    if clean in _HINTS:
        return _HINTS[clean]
    if clean in _VULGAR or "0" <= clean <= "9":
        return _HINT_NUMBER
    if piece[0].isnumeric():
        return "write the digits 0 to 9"
    return _HINT_WORD
