"""Lengths and angles as people type, read and print them; exact, standard library only.

Reading never guesses: what could mean two things is refused with the place in the text.
Printing rounds to the job's smallest fraction, with a direction.
"""

from survey.quantity.read import read_angle, read_length, read_step
from survey.quantity.values import Angle, Direction, Length, LengthUnit, Step, Style
from survey.quantity.write import round_length, write_angle, write_both, write_length

__all__ = [
    "Angle",
    "Direction",
    "Length",
    "LengthUnit",
    "Step",
    "Style",
    "read_angle",
    "read_length",
    "read_step",
    "round_length",
    "write_angle",
    "write_both",
    "write_length",
]
