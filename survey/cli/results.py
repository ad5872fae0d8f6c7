"""`check` and `fit`: what is missing or wrong, and what to cut. Neither writes."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from survey.cli.options import as_json, read_survey, status_of, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.records import Survey
    from survey.report.structs import FitReport

LONG_SURVEY: Final = 500
"""Records from which on a fit takes long enough to say so."""


@click.command(short_help="Say what is missing, what cannot be, what to read next.")
@survey_file
@click.option(
    "--draw",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Draw each reading to take next, from above, into FOLDER.",
)
@as_json
@click.pass_context
def check(context: click.Context, file: Path, draw: Path | None, as_json: bool) -> None:
    """Say what is missing for the planned pieces, what cannot be, and what to read next.

    Exit status 1 when something needs a person. --json prints the findings; `fit --json` has the rest.

    \b
    Examples:
      scribefit check bath.survey
      scribefit check bath.survey --draw pictures
    """
    from survey.cli.print_findings import findings_lines
    from survey.cli.print_next import next_lines

    survey = read_survey(file)
    report = fitted(survey)
    findings = report.findings
    if as_json:
        echo_json(findings)
    else:
        lines = findings_lines(findings, survey) or [_nothing_found(survey)]
        echo("\n".join([*lines, *next_lines(report, survey)]))
    if draw is not None:
        _draw(report, draw, to_stderr=as_json)
    context.exit(status_of(findings))


def _nothing_found(survey: Survey) -> str:
    from survey.records import Piece

    if not survey.of(Piece):
        return "Nothing contradicts so far. No piece is planned yet: add one, such as a cabinet or a top."
    return "Nothing is missing, and nothing contradicts: `scribefit fit` says what to cut."


def _draw(report: FitReport, folder: Path, to_stderr: bool) -> None:
    """Draw what to read next, and say where."""
    from survey.handover.next_pictures import draw_next

    files = draw_next(report, folder)
    told = ["Drawn:", *(f"  {each}" for each in files)] if files else ["Nothing to draw."]
    echo("\n".join(["", *told]), err=to_stderr)


@click.command(short_help="Print what to cut, piece by piece.")
@survey_file
@as_json
@click.pass_context
def fit(context: click.Context, file: Path, as_json: bool) -> None:
    """Print what to cut: for every piece its size, blank, allowances, filler and notch corners.

    Nothing is written. Exit status 1 when a finding needs a person before cutting.

    \b
    Examples:
      scribefit fit bath.survey
      scribefit fit bath.survey --json > bath.json
    """
    from survey.cli.print_report import report_lines

    survey = read_survey(file)
    report = fitted(survey)
    if as_json:
        echo_json(report)
    else:
        echo("\n".join(report_lines(report, survey)))
    context.exit(status_of(report.findings))


def fitted(survey: Survey) -> FitReport:
    """Make the fit report, and say so when it will take a while."""
    from survey.findings import fit

    if len(survey.current) >= LONG_SURVEY and sys.stderr.isatty():
        echo(f"Fitting {len(survey.current)} records ...", err=True)
    return fit(survey)


def echo_json(value: object) -> None:
    """Print a value as JSON that people can read too."""
    import msgspec

    click.echo(msgspec.json.format(msgspec.json.encode(value), indent=2).decode())
