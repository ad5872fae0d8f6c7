"""What a decision rested on, and what changed since."""

import pytest
from dictated import ALCOVE, LINEN, STRIP, report_of, survey_of

from survey.decisions import AS_FITTED, decide, decided, kept, results, standings, typed
from survey.dictation import dictate
from survey.findings import fit
from survey.records import Decision, Survey
from survey.report.chance_words import verdict
from survey.report.structs import ChanceReport, Likelihood, PieceReport

LINES = (LINEN, STRIP)


def decided_on(about: str, choice: str = AS_FITTED, value: str | None = None) -> tuple[Survey, Decision]:
    survey = survey_of(*LINES)
    made = decide(survey, fit(survey), about, choice, typed(value) if value else None)
    return survey.plus(made), made


def leaning(survey: Survey) -> Survey:
    """The left wall leans in by 9 mm, where it was plumb."""
    old = next(one for one in survey.current if getattr(one, "wall", "") == "left" and hasattr(one, "offset"))
    said = f"correct {old.id}: lean left along 550 from left-back low 100 high 1900 in 9"
    return survey.plus(*dictate([said], survey))


def test_a_cabinets_results_are_its_own_and_those_of_its_strip() -> None:
    told = results(survey_of(*LINES), report_of(*LINES), "linen")
    assert told["finished width"] == "600 mm"
    assert told["gap at the left edge"] == "30 mm"
    assert told["strip, finished width"] == "30 mm"
    assert told["how it comes out"] == "goes in"


def test_a_decision_is_fresh_until_a_reading_changes_what_it_rested_on() -> None:
    survey, made = decided_on("linen", "filler left", "30 mm")
    (standing,) = standings(survey, fit(survey))
    assert standing.changes == ()
    assert standing.said == "filler left, 30 mm"
    assert set(made.taken_on) <= set(survey.by_id)
    assert made.taken_on
    survey = leaning(survey)
    (standing,) = standings(survey, fit(survey))
    assert standing.is_stale
    assert standing.since().startswith("strip, finished width 31 mm, was 30 mm; strip, blank width ")
    assert standing.since(1) == "strip, finished width 31 mm, was 30 mm; and 2 more"


def test_kept_it_says_the_present_width_and_replaces_the_old_one() -> None:
    survey, _ = decided_on("linen", "filler left", "30 mm")
    survey = leaning(survey)
    report = fit(survey)
    again = kept(survey, report, decided(survey, "linen")[0])
    survey = survey.plus(again)
    (standing,) = standings(survey, report)
    assert not standing.is_stale
    assert again.value is not None
    assert f"{again.value.text} mm" == results(survey, report, "linen")["strip, finished width"] != "30 mm"


@pytest.mark.parametrize(
    ("then", "now"),
    [("withdraw", "no piece any more"), ("cabinet", "not ready")],
)
def test_a_piece_that_is_gone_makes_its_decision_stale(then: str, now: str) -> None:
    survey, _ = decided_on("linen")
    (linen,) = survey.named["linen"]
    said = (
        f"withdraw {linen.id}"
        if then == "withdraw"
        else f"correct {linen.id}: {LINEN.replace('600', '1600')}"
    )
    survey = survey.plus(*dictate([said], survey))
    (standing,) = standings(survey, fit(survey))
    assert [change.now for change in standing.changes] == [now]


@pytest.mark.parametrize(
    ("goes_in", "covers", "says"),
    [
        (1.0, None, "goes in"),
        (0.971, None, "goes in"),
        (0.96, None, "tight"),
        (0.4, None, "won't go in"),
        (None, 1.0, "covers"),
        (1.0, 0.9, "may fall short"),
        (None, None, "not worked out"),
    ],
)
def test_the_verdict_allows_for_two_errors_of_sampling(
    goes_in: float | None, covers: float | None, says: str
) -> None:
    chances = [None if one is None else Likelihood(one, 0.01) for one in (goes_in, covers)]
    chance = ChanceReport(Likelihood(1.0, 0.0), goes_in=chances[0], covers=chances[1])
    assert verdict(PieceReport("p", "top", "ready", chance=chance), 0.99) == says


def test_what_is_not_ready_has_no_results() -> None:
    lines = [*ALCOVE[:6], LINEN]
    survey = survey_of(LINEN, room=lines[:-1])
    assert results(survey, fit(survey), "linen") == {}
