"""Dictation: lines to records and back, by the table of patterns."""

from datetime import UTC, datetime

import msgspec
import pytest
from hypothesis import HealthCheck, assume, given, settings
from strategies_records import KEEPING, TAKEN, records_of

from survey.dictation import DictationError, Hand, dictate, full_id, say
from survey.dictation.grammar import fields_of
from survey.dictation.line import tokens_of
from survey.dictation.notation import kinds_by_first_word, pattern_of
from survey.dictation.patterns import PATTERNS
from survey.errors import RecordError
from survey.records import KINDS, Spot, Survey, TypedLength, Wall, kind_of
from survey.records.limits import refuse_impossible

HAND = Hand(taken=lambda: TAKEN, new_id=lambda: "0" * 32)
JOB = dictate(["job Vanity in inches to 1/16"], Survey([]), Hand(new_id=lambda: "f" * 32))[0]
INCHES = Survey([JOB])


def one(line: str, survey: Survey = INCHES):
    """The one record that a line makes."""
    (record,) = dictate([line], survey, HAND)
    return record


def surroundings(kind: str) -> Survey:
    """A survey that a record of a kind can come into, with an older record to be named."""
    older = Wall(id="ab" * 16, taken=TAKEN, name="older")
    return Survey([older] if kind == "job" else [JOB, older])


def refusal(*lines: str, survey: Survey = INCHES) -> str:
    """What is said about lines that are refused."""
    with pytest.raises(DictationError) as caught:
        dictate(lines, survey, HAND)
    return str(caught.value)


def test_every_kind_has_a_pattern_and_examples():
    assert PATTERNS.keys() == KINDS.keys()
    assert all(pattern.examples and pattern.about for pattern in PATTERNS.values())


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_a_kind_can_be_said(kind):
    said = {path.partition(".")[0] for path in fields_of(pattern_of(kind))}
    fields = set(KINDS[kind].__struct_encode_fields__) - KEEPING
    assert said == (fields | {"replaces"} if kind == "withdrawal" else fields)


EXAMPLES = [(kind, line) for kind, pattern in PATTERNS.items() for line in pattern.examples]


@pytest.mark.parametrize(("kind", "line"), EXAMPLES, ids=[line[:50] for _, line in EXAMPLES])
def test_an_example_gives_its_kind_and_is_said_back(kind, line):
    survey = surroundings(kind)
    record = one(line, survey)
    assert kind_of(record) == kind
    assert one(say(record, "in"), survey) == record


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_said_is_dictated_back(kind):
    @settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
    @given(records_of(kind))
    def check(record):
        line = say(record, "in")
        assert "\n" not in line
        try:
            refuse_impossible(record)
        except RecordError:
            assume(False)
        assert one(line, surroundings(kind)) == record

    check()


@pytest.mark.parametrize(
    ("line", "field", "text"),
    [
        ("length a to b up 34 reads 60 3/8", "reads", "60 3/8"),
        ("LENGTH a TO b, up 34, reads 2' 10-5/16\"", "reads", "2' 10-5/16\""),
        ("length a to b reads 87,2 cm, up 34", "reads", "87,2 cm"),
        ("length a to b reads ,5 cm", "reads", ",5 cm"),
        ("length a to b reads 34 5/16 in up 3", "reads", "34 5/16 in"),
        ('length a to b reads 16 " up 3 note "x"', "reads", '16 "'),
        ("lean a along 2 from b low 4 high 34 in 1/8", "high", "34"),
        ("lean a along 2 from b low 4 high 34 in in 1/8", "high", "34 in"),
        ("lean a along 2 from b low 4 high 34 out 1/8", "offset", "-1/8"),
        ("lean a along 2 from b low 4 high 34 angle 1.5 in 24 out", "angle", "-1.5 in 24"),
        ("bought sink basin width 18 in hand", "width", "18"),
        ("length left at 22 from c to right at 22 from d up 34 reads 60 # checked", "reads", "60"),
    ],
)
def test_a_quantity_takes_exactly_its_own_words(line, field, text):
    assert getattr(one(line), field).text == text


