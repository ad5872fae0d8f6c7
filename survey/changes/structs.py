"""What changed between two revisions of a survey, in plain words and numbers.

Lengths are millimetres where they are numbers, and as the reports printed them where they are text; a
difference is what is now less what was, so what got larger has a plus.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal, get_args

from msgspec import Meta, Struct

from survey.finding import Severity

Group = Literal["cut", "outline", "edge", "notch", "cut-out", "part", "on site", "fixing", "chance", "words"]
"""What a change is about; `cut` is a size to cut by, `on site` what is measured or set there."""

Verdict = Literal[
    "new blank",
    "build anew",
    "do not cut",
    "not wanted",
    "less left on",
    "make more",
    "re-cut",
    "make fewer",
    "cut as before",
    "can be cut now",
    "new piece",
]
"""What a change means for a piece that was cut to the old paper already, the most harmful first."""

HARM: Final[dict[str, int]] = {verdict: rank for rank, verdict in enumerate(get_args(Verdict))}
"""The order in which changes are told."""

HINTS: Final = frozenset({"chance", "words"})
"""Groups of which a change makes no number on paper wrong."""


class Part(Struct, frozen=True, forbid_unknown_fields=True):
    """Base of what is told here."""


class Revision(Part, frozen=True):
    """Which survey: how many records it had, and its hash."""

    number: int
    survey_hash: str

    @property
    def words(self) -> str:
        """Say it as papers do.

        >>> Revision(42, "2d8c7c46" * 8).words
        'revision 42 (2d8c7c46)'
        """
        return f"revision {self.number} ({self.survey_hash[:8]})"


class Told(Part, frozen=True):
    """One thing that is told otherwise now; an empty side was not there."""

    what: str
    before: str = ""
    now: str = ""
    difference: Annotated[
        str, Meta(description="Signed, where both are lengths; or what moved, by how much.")
    ] = ""
    group: Group = "words"

    @property
    def words(self) -> str:
        """Say it in a line.

        >>> Told("finished width", "22 1/4 in", "22 1/2 in", "+1/4 in", "cut").words
        'finished width 22 1/2 in, was 22 1/4 in (+1/4 in)'
        >>> Told("stock", "", "one sheet").words, Told("stock", "one sheet").words
        ('new: stock one sheet', 'no more: stock one sheet')
        >>> Told("outline", difference="moved by at most 3 mm").words
        'outline moved by at most 3 mm'
        """
        if not self.before and not self.now:
            return f"{self.what} {self.difference}"
        if not self.before:
            return f"new: {self.what} {self.now}"
        if not self.now:
            return f"no more: {self.what} {self.before}"
        difference = f" ({self.difference})" if self.difference else ""
        return f"{self.what} {self.now}, was {self.before}{difference}"


class RecordChange(Part, frozen=True):
    """A record that counts now and did not, or did and does not; both in the words of dictation."""

    kind: Literal["corrected", "withdrawn", "stands again", "added", "not there"]
    record: Annotated[
        str, Meta(description="Id of what counts now; of what no longer does where nothing does.")
    ]
    before: str = ""
    now: str = ""
    because: Annotated[str, Meta(description="Why it was withdrawn, where somebody said so.")] = ""

    @property
    def words(self) -> str:
        """Say it in a line.

        >>> RecordChange("corrected", "a1", "wall bak", "wall back").words
        'corrected: wall back, was: wall bak'
        """
        if self.kind == "not there":
            return f"not in it any more: {self.before}"
        if self.before and self.now:
            return f"{self.kind}: {self.now}, was: {self.before}"
        because = f" (because: {self.because})" if self.because else ""
        return f"{self.kind}: {self.before or self.now}{because}"


class FindingChange(Part, frozen=True):
    """A finding that is new, gone, or says otherwise."""

    kind: Literal["new", "gone", "otherwise"]
    number: int
    severity: Severity
    before: str = ""
    now: str = ""
    do: str = ""
    pieces: tuple[str, ...] = ()


class PieceChange(Part, frozen=True):
    """What changed of a piece, and what that means where it was cut to the old paper."""

    name: str
    kind: str
    verdict: Verdict
    says: Annotated[str, Meta(description="What to do with one that was cut to the old paper.")]
    was: Annotated[str, Meta(description="Its name before, where that was another.")] = ""
    told: tuple[Told, ...] = ()
    doubts: Annotated[tuple[int, ...], Meta(description="New findings about it that are no mere hints.")] = ()
    handed_over: Annotated[bool, Meta(description="The old paper had numbers to cut it by.")] = True

    @property
    def is_wrong_on_paper(self) -> bool:
        """Whether somebody who holds the old paper must hear of it.

        >>> surer = (Told("chance that it goes in", "87 %", "90 %", group="chance"),)
        >>> PieceChange("top", "top", "cut as before", "", told=surer).is_wrong_on_paper
        False
        """
        if not self.handed_over:
            return False
        is_other = self.verdict != "cut as before" or bool(self.was) or bool(self.doubts)
        return is_other or any(one.group not in HINTS for one in self.told)


class Changes(Part, frozen=True):
    """All that changed between two revisions; what did not is not in it."""

    title: str
    unit: Literal["in", "mm"]
    before: Revision
    now: Revision
    job: tuple[Told, ...] = ()
    records: tuple[RecordChange, ...] = ()
    pieces: Annotated[tuple[PieceChange, ...], Meta(description="The most harmful first.")] = ()
    findings: tuple[FindingChange, ...] = ()
    format: Literal["scribefit changes"] = "scribefit changes"
    version: Literal[1] = 1

    @property
    def is_empty(self) -> bool:
        """Whether nothing that counts changed."""
        return not (self.job or self.records or self.pieces or self.findings)

    @property
    def wrong(self) -> tuple[PieceChange, ...]:
        """The pieces whose old paper is not right any more."""
        return tuple(one for one in self.pieces if one.is_wrong_on_paper)
