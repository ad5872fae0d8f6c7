"""Filler options: which there are, which is recommended, and what deciding puts down."""

import pytest
from dictated import report_of, survey_of

from survey.decisions import standings
from survey.errors import RecordError
from survey.findings import fit
from survey.options import ALIKE, Table, filler_options, to_put_down, trials
from survey.records import Filler, Survey

SIDES = "left meets left filler, right meets right filler"


def box(width: int, sides: str = SIDES) -> str:
    return f"cabinet box width {width} height 800 depth 500 bottom 100, {sides}"


def table(*lines: str) -> tuple[Survey, Table]:
    survey = survey_of(*lines)
    return survey, filler_options(survey, report_of(*lines), "box")


@pytest.mark.parametrize(
    ("width", "recommended", "strips"),
    [
        (1400, ALIKE, 2),  # 50 at both sides
        (1470, "filler left", 1),  # 15 at both sides is too narrow, 28 at one is not
        (1300, "cabinet 1436 mm wide, fillers alike", 2),  # 100 at both sides is too wide
    ],
)
def test_the_option_with_least_against_it_is_recommended(width: int, recommended: str, strips: int) -> None:
    _, told = table(box(width))
    assert told.recommended is not None
    assert told.recommended.trial.choice == recommended
    assert len(told.recommended.strips) == strips
    assert [option.trial.choice for option in told.options if option.trial.is_now] == ["as it is now"]


def test_options_share_what_there_is_between_the_walls() -> None:
    _, told = table(box(1400))
    for option in told.options:
        gaps = [edge.gap.mm for edge in option.cabinet.edges if edge.gap]
        assert sum(gaps) + option.cabinet.finished[0].size.mm == pytest.approx(1500, abs=0.5)


def test_a_part_sized_for_the_cabinet_binds_its_width() -> None:
    lines = (box(1300), "drawer front-1 width 500 height 200 thickness 18 of box")
    survey = survey_of(*lines)
    assert not any("wide" in trial.choice for trial in trials(survey, fit(survey), "box"))


def test_a_cabinet_too_wide_has_no_option_but_another_width() -> None:
    _, told = table(box(1510))
    assert not any(option.is_possible for option in told.options)
    assert told.recommended is None
    assert any("1510" in fault.words for fault in told.options[0].faults)


@pytest.mark.parametrize("side", ["left", "right"])
def test_at_one_wall_a_strip_may_be_narrow_or_leave_room_for_a_door(side: str) -> None:
    _, told = table(
        box(600, f"{side} meets {side} filler gap 20, {'right' if side == 'left' else 'left'} open")
    )
    choices = [option.trial.choice for option in told.options]
    assert f"filler {side} with room for a door" in choices
    assert told.recommended is not None
    assert told.recommended.trial.choice == f"filler {side} with room for a door"


@pytest.mark.parametrize("choice", ["filler left", "filler right", ALIKE])
def test_deciding_puts_down_what_was_tried(choice: str) -> None:
    lines = (box(1400), "filler strip right of box thickness 18")
    survey, told = table(*lines)
    option = next(one for one in told.options if one.trial.choice == choice)
    survey = survey.plus(*to_put_down(survey, option))
    report = fit(survey)
    (standing,) = standings(survey, report)
    assert not standing.is_stale
    strips = {"filler left": ["left"], "filler right": ["right"]}.get(choice, ["left", "right"])
    assert sorted(one.side for one in survey.of(Filler)) == strips
    assert report.findings == ()
    again = filler_options(survey, report, "box")
    assert [one.trial.choice for one in again.options if one.trial.is_now] == [choice]


def test_a_cabinet_with_no_wall_beside_it_has_no_options() -> None:
    survey = survey_of(box(600, "left open, right open").replace("bottom", "along 300 from left-back bottom"))
    with pytest.raises(RecordError, match="meets no wall at its sides"):
        trials(survey, fit(survey), "box")
