"""Names of files that every system takes."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Final

LONGEST_NAME: Final = 60
"""Letters of a piece's name that go into a file's name; with the rest well under 255 bytes."""


def file_names(names: Sequence[str]) -> list[str]:
    """Make names of pieces, or titles, into names of files: safe on every system, no two alike.

    Letters, digits, `-` and `_` stay; all else becomes `_`. Two that differ only in what was replaced, or
    in case, get a number.

    >>> file_names(["vanity-top", "../../etc/passwd", "a/b", "A_b", "…"])
    ['vanity-top', 'etc_passwd', 'a_b', 'A_b-2', 'piece']
    """
    taken: set[str] = set()
    found = []
    for name in names:
        plain = unicodedata.normalize("NFC", name)
        kept = "".join(letter if letter.isalnum() or letter in "-_" else "_" for letter in plain)
        base = _cut(kept.strip("_-")) or "piece"
        chosen, number = base, 1
        while unicodedata.normalize("NFKC", chosen).casefold() in taken:
            number += 1
            chosen = f"{base}-{number}"
        taken.add(unicodedata.normalize("NFKC", chosen).casefold())
        found.append(chosen)
    return found


def revised(stem: str, mark: str, ending: str) -> str:
    """Return a file's name with the revision it is of, so that names sort and tell papers apart.

    >>> revised("vanity-top", "r0042", "_in.dxf")
    'vanity-top_r0042_in.dxf'
    """
    return f"{stem}_{mark}{ending}"


def _cut(name: str) -> str:
    """Shorten a name so that it takes at most 180 bytes, in whole letters."""
    return name[:LONGEST_NAME].encode()[:180].decode(errors="ignore")
