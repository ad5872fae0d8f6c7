"""`show`: what is in the survey, wall by wall."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from survey.cli.options import as_json, read_survey, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.records import Survey


@click.command(short_help="List what is in a survey, wall by wall.")
@survey_file
@click.option("--all", "everything", is_flag=True, help="Show what was corrected or withdrawn, too.")
@as_json
def show(file: Path, everything: bool, as_json: bool) -> None:
    """List what is in FILE, wall by wall, with the ids by which lines are corrected or withdrawn.

    \b
    Examples:
      scribefit show bath.survey
      scribefit show bath.survey --json
    """
    from survey.cli.print_survey import survey_lines
    from survey.cli.results import echo_json

    survey = read_survey(file)
    if as_json:
        echo_json(_for_programs(survey, everything))
    else:
        echo("\n".join(survey_lines(survey, everything)))


def _for_programs(survey: Survey, everything: bool) -> dict[str, object]:
    """The groups that are printed, each record with its whole content and its line."""
    from survey.cli.print_survey import line_of, unit_of
    from survey.groups import grouped

    unit = unit_of(survey)

    groups = [
        {
            "group": title,
            "records": [
                {"id": record.id, "says": line_of(record, unit), "record": record} for record in records
            ],
        }
        for title, records in grouped(survey, everything)
    ]
    return {"job": survey.job, "groups": groups}
