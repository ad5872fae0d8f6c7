"""Filler options: which there are, which is recommended, and what deciding puts down."""

import pytest
from dictated import ALCOVE, report_of, survey_of, without

from survey import options
from survey.decisions import standings
from survey.errors import RecordError
from survey.findings import fit
from survey.options import ALIKE, Table, filler_options, to_put_down, trials
from survey.records import Filler, Survey

DOOR = (
    "hinged door d1 width 590 height 780 thickness 19 of box hinge {side} hinges cup "
    "from left 5 from top 10 pull {out}"
)
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
    lines = (box(1430), "filler strip right of box thickness 18")  # 70 in all: one strip of it looks right
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


@pytest.mark.parametrize(("out", "least", "most"), [(10, 20, 20), (60, 60, 70)])
def test_the_room_beside_a_planned_door_is_worked_out(out: int, least: int, most: int) -> None:
    """Its pull, 10 or 60, 1.5 for the hinge and 1/8 in to spare, less the 5 that it hangs in from the side:
    9.7, so that the narrowest strip is wide enough, or 59.7; and more for what is not known of the wall out
    there."""
    _, told = table(box(600, "left meets left filler gap 20, right open"), DOOR.format(side="left", out=out))
    (roomy,) = [one for one in told.options if one.trial.choice == "filler left with room for what opens"]
    gap = roomy.trial.cabinet.left.gap
    assert gap is not None
    assert least <= gap.mm <= most
    assert not any("opens to" in fault.words for fault in roomy.faults)
    assert not any("a door hinged" in fault.words for one in told.options for fault in one.faults)
    (narrow,) = [one for one in told.options if one.trial.choice == "narrow filler left"]
    assert any("opens to" in fault.words for fault in narrow.faults) == (out == 60)
    assert told.recommended is not None
    assert told.recommended.trial.cabinet.left.gap == gap
    assert "leaves room for d1" in told.why


def test_where_no_door_is_planned_common_practice_stands_in() -> None:
    _, told = table(box(600, "left meets left filler gap 20, right open"))
    assert any(
        "a door hinged at the left has 20 mm" in fault.words for one in told.options for fault in one.faults
    )


def test_a_free_width_leaves_usual_strips_on_a_wall_that_leans() -> None:
    """1500 between, the left wall out of plumb by 18 over 1800: 8 over the box's 800, so both strips stay
    32."""
    room = [
        line.replace("high 1900 in 0", "high 1900 in 18") if line.startswith("lean left") else line
        for line in without(ALCOVE, "length left-back to back-right up 100")
    ]
    survey = survey_of(box(1300), room=room)
    told = filler_options(survey, fit(survey), "box")
    (wide,) = [one for one in told.options if "wide" in one.trial.choice]
    for side in options.SIDES:
        gaps = [wide.gap(side, f"{level} front") for level in ("top", "bottom")]
        assert min(one.mm for one in gaps if one is not None) >= 32 - 1.0


def test_a_strip_on_top_stays_whatever_is_done_at_the_sides() -> None:
    lines = (
        box(1430).replace("height 800", "height 2240"),
        "filler lid top of box thickness 18",
        "filler strip right of box thickness 18",
    )
    survey, told = table(*lines)
    option = next(one for one in told.options if one.trial.choice == "filler left")
    assert [one.kind for one in option.at_sides] == ["filler"]
    decided = survey.plus(*to_put_down(survey, option))
    assert {one.name: one.side for one in decided.of(Filler)} == {"lid": "top", "box-left": "left"}
    (standing,) = standings(decided, fit(decided))
    assert standing.decision.value is not None
    assert standing.decision.value.mm == pytest.approx(68)


def test_a_strip_that_runs_on_from_another_cabinets_can_still_be_compared() -> None:
    lines = (
        box(600, "left meets left filler gap 30, right open"),
        box(600, "left meets left filler gap 30, right open")
        .replace("box", "over-1")
        .replace("bottom 100", "bottom 1500"),
        "filler a left of over-1 thickness 18",
        "filler b left of box thickness 18 runs on from a",
    )
    _, told = table(*lines)
    assert told.recommended is not None
    assert all(option.is_possible for option in told.options)