def test_places_may_have_heights_of_their_own():
    ends = one("length (left 22 from c up 3) to (right -2 from d up 30) reads 60").between
    assert ends[1] == Spot("right", TypedLength("-2", "in"), "d", TypedLength("30", "in"))


def test_stations_keep_their_pairs():
    check = one("straightedge back up 34 from c: 0 0, 6 1/16, 12 1/2 1/8, 18 gap 0 edge 72 with string")
    assert [(s.at.text, s.gap.text) for s in check.stations] == [
        ("0", "0"),
        ("6", "1/16"),
        ("12 1/2", "1/8"),
        ("18", "0"),
    ]
    assert (check.edge_length.text, check.instrument) == ("72", "string")


def test_every_reading_takes_instrument_start_face_deviation_and_note():
    record = one('length a to b reads 60, burned an inch, with steel rule, to finished, sd 1/32, note "wet"')
    assert (record.instrument, record.start, record.face, record.sd.text, record.note) == (
        "steel rule",
        "burned an inch",
        "finished",
        "1/32",
        "wet",
    )


@pytest.mark.parametrize(
    ("line", "message", "under"),
    [
        ("lenght a to b", "did you mean `length`", "lenght"),
        ("length a to b raeds 60", "expected `reads LENGTH`, got `raeds`: did you mean `reads`", "raeds"),
        ("length a to b", "expected `reads LENGTH`, got the end of the line", ""),
        ("length a to b reads 60 3 8", "one fraction as 34 5/16", "3 8"),
        ("length a to b reads 34 5/0", "fraction over one of", "0"),
        ("length a to b reads NaN", "expected a length such as 34 5/16 or 872 mm, got `NaN`", "NaN"),
        ("length a to b reads inf", "got `inf`", "inf"),
        ("length a to b reads 1e3", "without powers", "e3"),
        ("length a to b reads 3 up 4 up 5", "got `up`", "up 5"),
        ("wall to", "a name that is no word of the language (`to-1`", "to"),
        ("wall 2x4", 'begins with a letter (or "2x4" in quotes)', "2x4"),
        ("straightedge back up 34 from c: 0 0, 2' 10 1/16", "say `gap` between the two", "2' 10"),
        ("straightedge back up 34 from c: 0 0, 6 1/16 12 1/8, 18 0", "put a comma between", "6 1/16 12"),
        ("straightedge back up 34 from c: 0, 6 1/16, 12", "expected a length", ", 6"),
        ("straightedge back up 34 from c: 0 0,6 1/16,12 1/8", "a unit or the end, got '1/16,12'", "1/16"),
        ("job \"Vanity in inches to 1/16", "its closing quote", '"Vanity'),
        ("job Vanity in inches to 1/3", "got one over 3", "3"),
        ("area a on left layers board 1/2 tile 3/8", "a comma and the next", "tile"),
        ("withdraw zzzz", "expected the id of a record in this survey", "zzzz"),
        ("withdraw ff", "at least 4 characters", "ff"),
        ("correct last wall a", "a colon and the right line", "wall"),
    ],
)  # fmt: skip
def test_a_refusal_says_what_was_expected_and_points_at_the_place(line, message, under):
    said, shown, caret = refusal(line).split("\n")
    assert message in said
    place = caret.index("^") - 4
    assert shown[4:] == line
    assert line[place:].startswith(under), line[place:]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("length a to b reads -4", "reads: expected zero or more, got -4"),
        ("length a to b reads 61 m", "expected at most 60 m, got 61 m"),
        ("three sides c 36 left 0 right diagonal 3", "right_leg: expected more than zero"),
        ("straightedge back up 34 from c: 0 0, 6 -1/16", "stations[1].gap: expected zero or more"),
        ("cabinet v width 48 height 0 depth 2", "height: expected more than zero"),
        ("angle c reads 361 reach 8", "at most 360"),
        ("angle c reads 0 reach 8", "between 0° and 360°"),
        ("lean a along 2 from b low 4 high 34 angle 50 in", "at most 45°"),
        ("lean a along 2 from b low 40 high 34 in 1/8", "from low to high"),
        ("straightedge back from c: 0 0, 6 0", "a level check needs its height"),
    ],
)
def test_impossible_values_are_refused_before_anything_is_written(line, message):
    assert message in refusal(line)


