"""Which findings are new, which are gone, and which say otherwise."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from survey.changes.structs import FindingChange
from survey.finding import Finding

Key = tuple[int, tuple[str, ...]]


def finding_changes(before: Iterable[Finding], after: Iterable[Finding]) -> tuple[FindingChange, ...]:
    """Tell how findings changed, in the order of the numbers now, what is gone last.

    Findings of one number about the same pieces are taken for one that says otherwise where there is one of
    them on either side.

    Examples
    --------
    >>> from survey.finding import finding
    >>> old, new = finding(300, wall="left"), finding(300, wall="right")
    >>> [(one.kind, one.now) for one in finding_changes([old], [new])]
    [('otherwise', 'nothing says where wall `right` is')]
    >>> [one.kind for one in finding_changes([old], [])], finding_changes([old], [old])
    (['gone'], ())
    >>> more = [finding(300, pieces=names, wall="left") for names in (["box"], ["top", "box"])]
    >>> [(one.kind, one.pieces) for one in finding_changes(more[:1], more[1:])]
    [('new', ('top',))]
    """
    left, come = (_by_key(one) for one in _without_same(list(before), list(after)))
    told: list[FindingChange] = []
    for key, found in come.items():
        if len(found) == 1 and len(left.get(key, ())) == 1:
            was = left.pop(key)[0]
            told.append(_told("otherwise", found[0], was.says, found[0].says))
        else:
            told += [_told("new", one, "", one.says) for one in found]
    told += [_told("gone", one, one.says, "") for found in left.values() for one in found]
    return tuple(told)


def _without_same(before: list[Finding], after: list[Finding]) -> tuple[list[Finding], list[Finding]]:
    """Leave out what is found on both sides; of what is found about other pieces too, only these are left."""
    sides = (_pieces(before), _pieces(after))
    return _unlike(before, sides[1]), _unlike(after, sides[0])


def _pieces(findings: Iterable[Finding]) -> dict[tuple[int, str], set[str]]:
    found: dict[tuple[int, str], set[str]] = {}
    for one in findings:
        found.setdefault((one.number, one.says), set()).update(one.pieces)
    return found


def _unlike(findings: Iterable[Finding], others: dict[tuple[int, str], set[str]]) -> list[Finding]:
    kept = []
    for one in findings:
        there = others.get((one.number, one.says))
        pieces = tuple(name for name in one.pieces if name not in (there or ()))
        if there is None or pieces:
            kept.append(replace(one, pieces=pieces))
    return kept


def _by_key(findings: Iterable[Finding]) -> dict[Key, list[Finding]]:
    found: dict[Key, list[Finding]] = {}
    for one in findings:
        found.setdefault((one.number, tuple(sorted(one.pieces))), []).append(one)
    return found


def _told(kind: str, found: Finding, before: str, now: str) -> FindingChange:
    assert kind in ("new", "gone", "otherwise")
    return FindingChange(
        kind,  # type: ignore[arg-type]  # one of the three
        found.number,
        found.severity,
        before,
        now,
        found.do if now else "",
        found.pieces,
    )
