"""The observers: one function per kind of reading, registered by its struct.

A new kind of reading needs one function with `@observes(Kind)` in a module that `survey.observe` imports.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, Literal, TypeVar

from survey.observe.ground import Ground
from survey.observe.observed import Seen, SiteReading, What
from survey.records import Reading

Kind = TypeVar("Kind", bound=Reading)
Observer = Callable[[Any, Ground], list[Seen]]

OBSERVERS: dict[type[Reading], Observer] = {}


def observes(kind: type[Kind]) -> Callable[[Callable[[Kind, Ground], list[Seen]]], Observer]:
    """Register a function as the observer of a kind of reading.

    It gets the record and the ground it stands on, and returns readings of the fitting; it raises
    `LeftOut` for what cannot be used.
    """

    def register(observer: Callable[[Kind, Ground], list[Seen]]) -> Observer:
        OBSERVERS[kind] = observer
        return observer

    return register


def seen(
    reading: SiteReading, words: str, unit: Literal["mm", "deg"] = "mm", at: tuple[str, ...] = ()
) -> Seen:
    """Join a reading of the fitting with the words for it."""
    return Seen(reading, What(words, unit, record_of(reading.key), at))


def record_of(key: Hashable) -> str:
    """Return the id of the record that a reading's key belongs to.

    >>> record_of("r1"), record_of(("r1", "diagonal"))
    ('r1', 'r1')
    """
    return str(key[0]) if isinstance(key, tuple) else str(key)