def test_a_length_of_sixty_metres_is_still_a_reading():
    assert one("length a to b reads 60 m").reads.mm == 60_000


def test_a_bare_number_means_nothing_without_a_job():
    assert "expected the job first" in refusal("length a to b reads 60", survey=Survey([]))


def test_the_job_of_the_same_notes_gives_the_unit():
    _, record = dictate(["job V in mm to 1 mm", "", "# a remark", "length a to b reads 872"], Survey([]))
    assert record.reads == TypedLength("872", "mm")


def test_a_survey_has_one_job_until_it_is_corrected():
    assert "correct ffffffff: job ..." in refusal("job Bath in mm to 1 mm")
    assert one("correct ffff: job Bath in mm to 1 mm").unit == "mm"
    dictate(["withdraw ffff", "job Bath in mm to 1 mm"], INCHES)


def test_all_problems_of_the_notes_are_told_at_once_with_their_lines():
    with pytest.raises(DictationError) as caught:
        dictate(["wall back", "wal left", "", "wall to"], INCHES)
    assert [problem.number for problem in caught.value.problems] == [2, 4]


def test_a_correction_replaces_the_record_it_names():
    first = one("length a to b reads 60")
    later = Hand(new_id=lambda: "1" * 32)
    (right,) = dictate(["correct last: length a to b reads 61"], INCHES.plus(first), later)
    assert right.replaces == (first.id,)
    assert INCHES.plus(first, right).current == (JOB, right)
    assert say(right, "in") == f"correct {first.id}: length a to b reads 61"


def test_a_record_of_the_same_notes_can_be_taken_back():
    ids = iter("12")
    wall, withdrawal = dictate(
        ["wall back", "withdraw last because it is the left one"], INCHES, Hand(new_id=lambda: next(ids) * 32)
    )
    assert withdrawal.replaces == (wall.id,)
    assert withdrawal.because == "it is the left one"


def test_an_abbreviated_id_must_be_one_records():
    two = INCHES.plus(*[msgspec.structs.replace(JOB, id=id_) for id_ in ("abcd1", "abcd2")])
    assert full_id("abcd1", two) == "abcd1"
    assert full_id("ffff", two) == "f" * 32
    with pytest.raises(RecordError, match="2 begin so; type more"):
        full_id("abcd", two)


def test_places_are_said_in_parentheses_so_that_their_heights_stay_theirs():
    line = "length (left 22 from c) to (right 22 from d up 3) up 34 reads 60"
    assert say(one(line.replace("(left 22 from c)", "left at 22 from c")), "in") == line


def test_a_unit_other_than_the_jobs_is_said():
    in_mm = msgspec.structs.replace(one("length a to b reads 60"), reads=TypedLength("1524", "mm"))
    assert one(say(in_mm, "in")).reads.mm == 1524


def test_the_hand_is_kept():
    moment = datetime(2024, 5, 1, tzinfo=UTC)
    (wall,) = dictate(["wall back"], INCHES, Hand("Ada", "bench", lambda: moment, lambda: "w" * 8))
    assert (wall.person, wall.device, wall.taken, wall.id) == ("Ada", "bench", moment, "wwwwwwww")


def test_no_word_begins_two_kinds_unless_both_are_told_apart():
    shared = {word: kinds for word, kinds in kinds_by_first_word().items() if len(kinds) > 1}
    assert shared == {}


@pytest.mark.parametrize("line", ["", "   ", "# only a remark", "(((", '"', "a: b,, ;", "“x", ",,,", "#"])
def test_any_line_splits_into_tokens_up_to_its_end(line):
    tokens = tokens_of(line)
    assert tokens[-1].sort == "end"
    assert all(line[token.start : token.end].strip() for token in tokens[:-1])


def test_a_thousand_stations_are_read_in_one_line():
    stations = ", ".join(f"{at} 1/16" for at in range(1000))
    assert len(one(f"straightedge back up 34 from c: {stations}").stations) == 1000
