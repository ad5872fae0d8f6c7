"""A wall from the front: where things are, what is flagged, what is said, and whose record each item shows.

Expected places are worked out by hand from the lines that were dictated.
"""

from __future__ import annotations

import pytest

from survey.dictation import dictate
from survey.drawing import Circle, DrawingError, Ordinate, Polyline, Role, Side, Text, layout
from survey.drawing.elevation import elevation, standing
from survey.drawing.wall_view import wall_drawing
from survey.findings import fit
from survey.records import Survey

JOB = "job V in mm to 1 mm level line 1000"
CORNER = (JOB, "room r", "wall back", "wall left", "corner left and back")
ALCOVE = (
    JOB,
    "room r",
    "wall left",
    "wall back",
    "wall right",
    "corner left and back",
    "corner back and right",
)
WIDTH = "length left-back to back-right up 900 reads 1200"
BOX = "cabinet b width 600 height 700 depth 500 bottom 100"
BREAST = (JOB, "room r", "wall back", "wall side", "corner back and side")
BARE = (JOB, "room r", "wall back", "mark m on back")


def survey_of(place: tuple[str, ...], *lines: str) -> Survey:
    return Survey(dictate([*place, *lines], Survey([])))


def shown(survey: Survey, wall: str = "back", report=None):
    """Return the items of a kind that show the record of a name, and all items."""
    items = wall_drawing(survey, wall, report).items

    def of(name: str, kind: type = Polyline):
        (record,) = survey.named[name]
        return [one for one in items if one.record == record.id and isinstance(one, kind)]

    return of, items


def words(items) -> list[str]:
    return [one.text for one in items if isinstance(one, Text)]


@pytest.mark.parametrize(
    ("place", "lines", "point", "x"),
    [
        (CORNER, ["drain d on back", "position d along 600 from left-back up 520"], "d", 600),
        (ALCOVE, [WIDTH, "drain d on back", "position d along 200 from back-right up 520"], "d", 1000),
        # Without a left corner the right one is x = 0, and the wall lies left of it.
        (BREAST, ["drain d on back", "position d along 200 from back-side up 520"], "d", -200),
        (BARE, ["drain d on back", "position d along 250 from m up 520"], "d", 250),
        # Counted from another thing, which is put down later.
        (
            CORNER,
            ["drain d on back", "stud s on back", "position d along 50 from s up 520",
             "position s along 400 from left-back up 500"],
            "d",
            450,
        ),
        # Two readings of one height: their mean; one at another height is left out.
        (
            CORNER,
            ["stud s on back", "position s along 400 from left-back up 500",
             "position s along 402 from left-back up 510", "position s along 420 from left-back up 900"],
            "s",
            401,
        ),
        (CORNER, ["mark q on back", "length left-back to q up 900 reads 333"], "q", 333),
    ],
)  # fmt: skip
def test_a_point_is_where_it_was_read(place, lines, point, x) -> None:
    assert elevation(survey_of(place, *lines), "back").along(point) == pytest.approx(x)


def test_a_pipe_is_drawn_in_its_place_and_size_and_counted_from_its_corner() -> None:
    survey = survey_of(
        ALCOVE, WIDTH, "drain d on back diameter 40", "position d along 250 from left-back up 520",
        "hot h on back", "position h along 300 from back-right up 560",
    )  # fmt: skip
    of, _ = shown(survey)
    (drain,) = of("d", Circle)
    assert (drain.centre, drain.radius, drain.role) == ((250.0, 520.0), 20.0, Role.REFERENCE)
    (hot,) = of("h", Circle)
    assert (hot.centre, hot.role) == ((900.0, 560.0), Role.ASSUMED)  # nobody said how thick it is
    along = {name: [(o.text, o.side) for o in of(name, Ordinate) if o.axis == "x"] for name in ("d", "h")}
    assert along == {"d": [("250", Side.BOTTOM)], "h": [("300", Side.TOP)]}


@pytest.mark.parametrize(("toward", "far"), [("left", 350.0), ("right", 450.0)])
def test_a_casing_runs_the_way_it_was_said_and_its_edge_leans_as_read(toward, far) -> None:
    survey = survey_of(
        CORNER, f"casing c on back toward {toward} width 50 bottom 0 top 2000 plain stays",
        "position c along 400 from left-back up 900", "position c along 406 from left-back up 100",
    )  # fmt: skip
    of, _ = shown(survey)
    outline = next(one for one in of("c") if one.closed)
    shift = far - 400.0
    assert outline.points == ((406, 0), (400, 2000), (400 + shift, 2000), (406 + shift, 0))
    assert outline.role is Role.REFERENCE


@pytest.mark.parametrize(("fate", "role"), [("comes off", Role.TRIM), ("comes later", Role.ASSUMED)])
def test_trim_that_does_not_stay_is_drawn_otherwise_and_says_so(fate, role) -> None:
    of, items = shown(survey_of(CORNER, f"baseboard b on back width 100 bottom 0 {fate}"))
    (edge,) = of("b")
    assert {y for _, y in edge.points} == {100.0}
    assert edge.role is role
    assert f"b, {fate}" in words(items)


