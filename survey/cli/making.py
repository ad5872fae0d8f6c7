"""`handover` and `demo`: the folder that the shop cuts from."""

from __future__ import annotations

from pathlib import Path

import click

from survey.cli.options import as_json, read_survey, status_of, survey_file
from survey.cli.progress import steps
from survey.cli.screen import echo


@click.command(short_help="Write the shop's folder: cut list, job sheet, outlines.")
@survey_file
@click.option(
    "--to",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="The folder to write.",
)
@as_json
@click.pass_context
def handover(context: click.Context, file: Path, folder: Path, as_json: bool) -> None:
    """Write the shop's folder: cut list, job sheet and outlines.

    Exit status 1 when a finding needs a person before cutting; the sheets say which.

    \b
    Example:
      scribefit handover bath.survey --to cut
    """
    from survey.cli.results import echo_json, fitted
    from survey.handover.write import hand_over

    survey = read_survey(file)
    report = fitted(survey)
    with steps("Handing over") as on_progress:
        files = hand_over(survey, report, folder, on_progress)
    if as_json:
        echo_json([str(each) for each in files])
    else:
        echo("\n".join(str(each) for each in files))
    status = status_of(report.findings)
    if status and not as_json:
        echo("There are findings that need a person before cutting: `scribefit check` tells them.", err=True)
    context.exit(status)


@click.command(short_help="Run the whole job on a sample survey.")
@click.argument("name")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.pass_context
def demo(context: click.Context, name: str, folder: Path) -> None:
    """Run the whole job on the sample survey NAME: its file, its cut list and the shop's folder, in FOLDER.

    The samples: chimney-breast, corner-vanity, doubtful-readings, sink-wall, study-niche,
    tiled-alcove.

    \b
    Example:
      scribefit demo corner-vanity demo
    """
    from survey.cli.print_report import report_lines
    from survey.cli.results import fitted
    from survey.file import SurveyFile
    from survey.handover.write import hand_over
    from survey.samples import sample_names, sample_survey

    if name not in sample_names():
        raise click.BadParameter(
            f"expected one of {', '.join(sample_names())}, got {name!r}", param_hint="NAME"
        )
    survey = sample_survey(name)
    folder.mkdir(parents=True, exist_ok=True)
    SurveyFile.create(folder / f"{name}.survey", survey.records).close()
    report = fitted(survey)
    echo("\n".join(report_lines(report, survey)))
    with steps("Handing over") as on_progress:
        files = hand_over(survey, report, folder / "hand-over", on_progress)
    echo("\n".join(["", "Written:", *(f"  {each}" for each in [folder / f"{name}.survey", *files])]))
    context.exit(status_of(report.findings))
