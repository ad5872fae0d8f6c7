"""Cells of a spreadsheet: words that it would take for a formula are kept from that, and read back."""

from __future__ import annotations

# The wide ones are read as formulas too where wide letters are typed.
_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_UNSEEN = " \t\r\n\v\f\u00a0\u200b\u200c\u200d\u2060\ufeff"
"""Blanks before a formula that a spreadsheet may drop, those without width among them."""


def harmless(cell: str) -> str:
    """Keep a spreadsheet from taking words for a formula: put an apostrophe before them.

    One that begins with an apostrophe gets another, so that `as_it_was` finds what was there.

    >>> harmless("=1+1"), harmless("-3.5"), harmless("maple"), harmless("'tis")
    ("'=1+1", '-3.5', 'maple', "''tis")
    """
    seen = cell.lstrip(_UNSEEN)
    is_formula = seen.startswith(_FORMULA) and not _is_number(cell)
    return f"'{cell}" if is_formula or cell.startswith(("'", "\t", "\r", "\n")) else cell


def as_it_was(cell: str) -> str:
    """Take the apostrophe off again that `harmless` put before a cell.

    >>> as_it_was("'=1+1"), as_it_was("''tis"), as_it_was("maple")
    ('=1+1', "'tis", 'maple')
    """
    return cell.removeprefix("'")


def _is_number(cell: str) -> bool:
    return cell.removeprefix("-").replace(".", "", 1).isdecimal() and cell.isascii()
