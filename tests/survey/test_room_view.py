"""The room from above: everything at its place, nothing mirrored, what is not known said so."""

from __future__ import annotations

import pytest

from survey.dictation import dictate
from survey.drawing import Circle, HatchedRing, LaidOut, Polyline, Role, Text
from survey.drawing.plan_walls import Plan, PlanWall
from survey.drawing.room_view import exaggerated, known_plan, room_drawing, room_picture
from survey.errors import RecordError
from survey.findings import fit
from survey.records import Survey
from survey.walk import place_of

ALCOVE = [
    "job V in mm to 1 mm level line 1000", "room r", "wall left", "wall back", "wall right",
    "corner left and back", "corner back and right",
]  # fmt: skip
ROUND = ["wall front", "corner right and front", "corner front and left"]
WIDTH = ["length left-back to back-right up 860 reads 1500"]
SLIP = [
    *(f"length left-back to back-right up {up} reads 1500" for up in (100, 500, 860)),
    *(
        f"length (left {out} from left-back) to (right {out} from back-right) up 860 reads {reads}"
        for out, reads in ((200, 1500), (400, 1500), (500, 1475))
    ),
    "length left-back to (right 500 from back-right) up 860 reads 1581",
    "length back-right to (left 500 from left-back) up 860 reads 1581",
]


def survey_of(*lines: str) -> Survey:
    return Survey(dictate([*ALCOVE, *lines], Survey([])))


def words(survey: Survey, **given: object) -> list[str]:
    drawing = room_drawing(survey, **{"report": None, **given})
    return [one.text.replace("\n", " ") for one in drawing.items if isinstance(one, Text)]


@pytest.mark.parametrize(
    ("lines", "read"),
    [
        ([], set()),
        (WIDTH, {"back"}),
        (["length (left 500 from left-back) to (right 500 from back-right) reads 1500"], {"left", "right"}),
        (["three sides left-back 400 left 300 right diagonal 500 up 860"], {"left", "back"}),
        (["straightedge right up 860 from back-right: 20 0, 500 0"], {"right"}),
    ],
)
def test_walls_that_nobody_read_are_drawn_as_assumed(lines: list[str], read: set[str]) -> None:
    survey = survey_of(*lines)
    assert {wall.name for wall in known_plan(survey, None).known if wall.is_read} == read
    assert any("not read" in said for said in words(survey)) == (read != {"left", "back", "right"})


@pytest.mark.parametrize(
    ("lines", "at"),
    [
        (["drain d on back diameter 40 stub 60", "position d along 300 from left-back up 500"], (300, -60)),
        (["drain d on back diameter 40 stub 60", "position d along 300 from back-right up 500"], (1200, -60)),
        (["drain d on left diameter 40 stub 60", "position d along 300 from left-back up 500"], (60, -300)),
        (
            [
                "mark m on back",
                "position m along 100 from left-back",
                "drain d on back diameter 40 stub 60",
                "position d along 300 from m up 500",
            ],
            (400, -60),
        ),
        (["drain d on back diameter 40 stub 60", "length left-back to d up 500 reads 310"], (310, -60)),
        (
            [
                "drain d on back diameter 40 stub 60",
                "story stick back zero back-right up 500 marks d 320",
            ],
            (1180, -60),
        ),
    ],
)
def test_a_thing_stands_where_it_was_read(lines: list[str], at: tuple[float, float]) -> None:
    survey = survey_of(*WIDTH, *lines)
    (drain,) = [one for one in room_drawing(survey, None).items if isinstance(one, Circle)]
    assert drain.centre == pytest.approx(at)
    assert survey.by_id[drain.record].name == "d"  # type: ignore[attr-defined]


def test_what_nobody_placed_is_not_drawn() -> None:
    survey = survey_of("drain d on back diameter 40 stub 60", "position d up 500")
    assert not [one for one in room_drawing(survey, None).items if isinstance(one, Circle)]


def test_a_tap_on_a_wall_finds_its_record() -> None:
    survey = survey_of(*WIDTH)
    found = {one.record for one in room_drawing(survey, None).items if not isinstance(one, HatchedRing)}
    assert {wall.id for name in ("left", "back", "right") for wall in survey.named[name]} <= found


def test_out_of_square_and_humps_are_drawn_larger_and_corners_stay_closed() -> None:
    """By hand: the right wall runs out 6 mm over 600 from the corner; the back has a hump of 4 mm."""
    place = place_of(survey_of(*WIDTH))
    back = PlanWall("back", ((0, 0), (750, -4), (1500, 0)))
    plan = Plan((PlanWall("left", ((0, -600), (0, 0))), back, PlanWall("right", ((1500, 0), (1506, -600)))))
    larger = {wall.name: wall for wall in exaggerated(plan, place, 10).known}
    assert larger["left"].points[0] == pytest.approx((0, -600), abs=1e-6)
    assert larger["left"].points[1] == pytest.approx(larger["back"].points[0])
    assert larger["back"].points[-1] == pytest.approx(larger["right"].points[0])
    (x, _), (far_x, _) = larger["right"].points
    assert far_x - x == pytest.approx(60)
    (_, end), (_, hump), _ = larger["back"].points
    assert hump - end == pytest.approx(-40)


def test_the_picture_says_how_much_larger() -> None:
    assert any("10 times" in said for said in words(survey_of(*WIDTH), exaggerate=10))
    assert not any("times" in said for said in words(survey_of(*WIDTH)))


def test_a_reading_in_doubt_is_drawn_as_what_stops_the_work() -> None:
    survey = survey_of(*SLIP)
    report = fit(survey)
    doubted = [record for suspect in report.room.suspects for record in suspect.records]
    assert doubted
    items = [one for one in room_drawing(survey, report).items if one.record in doubted]
    assert {type(one) for one in items} == {Polyline, Text}
    assert {one.role for one in items} <= {Role.STOP, Role.CAUTION}


def test_a_room_goes_round() -> None:
    plan = known_plan(survey_of(*WIDTH, *ROUND, "length back-right to right-front reads 1200"), None)
    (chain,) = plan.chains
    assert [wall.name for wall in chain] == ["back", "right", "front", "left"]


def test_without_a_room_it_says_what_is_missing() -> None:
    with pytest.raises(RecordError, match="needs a room"):
        room_picture(Survey([]), None)


@pytest.mark.parametrize("lines", [[], WIDTH, SLIP, [*WIDTH, *ROUND]])
def test_every_room_can_be_laid_out(lines: list[str]) -> None:
    survey = survey_of(*lines)
    for report in (None, fit(survey)):
        assert isinstance(room_picture(survey, report, 10), LaidOut)
