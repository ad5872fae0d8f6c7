"""What is said about other records: notes, photos, decisions, what was installed, withdrawals."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, field

from survey.errors import RecordError
from survey.records.base import Name, Record, RecordId, Reference, Sentence, TypedLength


class Note(Record, frozen=True, kw_only=True, tag="note"):
    """Something to remember, about the job or a named thing."""

    about: Reference | None = None
    text: Annotated[str, Meta(min_length=1, max_length=10_000)]


class Photo(Record, frozen=True, kw_only=True, tag="photo"):
    """A photo kept in the survey file by its SHA-256."""

    about: Reference | None = None
    sha256: Annotated[str, Meta(pattern=r"^[0-9a-f]{64}$(?!\n)")]
    media_type: Annotated[str, Meta(pattern=r"^image/[a-z0-9.+-]{1,40}$(?!\n)")]


class Decision(Record, frozen=True, kw_only=True, tag="decision"):
    """A choice that somebody made, with the results it was made on, so that it can go stale."""

    about: Name
    choice: Annotated[str, Meta(min_length=1, max_length=200)]
    value: TypedLength | None = None
    taken_on: Annotated[tuple[RecordId, ...], Meta(description="Readings that the result came from.")] = ()
    result: Annotated[dict[str, str], Meta(description="The printed results that were looked at.")] = field(
        default_factory=dict
    )


InstalledWhat = Literal["planed off", "gap", "shim", "cut off again"]
"""What an `AsInstalled` can tell of a place, in words."""


class AsInstalled(Record, frozen=True, kw_only=True, tag="as-installed"):
    """What was really planed off, shimmed or re-cut on the day, at one place along an edge.

    A photo of it is a `Photo` about the piece.
    """

    piece: Name
    edge: Annotated[str, Meta(max_length=40)]
    at: Annotated[
        TypedLength | None,
        Meta(description="Along the edge, from the end that its stations count from; absent: all of it."),
    ] = None
    planed_off: TypedLength | None = None
    gap: Annotated[TypedLength | None, Meta(description="The gap that stayed, where it was cut net.")] = None
    shim: TypedLength | None = None
    recut: Annotated[
        TypedLength | None, Meta(description="What was cut off again, because it did not go in.")
    ] = None
    remark: Sentence = ""


class Experience(Record, frozen=True, kw_only=True, tag="experience"):
    """How sure the shop's readings are, from its own jobs as installed; it replaces the usual figure."""

    factor: Annotated[
        float, Meta(ge=0.25, le=4.0, description="How many times as far off as foretold its edges were.")
    ]
    jobs: Annotated[int, Meta(ge=1, le=100_000, description="Jobs that this rests on.")]
    edges: Annotated[int, Meta(ge=1, le=1_000_000, description="Edges of them that were measured.")]


class Withdrawal(Record, frozen=True, kw_only=True, tag="withdrawal"):
    """Takes back the records that it replaces; what a correction had replaced then stands again."""

    because: Sentence = ""

    def __post_init__(self) -> None:
        """Taking back nothing means nothing."""
        if not self.replaces:
            raise RecordError("a withdrawal names what it takes back: expected ids in `replaces`, got none")
