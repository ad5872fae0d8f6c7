"""Records and the survey that they make."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import any_record, records, surveys
from thorough import many

from survey.errors import RecordError
from survey.records import KINDS, Cabinet, Edge, Job, Note, Record, Survey, TypedLength, Wall, Withdrawal
from survey.records.canonical import canonical, read_record, survey_hash
from survey.records.survey import find_circle

NOON = datetime(2025, 5, 1, 12, tzinfo=UTC)


def note(record_id: str, *replaces: str, text: str = "tile comes later") -> Note:
    return Note(id=record_id, taken=NOON, text=text, replaces=replaces)


# Every kind


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_reads_back_as_it_was_written(kind: str) -> None:
    @settings(max_examples=8, deadline=None)
    @given(records(KINDS[kind]))
    def reads_back(record: Record) -> None:
        assert type(record) is KINDS[kind]
        assert read_record(canonical(record)) == record

    reads_back()


# The kinds that the design's section on what a survey holds asks for.
ASKED = {
    "job",
    "room",
    "wall",
    "area",
    "corner",
    "mark",
    "length",
    "three-sides",
    "corner-angle",
    "corner-square",
    "straightedge",
    "lean",
    "drop",
    "position",
    "story-stick",
    "template",
    "tool",
    "opening",
    "trim",
    "rough-in",
    "electrical",
    "register",
    "floor-heat",
    "access-panel",
    "fixture",
    "stud",
    "obstacle",
    "bought-item",
    "stock",
    "cabinet",
    "tall-cabinet",
    "top",
    "panel",
    "filler",
    "splash",
    "shelf",
    "face-frame",
    "drawer",
    "false-front",
    "toe-kick",
    "cleat",
    "stretcher",
    "mirror",
    "cabinet-door",
    "light-strip",
    "case-back",
    "cut-out",
    "seam",
    "oversize",
    "machine",
    "way",
    "photo",
    "note",
    "decision",
    "as-installed",
    "experience",
    "withdrawal",
    "assumption",
}


def test_the_kinds_are_those_that_the_design_asks_for() -> None:
    assert KINDS.keys() == ASKED


@settings(deadline=None)
@given(any_record)
def test_canonical_form_is_what_another_json_writer_makes_of_it(record: Record) -> None:
    """Reference: the standard library's json, told to sort keys and leave no blanks."""
    written = canonical(record)
    again = json.dumps(json.loads(written), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert written.decode() == again


def test_equal_records_have_one_canonical_form() -> None:
    """An edge that equals the default but is another object, an hour in another zone."""
    sizes = {side: TypedLength("30", "in") for side in ("width", "height", "depth")}
    plain = Cabinet(id="c1", taken=NOON, name="vanity", **sizes)
    east = NOON.astimezone(timezone(timedelta(hours=2)))
    other = Cabinet(id="c1", taken=east, name="vanity", left=Edge(), note="".join([]), **sizes)
    assert plain == other
    assert canonical(plain) == canonical(other)
    assert b"left" not in canonical(other)


REFUSED = {
    "no name": (b'{"kind":"wall","id":"a","taken":"2025-05-01T00:00:00Z"}', "missing required field `name`"),
    "unknown kind": (b'{"kind":"moon","id":"a"}', "kind: Invalid value 'moon'"),
    "unknown field": (
        b'{"kind":"wall","id":"a","taken":"2025-05-01T00:00:00Z","name":"w","hue":1}',
        "contains unknown field `hue`",
    ),
    "id with a line break": (
        b'{"kind":"note","id":"a\\n","taken":"2025-05-01T00:00:00Z","text":"x"}',
        "id: Expected `str` matching regex",
    ),
    "no zone": (
        b'{"kind":"note","id":"a","taken":"2025-05-01T00:00:00","text":"x"}',
        "taken: Expected `datetime` with a timezone",
    ),
    "wrong type": (
        b'{"kind":"note","id":"a","taken":"2025-05-01T00:00:00Z","text":5}',
        "text: Expected `str`, got `int`",
    ),
    "length that cannot be read": (
        b'{"kind":"lean","id":"a","taken":"2025-05-01T00:00:00Z","low":{"text":"34 5/0","unit":"in"}}',
        "low: expected a fraction over one of 2, 4, 8",
    ),
    "withdraws nothing": (
        b'{"kind":"withdrawal","id":"a","taken":"2025-05-01T00:00:00Z"}',
        "expected ids in `replaces`, got none",
    ),
    "no JSON": (b'{"kind":', "truncated"),
    "no UTF-8": (b'{"kind":"note","id":"\xff"}', "utf-8"),
}


@pytest.mark.parametrize(("content", "said"), REFUSED.values(), ids=REFUSED)
def test_what_breaks_the_rules_of_its_kind_is_refused(content: bytes, said: str) -> None:
    with pytest.raises(RecordError, match=said):
        read_record(content)


UNWRITABLE = {
    "moment without a zone": Note(id="a", taken=datetime(2025, 5, 1), text="x"),
    "half a character": note("a", text="\ud800"),
    "NaN": Job(id="a", taken=NOON, title="t", unit="in", step="1/16", confidence=float("nan")),
    "before year 1": Note(id="a", taken=datetime(1, 1, 1, tzinfo=timezone(timedelta(hours=14))), text="x"),
}


@pytest.mark.parametrize("record", UNWRITABLE.values(), ids=UNWRITABLE)
def test_what_cannot_be_written_is_refused_by_its_id(record: Record) -> None:
    with pytest.raises(RecordError, match="record 'a' cannot be written"):
        canonical(record)


# The survey


def test_a_correction_takes_the_place_of_what_it_replaces() -> None:
    survey = Survey([note("a"), note("b", "a"), note("c")])
    assert [record.id for record in survey.current] == ["b", "c"]
    assert survey.replaced == {"a": ("b",)}


def test_two_corrections_of_one_reading_both_stand() -> None:
    """Two phones corrected it without knowing of each other: a person has to settle it."""
    survey = Survey([note("a"), note("b", "a"), note("c", "a")])
    assert [record.id for record in survey.current] == ["b", "c"]


def test_a_withdrawal_takes_back_without_a_successor() -> None:
    survey = Survey([note("a"), Withdrawal(id="w", taken=NOON, replaces=("a",))])
    assert survey.current == ()


def test_named_shows_every_record_under_a_name() -> None:
    walls = [Wall(id=one, taken=NOON, name="back") for one in "ab"]
    assert Survey(walls).named == {"back": tuple(walls)}


def test_of_gives_only_current_records_of_the_kind() -> None:
    wall = Wall(id="w", taken=NOON, name="back")
    assert Survey([note("a"), wall, note("b", "a")]).of(Wall) == (wall,)


def test_the_job_is_the_last_one_put_down_or_none() -> None:
    jobs = [Job(id=one, taken=NOON, title=one, unit="in", step="1/16") for one in "ab"]
    assert Survey(jobs).job == jobs[1]
    assert Survey([]).job is None


def test_one_id_with_two_contents_is_refused() -> None:
    assert len(Survey([note("a"), note("a")]).records) == 1
    with pytest.raises(RecordError, match="record a: this id came with two contents"):
        Survey([note("a"), note("a", text="other")])


CIRCLES = {
    "itself": [note("a", "a")],
    "two": [note("a", "b"), note("b", "a")],
    "three, and a way in": [note("in", "a"), note("a", "b"), note("b", "c"), note("c", "a")],
}


@pytest.mark.parametrize("held", CIRCLES.values(), ids=CIRCLES)
def test_corrections_in_a_circle_are_refused(held: list[Record]) -> None:
    with pytest.raises(RecordError, match=r"record a replaces itself through a.* -> a: "):
        Survey(held)


def test_a_long_chain_of_corrections_is_no_circle() -> None:
    chain = [note("r0"), *(note(f"r{n}", f"r{n - 1}") for n in range(1, 20_000))]
    assert [record.id for record in Survey(chain).current] == ["r19999"]


@given(st.dictionaries(st.sampled_from("abcdef"), st.lists(st.sampled_from("abcdefgh"), max_size=3)))
def test_circles_are_found_where_graphlib_finds_them(replaces: dict[str, list[str]]) -> None:
    """Reference: the standard library's graphlib."""
    found = find_circle(replaces, lambda one: replaces.get(one, []))
    try:
        TopologicalSorter(replaces).prepare()
    except CycleError:
        assert found[0] == found[-1]
        assert all(later in replaces[one] for one, later in pairwise(found))
        assert len(found) > 1
    else:
        assert found == ()


@settings(max_examples=many(40, 100), deadline=None)
@given(surveys(), st.randoms(use_true_random=False))
def test_the_order_of_records_matters_neither_to_equality_nor_to_the_hash(
    survey: Survey, chance: Random
) -> None:
    shuffled = list(survey.records)
    chance.shuffle(shuffled)
    assert Survey(shuffled) == survey
    assert survey_hash(Survey(shuffled)) == survey_hash(survey)


def test_the_hash_tells_another_content_and_another_set() -> None:
    hashes = {survey_hash(Survey(held)) for held in ([], [note("a")], [note("a", text="x")], [note("b")])}
    assert len(hashes) == 4


def _wall(name, *replaces):
    return Wall(id=name, taken=NOON, name=name, replaces=replaces)


def _taken_back(name, *replaces):
    return Withdrawal(id=name, taken=NOON, replaces=replaces)


@pytest.mark.parametrize(
    ("records", "current"),
    [
        ([_wall("a"), _wall("b", "a")], ["b"]),
        ([_wall("a"), _taken_back("x", "a")], []),
        ([_wall("a"), _wall("b", "a"), _taken_back("x", "b")], ["a"]),
        ([_wall("a"), _taken_back("x", "a"), _taken_back("y", "x")], ["a"]),
        ([_wall("a"), _wall("b", "a"), _taken_back("x", "b"), _taken_back("y", "x")], ["b"]),
        ([_wall("a"), _wall("b", "a"), _wall("c", "b"), _taken_back("x", "c")], ["b"]),
        ([_wall("a"), _wall("b", "a"), _taken_back("x", "a", "b")], []),
    ],
    ids=["corrected", "withdrawn", "undone", "withdrawn not", "undone not", "one step back", "both"],
)
def test_what_stands_after_corrections_and_withdrawals(records, current):
    for order in (records, records[::-1]):
        assert [one.id for one in Survey(order).current] == current


@pytest.mark.parametrize("mark", ["\x00", "\x1b", "\x7f", "\u202e", "\u200f", "\u2066", " ", ",", '"'])
def test_a_name_holds_nothing_that_a_terminal_or_spreadsheet_obeys(mark):
    text = {"kind": "wall", "id": "a1", "taken": "2025-05-01T00:00:00Z", "name": f"ba{mark}ck"}
    with pytest.raises(RecordError, match="name"):
        read_record(json.dumps(text).encode())
