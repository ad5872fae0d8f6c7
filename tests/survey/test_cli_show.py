"""`scribefit show`: wall by wall, and what to do first."""

import json

from cli_bench import LINES, new_survey, records_in, run

from survey.records import Survey


def groups_of(text: str) -> dict[str, list[str]]:
    """The lines of each group, without their ids."""
    blocks = text.strip().split("\n\n")[1:]
    return {block.splitlines()[0]: [line[12:] for line in block.splitlines()[1:]] for block in blocks}


def test_records_stand_under_the_wall_that_they_are_about(tmp_path):
    shown = groups_of(run("show", new_survey(tmp_path, *LINES)).stdout)
    assert list(shown) == ["The room", "Corners", "Wall back", "Wall left", "Pieces"]
    assert "length left-back to m1 up 34 reads 60 3/8" in shown["Wall back"]
    assert "position door along -18 from left-back" in shown["Wall left"]
    assert [line.split()[0] for line in shown["Pieces"]] == ["cabinet"]


def test_a_length_between_two_walls_stands_by_itself(tmp_path):
    file = new_survey(
        tmp_path, *LINES, "length (back 3 from left-back) to (left -9 from left-back) up 3 reads 9"
    )
    assert groups_of(run("show", file).stdout)["From wall to wall"][0].startswith("length (back 3")


def test_a_new_survey_says_what_to_do_first(tmp_path):
    shown = run("show", new_survey(tmp_path)).stdout
    steps = shown.split("To do first:\n")[1].splitlines()
    assert [step.split(":")[0].strip() for step in steps] == [
        "say which wall the pieces are fixed to",
        "add the walls",
        "say where walls meet",
        "read something",
        "plan a piece",
    ]


def test_the_steps_can_be_said_as_they_stand(tmp_path):
    file = new_survey(tmp_path)
    steps = run("show", file).stdout.split("To do first:\n")[1].splitlines()
    assert run("add", file, *[step.split(": ", 1)[1] for step in steps]).exit_code == 0
    assert "To do first" not in run("show", file).stdout


def test_what_was_corrected_is_shown_only_on_request(tmp_path):
    file = new_survey(tmp_path, *LINES)
    run("add", file, "correct last: cabinet vanity width 47 height 31 depth 21")
    plain, everything = run("show", file).stdout, run("show", file, "--all").stdout
    assert "width 48" not in plain
    assert "width 48" in everything.split("Corrected or withdrawn")[1]
    assert "1 more records" in plain


def test_json_holds_the_records_whole(tmp_path):
    file = new_survey(tmp_path, *LINES)
    shown = json.loads(run("show", file, "--json").stdout)
    ids = {record["id"] for group in shown["groups"] for record in group["records"]}
    assert ids == {record.id for record in records_in(file)}
    assert shown["job"]["title"] == "Vanity"
    length = next(r for g in shown["groups"] for r in g["records"] if r["record"]["kind"] == "length")
    assert length["record"]["reads"] == {"text": "60 3/8", "unit": "in"}
    assert length["says"] == "length left-back to m1 up 34 reads 60 3/8"


def test_no_line_is_wider_than_a_screen(tmp_path):
    many = ", ".join(f"{at} {at}/64" for at in range(1, 60, 2))
    shown = run("show", new_survey(tmp_path, *LINES, f"straightedge back up 34 from left-back: {many}"))
    assert max(map(len, shown.stdout.splitlines())) <= 100


def test_a_long_survey_is_not_searched_again_for_each_line(tmp_path, monkeypatch):
    searches = []
    search = Survey.of
    monkeypatch.setattr(Survey, "of", lambda survey, *kinds: searches.append(kinds) or search(survey, *kinds))

    def searches_for(count: int) -> int:
        (tmp_path / str(count)).mkdir()
        file = new_survey(tmp_path / str(count), *LINES, *["length a to b up 3 reads 60"] * count)
        searches.clear()
        run("show", file)
        return len(searches)

    assert searches_for(30) == searches_for(3)
