"""Printing words that came out of a file: a terminal is told nothing that somebody hid in them."""

from __future__ import annotations

import unicodedata
from typing import Final

import click

_KEPT: Final = frozenset("\n\t\N{ZERO WIDTH JOINER}\N{ZERO WIDTH NON-JOINER}")
"""Controls that words need: line breaks and tabs, and what joins letters in some scripts."""
_UNSEEN: Final = frozenset({"Cc", "Cf"})


def echo(text: object, err: bool = False) -> None:
    """Print a line, what a terminal would obey written out."""
    click.echo(visible(str(text)), err=err)


def visible(text: str) -> str:
    r"""Write out control characters and marks of direction, which erase or turn around what is printed.

    >>> print(visible("oak\x1b[31m \u202eteg"))
    oak\x1b[31m \u202eteg
    """
    return "".join(_written(letter) for letter in text)


def _written(letter: str) -> str:
    if letter in _KEPT or unicodedata.category(letter) not in _UNSEEN:
        return letter
    return letter.encode("unicode_escape").decode()
