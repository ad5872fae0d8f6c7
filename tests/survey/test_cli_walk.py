"""`scribefit walk`: wall by wall, done or blank, with what to mind."""

import json
import re

import pytest
from cli_bench import new_survey, run

ALCOVE = (
    "room bath",
    "wall left",
    "wall back",
    "wall right",
    "corner left and back",
    "corner back and right",
)
BOX = "cabinet vanity width 58 height 24 depth 18 bottom 10"
TOP = "top vanity-top on vanity thickness 1 1/4 overhang 1 1/2"
PIECES = (
    f"{BOX}, left meets left filler gap 3/4, right meets right filler",
    "filler strip left of vanity thickness 3/4",
    f"{TOP}, left meets left net gap 1/16, right meets right net",
    "casing door-casing on left toward left width 3 1/2 projection 3/4 bottom 0 top 80",
    "stop valve hot-valve on back stub 3 handle 2",
)
WIDTH_AT_THE_BACK = "length left-back to back-right up 34 reads 60 3/8"


def walked(tmp_path, *lines, options=()):
    result = run("walk", new_survey(tmp_path, *lines), *options)
    assert result.exit_code == 0
    return result.stdout


def groups_of(text: str) -> dict[str, list[str]]:
    return {block.splitlines()[0]: block.splitlines()[1:] for block in text.strip().split("\n\n")}


def test_a_bare_alcove_takes_the_default_walk(tmp_path):
    text = walked(tmp_path, *ALCOVE, options=("--with", "laser"))
    groups = groups_of(text)
    assert list(groups) == [
        "Vanity: 7 readings to take, 25 numbers, about 10 minutes; in inches",
        "Wall back",
        "Wall left",
        "Wall right",
        "At the end",
    ]
    assert groups["Wall left"] == [
        "  [ ] offsets from the laser line to wall left, counter height",
        "      5 gaps at 3/4, 6, 12 ... 24 from left-back, 34 up",
        "      Read to the middle of the line. Do not move the laser.",
    ]


def test_straightedges_are_what_walls_are_read_with_unless_said(tmp_path):
    assert "10 readings to take, 30 numbers, about 13 minutes" in walked(tmp_path, *ALCOVE)


def test_what_is_read_is_ticked_and_no_longer_counted(tmp_path):
    text = walked(tmp_path, *ALCOVE, WIDTH_AT_THE_BACK, WIDTH_AT_THE_BACK)
    assert "9 readings of 10 to take, 29 numbers" in text
    assert "  [x] width at the back, counter height (read 2 times)\n  [ ] width in the middle" in text


def test_a_walk_that_is_done_says_so(tmp_path):
    lines = (
        "room r",
        "wall back",
        "mark m1 on back",
        "cabinet hung width 20 height 2 depth 12 bottom 20 along 0 from m1",
    )
    checks = (f"straightedge back up 21 from m1: {', '.join(f'{at} 0' for at in range(0, 21, 2))}",)
    assert "Vanity: the 1 reading is done" in walked(tmp_path, *lines, *checks)


def test_no_line_is_wider_than_the_screen_and_no_fraction_is_torn(tmp_path):
    text = walked(tmp_path, *ALCOVE, *PIECES)
    assert max(map(len, text.splitlines())) <= 80
    assert not re.search(r"\d\n +\d+/\d", text)
    assert "\N{NO-BREAK SPACE}" not in text
    assert not re.search(r"-\n", text)


def test_what_to_mind_is_said_once_for_lines_that_follow(tmp_path):
    back = groups_of(walked(tmp_path, *ALCOVE))["Wall back"]
    assert sum("Keep the sticks level" in line for line in back) == 1


def test_a_wall_with_nothing_to_measure_from_is_named(tmp_path):
    text = walked(tmp_path, "room r", "wall back")
    assert " ".join(text.split()).endswith("scratch one and add it: mark m1 on back")


@pytest.mark.parametrize("lines", [(), ("room bath",)])
def test_a_survey_without_a_place_is_bad_input(tmp_path, lines):
    result = run("walk", new_survey(tmp_path, *lines))
    assert result.exit_code == 2
    assert "expected" in result.stderr
    assert "add" in result.stderr


def test_json_tells_each_line_and_what_did_it(tmp_path):
    file = new_survey(tmp_path, *ALCOVE, *PIECES, "length left-back to back-right up 35 reads 60 3/8")
    told = json.loads(run("walk", file, "--json").stdout)
    assert told["numbers"] == sum(line["numbers"] for line in told["lines"])
    assert [len(line["done"]) for line in told["lines"][:2]] == [1, 0]
    first = told["lines"][0]
    assert first["nominal"]["kind"] == "length"
    assert first["needs"] == ["vanity-top", "vanity"]
    assert first["mind"].startswith("Keep")
    assert {line["wall"] for line in told["lines"]} == {"left", "back", "right"}


def test_nothing_is_written(tmp_path):
    file = new_survey(tmp_path, *ALCOVE)
    before = file.read_bytes()
    run("walk", file)
    assert file.read_bytes() == before
