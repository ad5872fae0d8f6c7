"""Which findings are new, which are gone, and which say otherwise."""

from __future__ import annotations

from collections.abc import Iterable

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
    """
    old, new = list(before), list(after)
    same = {(one.number, one.says, one.pieces) for one in old} & {
        (one.number, one.says, one.pieces) for one in new
    }
    left, come = (
        _by_key(one for one in each if (one.number, one.says, one.pieces) not in same) for each in (old, new)
    )
    told: list[FindingChange] = []
    for key, found in come.items():
        if len(found) == 1 and len(left.get(key, ())) == 1:
            was = left.pop(key)[0]
            told.append(_told("otherwise", found[0], was.says, found[0].says))
        else:
            told += [_told("new", one, "", one.says) for one in found]
    told += [_told("gone", one, one.says, "") for found in left.values() for one in found]
    return tuple(told)


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
