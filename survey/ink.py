"""The inks of everything that is drawn, on paper and on the screen by day."""

from typing import NamedTuple


class Ink(NamedTuple):
    """A colour, each part 0 to 255."""

    red: int
    green: int
    blue: int

    @property
    def hex(self) -> str:
        """As written in SVG.

        >>> Ink(250, 246, 238).hex
        '#faf6ee'
        """
        return f"#{self.red:02x}{self.green:02x}{self.blue:02x}"


PAPER = Ink(250, 246, 238)
INK = Ink(22, 22, 20)
PENCIL = Ink(76, 76, 74)
CHALK = Ink(18, 72, 140)
ALERT = Ink(150, 20, 20)
