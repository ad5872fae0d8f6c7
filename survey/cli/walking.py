"""`walk`: what to read, in which order, with what is done and what is still blank."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from survey.cli.options import as_json, read_survey, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.records import Survey
    from survey.walk import Line


@click.command(short_help="List what to read, wall by wall, in walking order.")
@survey_file
@click.option(
    "--with",
    "tools",
    type=click.Choice(["straightedge", "laser"]),
    default="straightedge",
    show_default=True,
    help="What walls are read with: edges of 48 and 24 in, or a cross-line laser.",
)
@as_json
def walk(file: Path, tools: str, as_json: bool) -> None:
    """List what to read for the pieces of FILE, wall by wall, and what of it is done.

    FILE needs a job, a room, its walls and corners; without pieces, it is what a top at counter height takes.
    Minutes are common practice.

    \b
    Examples:
      scribefit walk bath.survey
      scribefit walk bath.survey --with laser --json
    """
    from survey.cli.print_walk import walk_lines
    from survey.cli.results import echo_json
    from survey.walk import done, place_of, without_start
    from survey.walk import walk as lines_of

    survey = read_survey(file)
    place = place_of(survey)
    lines = lines_of(place, survey, "laser" if tools == "laser" else "straightedge")
    taken = [done(line, survey) for line in lines]
    marks = without_start(place, survey)
    if as_json:
        echo_json(_for_programs(survey, tools, lines, [[one.id for one in each] for each in taken], marks))
    else:
        echo("\n".join(walk_lines(survey, lines, taken, marks)))


def _for_programs(
    survey: Survey, tools: str, lines: tuple[Line, ...], taken: list[list[str]], marks: tuple[str, ...]
) -> dict[str, object]:
    """The lines with their template readings; what a value is for is still to be read."""
    return {
        "job": survey.job,
        "with": tools,
        "numbers": sum(line.numbers for line in lines),
        "minutes": round(sum(line.minutes for line in lines), 1),
        "walls_without_start": marks,
        "lines": [
            {
                "name": line.name,
                "wall": line.wall,
                "why": line.why,
                "mind": line.mistake,
                "numbers": line.numbers,
                "minutes": round(line.minutes, 1),
                "needs": line.needs,
                "priority": line.priority,
                "done": ids,
                "nominal": line.reading,
            }
            for line, ids in zip(lines, taken, strict=True)
        ],
    }