def test_an_assumed_stud_is_in_pencil_and_a_proved_one_is_not() -> None:
    lines = ["stud p on back width 38 proved nail", "stud a on back width 38 proved assumed spacing"]
    lines += [f"position {name} along {x} from left-back up 800" for name, x in (("p", 400), ("a", 800))]
    of, items = shown(survey_of(CORNER, *lines))
    assert {one.role for one in of("a")} == {Role.ASSUMED}
    assert Role.REFERENCE in {one.role for one in of("p")}
    assert {"p", "a?"} <= set(words(items))


@pytest.mark.parametrize(
    ("second", "told"),
    [
        ("position d along 620 from left-back up 520", "d, drain\nread 600 and 620"),
        ("position d along 602 from left-back up 520", "d, drain"),
        ("position d along 620 from left-back up 900", "d, drain"),  # the corner may lean
    ],
)
def test_readings_that_differ_are_flagged(second, told) -> None:
    lines = ["drain d on back", "position d along 600 from left-back up 520", second]
    of, _ = shown(survey_of(CORNER, *lines))
    (name,) = of("d", Text)
    assert (name.text, name.role is Role.CAUTION) == (told, "read" in told)


def test_what_has_no_place_is_said_in_words() -> None:
    lines = ["drain d on back", "window w on back", "cabinet b width 600 height 700 depth 500"]
    _, items = shown(survey_of(CORNER, *lines))
    assert words(items)[-1].replace("\n", " ") == (
        "floor not read yet not measured yet: d, w:left, w:right place not said: b"
    )


def test_floor_and_level_line_are_where_they_were_read() -> None:
    drops = ["drop floor back along 100 from left-back out 50 reads 1002"]
    drops += ["drop floor back along 900 from left-back out 50 reads 1006"]
    _, items = shown(survey_of(CORNER, *drops))
    floor = next(one for one in items if isinstance(one, Polyline) and len(one.points) == 4)
    assert floor.points[1:3] == ((100, -2), (900, -6))
    assert floor.role is Role.FINISHED
    assert any(isinstance(one, Ordinate) and one.text == "1000" for one in items)
    assert not any("floor not read" in one for one in words(items))


@pytest.mark.parametrize(
    ("line", "span"),
    [
        (f"{BOX}, left meets left scribed, right open", (0, 600)),
        (f"{BOX}, left open, right meets right net gap 2", (598, 1198)),
        (f"{BOX} along 150 from left-back", (150, 750)),
        (f"{BOX} along 150 from back-right", (450, 1050)),
    ],
)  # fmt: skip
def test_a_cabinet_stands_where_it_was_said(line, span) -> None:
    pieces, open_ = standing(elevation(survey_of(ALCOVE, WIDTH, line), "back"))
    assert not open_
    assert (pieces[0].left, pieces[0].right) == pytest.approx(span)
    assert (pieces[0].bottom, pieces[0].top) == (100, 800)


def test_what_goes_with_a_cabinet_stands_at_it() -> None:
    survey = survey_of(
        ALCOVE, WIDTH,
        BOX.replace("600", "1100") + ", left meets left filler, right meets right filler",
        "filler f right of b thickness 18",
        "top t on b thickness 30, left meets left net, right meets right net, back meets back net",
        "panel p on back along 1200 from left-back shows left depth 500 thickness 18 height 900",
    )  # fmt: skip
    pieces, _ = standing(elevation(survey, "back"))
    spans = {one.name: (one.left, one.right, one.bottom, one.top) for one in pieces}
    assert spans == {
        "b": (50, 1150, 100, 800),
        "f": (1150, 1200, 100, 800),
        "t": (0, 1200, 800, 830),
        "p": (1200, 1218, 0, 900),
    }


def test_a_reading_in_doubt_is_flagged_from_the_report() -> None:
    # At heights of their own, so that nothing is said of two readings of one place.
    read = ((400, 500), (400, 600), (401, 700), (440, 800))
    lines = ["drain d on back", *(f"position d along {x} from left-back up {up}" for x, up in read)]
    survey = survey_of(ALCOVE, WIDTH, *lines)
    of, _ = shown(survey)
    assert of("d", Text)[0].text == "d, drain"
    of, _ = shown(survey, report=fit(survey))
    assert (of("d", Text)[0].text, of("d", Text)[0].role) == ("d, drain\nin doubt", Role.CAUTION)


@pytest.mark.parametrize(
    ("survey", "wall", "problem"),
    [
        (Survey([]), "back", "make no room yet"),
        (survey_of(CORNER), "north", "no wall 'north'"),
    ],
)
def test_what_cannot_be_drawn_is_said(survey, wall, problem) -> None:
    with pytest.raises(DrawingError, match=problem):
        wall_drawing(survey, wall)


@pytest.mark.parametrize("place", [CORNER, ALCOVE, BREAST, BARE])
def test_an_empty_wall_is_drawn_all_the_same(place) -> None:
    assert layout(wall_drawing(survey_of(place), "back"), (300, 300), scales=(10, 20, 50)).marks
