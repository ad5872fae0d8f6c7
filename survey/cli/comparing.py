"""`changes`: what is not right any more on what was handed over."""

from __future__ import annotations

from pathlib import Path

import click

from survey.cli.guard import DONE, FINDINGS
from survey.cli.options import as_json, read_survey, survey_file
from survey.cli.screen import echo


@click.command(short_help="Say what changed since an earlier revision.")
@survey_file
@click.option(
    "--since",
    required=True,
    metavar="REVISION",
    help="A revision's number or the start of its hash, an older survey file, its exported text, or the "
    "folder or zip that was handed over.",
)
@click.option("--anyway", is_flag=True, help="Compare surveys of different jobs, too.")
@as_json
@click.pass_context
def changes(context: click.Context, file: Path, since: str, anyway: bool, as_json: bool) -> None:
    """Say what changed in FILE since an earlier revision: readings, pieces and findings.

    First comes what was cut to the old paper and does not fit any more: whether it can be re-cut, or a new
    blank is needed. Papers tell their revision and hash at the foot of each page. A file or folder whose
    name looks like a revision is meant by `./42`.

    Exit status 1 when something that was handed over is not right any more.

    \b
    Examples:
      scribefit changes bath.survey --since 42
      scribefit changes bath.survey --since 2d8c7c46
      scribefit changes bath.survey --since cut
    """
    from survey.changes import changes as compared
    from survey.changes import earlier
    from survey.cli.print_changes import changes_lines
    from survey.cli.results import echo_json, fitted

    survey = read_survey(file)
    before = earlier(survey, since)
    found = compared((before, fitted(before)), (survey, fitted(survey)), anyway=anyway)
    if as_json:
        echo_json(found)
    else:
        echo("\n".join(changes_lines(found)))
    context.exit(FINDINGS if found.wrong else DONE)
