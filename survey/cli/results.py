"""`check` and `fit`: what is missing or wrong, and what to cut. Neither writes."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from survey.cli.options import as_json, read_survey, status_of, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.finding import Finding
    from survey.records import Survey
    from survey.report.structs import FitReport

LONG_SURVEY: Final = 500
"""Records from which on a fit takes long enough to say so."""


@click.command(short_help="Say what is missing, and what cannot be.")
@survey_file
@as_json
@click.pass_context
def check(context: click.Context, file: Path, as_json: bool) -> None:
    """Say what is missing for the planned pieces, and what cannot be.

    Exit status 1 when something needs a person.

    \b
    Example:
      scribefit check bath.survey
    """
    from survey.cli.print_findings import findings_lines
    from survey.records import Piece

    survey = read_survey(file)
    findings = _found(survey)
    if as_json:
        echo_json(findings)
    elif findings:
        echo("\n".join(findings_lines(findings, survey)))
    elif not survey.of(Piece):
        echo("Nothing contradicts so far. No piece is planned yet: add one, such as a cabinet or a top.")
    else:
        echo("Nothing is missing, and nothing contradicts: `scribefit fit` says what to cut.")
    context.exit(status_of(findings))


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

    report = fitted(read_survey(file))
    if as_json:
        echo_json(report)
    else:
        echo("\n".join(report_lines(report)))
    context.exit(status_of(report.findings))


def _found(survey: Survey) -> tuple[Finding, ...]:
    from survey.findings import check as find

    return find(survey)


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
