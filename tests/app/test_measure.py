"""Measure: the walk with its states, the way to each reading, a laser at any moment, thousands of rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from faults import faults
from pilot import BACKSPACE, ENTER, TAB, Pilot

from survey.app.main import ScribefitApp
from survey.app.measure_list import BESIDES, MeasureList, measure_list
from survey.app.widgets.wrapped import wrapped_height
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Survey

ALCOVE = [
    "job V in in to 1/16 level line 36", "room r", "wall left", "wall back", "wall right",
    "corner left and back", "corner back and right",
]  # fmt: skip
FIRST = "width at the back, counter height"
WIDTH = "length (left 1 from left-back) to (right 1 from back-right) up 34 reads 60 3/8"
SLIP = [
    *(f"length left-back to back-right up {up} reads 60" for up in (4, 20, 34)),
    *(
        f"length (left {out} from left-back) to (right {out} from back-right) up 34 reads {reads}"
        for out, reads in ((8, 60), (16, 60), (20, 59))
    ),
    "length left-back to (right 20 from back-right) up 34 reads 63 1/4",
    "length back-right to (left 20 from left-back) up 34 reads 63 1/4",
]
SIZES = [((320, 568), 1.0), ((320, 568), 2.0), ((360, 640), 1.3), ((640, 360), 1.0), ((800, 1280), 1.0)]


def survey_of(*lines: str) -> Survey:
    return Survey(dictate([*ALCOVE, *lines], Survey([])))


def listed_as(listed: MeasureList) -> dict[str, tuple[str, str]]:
    return {item.words: (item.state, item.value) for item in listed.items if item.sort == "reading"}


@pytest.fixture
def opened(tmp_path: Path) -> Callable[..., Pilot]:
    """Open a job with these lines on a screen of this size; the walk is there once `ready`."""

    def opened(lines: Sequence[str] = (), **given: object) -> Pilot:
        path = tmp_path / "home" / "jobs" / "vanity.survey"
        path.parent.mkdir(parents=True)
        SurveyFile.create(path, survey_of(*lines).records).close()
        return Pilot(ScribefitApp(home=path.parents[1], file=path), **given)  # type: ignore[arg-type]

    return opened


def ready(pilot: Pilot) -> None:
    pilot.until(lambda: pilot.app.visit is not None)
    pilot.until(lambda: pilot.app.shell.page.ids.walk.data)
    pilot.settle()


def here(pilot: Pilot) -> tuple[str, dict[str, str]]:
    stop = pilot.app.desk.kept.trail[-1]
    return stop.page, stop.given


# What is listed


def test_what_was_read_stands_with_its_line() -> None:
    listed = measure_list(survey_of(WIDTH), "straightedge")
    assert listed_as(listed)[FIRST] == ("fine", "60 3⁄8″")
    assert listed.read == 1
    assert listed.following == "width in the middle, counter height"
    assert listed.progress.startswith(f"1 of {listed.asked} read, about")
    headings = [item.words for item in listed.items if item.sort == "heading"]
    assert headings[0] == "Wall back"
    assert len(headings) == len(set(headings))


def test_what_is_in_doubt_and_what_was_read_twice_say_so() -> None:
    survey = survey_of(WIDTH, WIDTH.replace("3/8", "1/4"))
    doubted = [survey.records[-1].id]
    (item,) = [one for one in measure_list(survey, "laser", doubted).items if one.words == FIRST]
    assert (item.state, item.value) == ("in doubt", "60 3⁄8″\n60 1⁄4″")
    assert item.quiet == "in doubt, read 2 times"


def test_what_no_walk_asks_for_is_listed_besides() -> None:
    items = measure_list(survey_of("angle left-back reads 89.5 reach 8 up 70"), "straightedge").items
    at = next(number for number, item in enumerate(items) if item.words == BESIDES)
    assert [item.value for item in items[at + 1 :]] == ["89.5°"]


def test_laser_and_straightedge_walk_differently() -> None:
    survey = survey_of()
    words = [set(listed_as(measure_list(survey, tools))) for tools in ("straightedge", "laser")]
    assert words[0] != words[1]


# Ways to a reading


def test_the_main_key_and_a_tap_lead_to_entry(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        ready(pilot)
        pilot.tap("Read next")
        assert here(pilot) == ("entry", {"line": FIRST})
        pilot.back()
        ready(pilot)
        pilot.tap("width in the middle")
        assert here(pilot) == ("entry", {"line": "width in the middle, counter height"})


@pytest.mark.parametrize(
    ("key", "how"), [("Read it once more", "repeat"), ("Correct 60 3⁄8″", "correct")]
)  # fmt: skip
def test_what_was_read_can_be_repeated_or_corrected(opened: Callable[..., Pilot], key: str, how: str) -> None:
    with opened([WIDTH]) as pilot:
        ready(pilot)
        pilot.tap(FIRST)
        pilot.tap(key)
        assert here(pilot) == ("entry", {"record": pilot.app.visit.survey.records[-1].id, "how": how})


def test_what_was_read_can_be_taken_back_and_brought_again(opened: Callable[..., Pilot]) -> None:
    with opened([WIDTH]) as pilot:
        ready(pilot)
        pilot.tap(FIRST)
        pilot.tap("Take back 60 3⁄8″")
        pilot.until(lambda: pilot.app.shell.page.ids.progress.text.startswith("0 of"))
        pilot.tap("Undo")
        pilot.until(lambda: pilot.app.shell.page.ids.progress.text.startswith("1 of"))


def test_a_wall_is_shown_by_its_heading_and_by_its_line_on_the_plan(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        ready(pilot)
        page = pilot.app.shell.page
        pilot.until(lambda: page.ids.plan.laid_out is not None)
        pilot.answered()
        pilot.rest()
        picture = page.ids.plan
        (wall,) = pilot.app.visit.survey.named["right"]
        ends = next(mark.points for mark in picture.laid_out.marks if mark.record == wall.id)
        left, bottom = picture._corner()
        x, y = (sum(axis) / len(ends) for axis in zip(*ends, strict=True))
        gone: list[dict[str, str]] = []
        pilot.app.go = lambda name, **given: gone.append({"page": name, **given})
        pilot.touch(left + x * picture.per_mm, bottom + y * picture.per_mm)
        pilot.tap("Wall back")
        assert gone == [{"page": "wall_view", "wall": "right"}, {"page": "wall_view", "wall": "back"}]


def test_another_reading_asks_for_its_kind_and_its_wall(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        ready(pilot)
        pilot.tap("More")
        pilot.tap("Another reading")
        pilot.tap("Lean of a wall")
        pilot.tap("Wall right")
        assert here(pilot) == ("entry", {"kind": "lean", "wall": "right"})


def test_doubt_is_said_quietly_and_leads_on(opened: Callable[..., Pilot]) -> None:
    with opened(SLIP) as pilot:
        pilot.answered()
        ready(pilot)
        gone: list[str] = []
        pilot.app.go = lambda name, **_: gone.append(name)
        pilot.tap("One reading cannot be true")
        assert gone == ["doubts"]


def test_the_plan_says_that_it_is_drawn_larger(opened: Callable[..., Pilot]) -> None:
    with opened(SLIP) as pilot:
        pilot.answered()
        ready(pilot)
        pilot.tap("×10")
        said = lambda: " ".join(  # noqa: E731
            getattr(mark, "text", "") for mark in pilot.app.shell.page.ids.plan.laid_out.marks
        )
        pilot.until(lambda: "10 times" in said())
        pilot.tap("×10")
        pilot.until(lambda: "times" not in said())


def test_a_small_screen_gives_the_list_its_room_and_the_plan_by_a_key(opened: Callable[..., Pilot]) -> None:
    with opened(SLIP, size=(320, 568)) as pilot:
        pilot.answered()
        ready(pilot)
        pilot.tap("Plan")
        pilot.until(lambda: pilot.app.shell.page.ids.plan.laid_out is not None)
        assert pilot.app.shell.page.ids.plan.height > 300
        pilot.back()
        pilot.tap("Read next")
        assert here(pilot)[0] == "entry"


# A laser


@pytest.mark.parametrize("end", [(ENTER, "\r"), (TAB, "\t")])
@pytest.mark.parametrize(
    ("sent", "typed"), [("60.375", "60.375"), ("1.533 m", "1.533 m"), ("1533mm", "1533mm")]
)
def test_a_laser_opens_the_next_reading_with_its_value(
    opened: Callable[..., Pilot], sent: str, typed: str, end: tuple[int, str]
) -> None:
    with opened() as pilot:
        ready(pilot)
        for letter in sent:
            pilot.key(ord(letter), letter)
        assert pilot.app.shell.page.typed
        pilot.key(*end)
        assert here(pilot) == ("entry", {"line": FIRST, "typed": typed})


def test_a_hand_may_pause_and_mend_what_it_types(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        ready(pilot)
        pilot.type("60 4")
        pilot.wait(0.7)
        pilot.key(BACKSPACE)
        pilot.type("3/8")
        assert pilot.app.shell.page.typed == "60 3⁄8"
        pilot.key(ENTER, "\r")
        assert here(pilot) == ("entry", {"line": FIRST, "typed": "60 3/8"})


def test_garbage_from_a_laser_is_said_and_opens_nothing(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        ready(pilot)
        pilot.type("Error 204\n")
        assert here(pilot)[0] == "measure"
        assert pilot.app.shell.message
        assert pilot.app.shell.page.typed == ""


def test_the_keyboard_reaches_every_reading_in_the_order_of_the_list(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        pilot.answered()
        ready(pilot)
        pilot.rest()
        data = pilot.app.shell.page.ids.walk.data
        reached: list[str] = []
        for _ in range(3 * len(data) + 30):
            pilot.key(TAB, "\t")
            (ringed,) = [one for one in pilot.app.shell.walk() if getattr(one, "is_ringed", False)]
            words = getattr(ringed, "words", "")
            if words in {row["words"] for row in data} and words not in reached:
                reached.append(words)
        assert reached == [row["words"] for row in data]


# Many, small, large


@pytest.mark.parametrize("lines", [[], [WIDTH, *SLIP]])
@pytest.mark.parametrize(("size", "scale"), SIZES)
def test_nothing_is_cut_or_too_small(
    opened: Callable[..., Pilot], lines: list[str], size: tuple[int, int], scale: float
) -> None:
    with opened(lines, size=size, fontscale=scale) as pilot:
        pilot.answered()
        ready(pilot)
        walk = pilot.app.shell.page.ids.walk
        for at in (1.0, 0.5, 0.0):
            walk.scroll_y = at
            pilot.settle()
            assert faults(pilot.app.shell) == []
            rows = sorted(walk.children[0].children, key=lambda row: -row.top)
            assert all(below.top <= row.y + 1 for row, below in pairwise(rows))


def test_the_list_comes_back_to_where_it_was(opened: Callable[..., Pilot]) -> None:
    with opened() as pilot:
        ready(pilot)
        walk = pilot.app.shell.page.ids.walk
        walk.scroll_y = 0.3
        pilot.settle()
        pilot.app.go("entry", line=FIRST)
        pilot.settle()
        pilot.app.back()
        ready(pilot)
        assert pilot.app.shell.page.ids.walk.scroll_y == pytest.approx(0.3, abs=0.02)


def test_two_thousand_readings_make_only_the_rows_that_are_seen(opened: Callable[..., Pilot]) -> None:
    angles = [f"angle left-back reads {88 + k / 500:.3f} reach 8 up 70" for k in range(2000)]
    with opened(angles) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.until(lambda: len(pilot.app.shell.page.ids.walk.data) > 2000, 120)
        walk = pilot.app.shell.page.ids.walk
        for at in (1.0, 0.6, 0.0):
            walk.scroll_y = at
            pilot.settle()
            assert 1 < len(walk.children[0].children) < 40
        assert pilot.has("92°") or pilot.has("91.998°")


def test_heights_told_beforehand_are_those_that_labels_take(opened: Callable[..., Pilot]) -> None:
    from survey.app.plain import Words

    words = [
        "width at the back, counter height",
        "a",
        "straightedge check: 9 gaps at 0, 6, 12 ... 48 from left-back",
    ]
    with opened() as pilot:
        ready(pilot)
        for text in words:
            for width in (90, 160, 240, 500):
                label = Words(text=text, font_size=18, width=width, size_hint_x=None)
                label.texture_update()
                told = wrapped_height(text, 18, width)
                assert label.texture_size[1] <= told <= label.texture_size[1] + 24
