"""`handover` and `demo`: the folder that the shop cuts from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from survey.cli.options import as_json, read_survey, status_of, survey_file
from survey.cli.progress import steps
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.handover.template import TemplateAsked


@click.command(short_help="Write the shop's folder: cut list, job sheet, outlines.")
@survey_file
@click.option(
    "--to",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="The folder to write.",
)
@click.option(
    "--template",
    "pieces",
    multiple=True,
    metavar="PIECE",
    help="A full-size paper template of a piece, too; may be given again.",
)
@click.option(
    "--paper",
    default="A4",
    show_default=True,
    help="For templates: A4 to A0, Letter, Arch D, `roll 24 in` ...",
)
@click.option(
    "--edge",
    "edges",
    multiple=True,
    metavar="EDGE",
    help="Of templates only a strip along this edge: back, left ...; may be given again.",
)
@as_json
@click.pass_context
def handover(
    context: click.Context,
    file: Path,
    folder: Path,
    pieces: tuple[str, ...],
    paper: str,
    edges: tuple[str, ...],
    as_json: bool,
) -> None:
    """Write the shop's folder: cut list, job sheet, outlines, and templates if asked for.

    A template is a PDF at full size, in sheets that are taped together; the first page shows how. Exit
    status 1 when a finding needs a person before cutting; the sheets say which.

    \b
    Examples:
      scribefit handover bath.survey --to cut
      scribefit handover bath.survey --to cut --template vanity-top --edge back --paper Letter
    """
    from survey.cli.results import echo_json, fitted
    from survey.handover.write import hand_over

    asked = _templates(pieces, paper, edges)
    survey = read_survey(file)
    report = fitted(survey)
    with steps("Handing over") as on_progress:
        files = hand_over(survey, report, folder, on_progress, templates=asked)
    if as_json:
        echo_json([str(each) for each in files])
    else:
        echo("\n".join(str(each) for each in files))
    status = status_of(report.findings)
    if status and not as_json:
        echo("There are findings that need a person before cutting: `scribefit check` tells them.", err=True)
    context.exit(status)


def _templates(pieces: Sequence[str], paper: str, edges: Sequence[str]) -> list[TemplateAsked]:
    """Return the templates that are asked for, as `hand_over` takes them."""
    from survey.handover.template import TemplateAsked
    from survey.handover.tiling import paper_named

    if edges and not pieces:
        raise click.UsageError("--edge is for templates: say of which piece with --template PIECE")
    chosen = paper_named(paper)
    return [TemplateAsked(piece, chosen, edge) for piece in pieces for edge in edges or ("",)]


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
