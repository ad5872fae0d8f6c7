"""Errors of the fitting.

FittingError
 ├── Unsolvable        (ArithmeticError)  the readings do not determine what was asked
 └── BadInput          (ValueError)       numbers that cannot be what they claim to be
"""


class FittingError(Exception):
    """Base of every refusal of the fitting."""


class Unsolvable(FittingError, ArithmeticError):
    """The readings do not determine what was asked; the message names what is free."""


class BadInput(FittingError, ValueError):
    """A number that cannot be what it claims to be; the message says what was expected."""
