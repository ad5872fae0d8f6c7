"""Progress on standard error, where somebody looks at it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import click


@contextmanager
def counting(label: str, items: Sequence[Any]) -> Iterator[Iterable[Any]]:
    """Give the items, and move a bar as they are taken."""
    if not sys.stderr.isatty():
        yield items
        return
    with click.progressbar(items, label=label, file=sys.stderr) as bar:
        yield bar


@contextmanager
def steps(label: str) -> Iterator[Callable[[str, int, int], None]]:
    """Give a function that takes what is being done, how many are done, and how many there are."""
    if not sys.stderr.isatty():
        yield lambda what, done, total: None
        return
    with click.progressbar(length=1, label=label, file=sys.stderr, item_show_func=lambda what: what) as bar:

        def move(what: str, done: int, total: int) -> None:
            bar.length = total
            bar.update(done - bar.pos, what)

        yield move
