"""`handover`, `verify` and `demo`: the folder that the shop cuts from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from survey.cli.options import as_json, read_survey, status_of, survey_file
from survey.cli.progress import steps
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.handover.sizes import Sizes
    from survey.handover.template import TemplateAsked
    from survey.handover.wanted import Form
    from survey.records import Survey
    from survey.report.structs import FitReport


@click.command(short_help="Write the shop's folder: job book, cut lists, outlines.")
@survey_file
@click.option(
    "--to",
    "folder",
    type=click.Path(path_type=Path),
    required=True,
    help="The folder to write; a name that ends in .zip: one zip of all.",
)
@click.option(
    "--template",
    "pieces",
    multiple=True,
    metavar="PIECE",
    help="A full-size paper template of a piece, too; may be given again.",
)
@click.option(
    "--outline",
    "outlines",
    type=click.Choice(["r2000", "r12", "svg"]),
    multiple=True,
    default=("r2000",),
    show_default=True,
    help="How outlines are written: DXF of release 2000 or 12, or SVG true to size; may be given again.",
)
@click.option(
    "--sizes",
    type=click.Choice(["as printed", "decimal", "fraction"]),
    default="as printed",
    show_default=True,
    help="How sizes stand in the lists for spreadsheet and saw.",
)
@click.option(
    "--book-paper",
    type=click.Choice(["A4", "Letter"]),
    help="Of the job book; without it Letter for inches, A4 for millimetres.",
)
@click.option("--pages", is_flag=True, help="The job book's pages as pictures (PNG), too.")
@click.option(
    "--since",
    metavar="REVISION",
    help="Show what changed since: a revision's number or hash, an older hand-over or survey file.",
)
@click.option("--open", "open_it", is_flag=True, help="Open the job book afterwards.")
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
    outlines: tuple[Form, ...],
    sizes: Sizes,
    book_paper: Literal["A4", "Letter"] | None,
    pages: bool,
    since: str | None,
    open_it: bool,
    paper: str,
    edges: tuple[str, ...],
    as_json: bool,
) -> None:
    """Write the shop's folder: job book, lists for saw and spreadsheet, outlines, and templates if asked for.

    A template is a PDF at full size, in sheets that are taped together; the first page shows how. The
    manifest lists every file with its hash; `verify` holds a folder or zip against it. Exit status 1 when a
    finding needs a person before cutting; the papers say which.

    \b
    Examples:
      scribefit handover bath.survey --to cut --open
      scribefit handover bath.survey --to cut.zip --outline r12 --outline svg --sizes decimal
      scribefit handover bath.survey --to cut --template vanity-top --edge back --paper Letter
      scribefit handover bath.survey --to cut-2 --since cut
    """
    from survey.cli.results import echo_json, fitted
    from survey.handover.wanted import Wanted
    from survey.handover.write import hand_over

    templates = _templates(pieces, paper, edges)
    survey = read_survey(file)
    before = _before(survey, since) if since else None
    report = fitted(survey)
    wanted = Wanted(templates, tuple(dict.fromkeys(outlines)), sizes, book_paper, pages, before)
    with steps("Handing over") as on_progress:
        files = hand_over(survey, report, folder, on_progress, wanted=wanted)
    if as_json:
        echo_json([str(each) for each in files])
    else:
        echo("\n".join(str(each) for each in files))
    if open_it:
        _open(files)
    status = status_of(report.findings)
    if status and not as_json:
        echo("There are findings that need a person before cutting: `scribefit check` tells them.", err=True)
    context.exit(status)


def _before(survey: Survey, since: str) -> tuple[Survey, FitReport]:
    """Return the earlier revision that somebody means, and what it came to."""
    from survey.changes import earlier
    from survey.cli.results import fitted

    before = earlier(survey, since)
    return before, fitted(before)


def _open(files: Sequence[Path]) -> None:
    """Open the job book, or the zip that it is in, with whatever this system opens such files with."""
    wanted = next(
        (one for one in files if one.name.startswith("job-book") and one.suffix == ".pdf"), files[0]
    )
    if click.launch(str(wanted)) != 0:
        echo(f"Nothing on this system opens {wanted}: open it by hand.", err=True)


@click.command(short_help="Hold a handed-over folder or zip against its manifest.")
@click.argument("handed", type=click.Path(path_type=Path))
@click.pass_context
def verify(context: click.Context, handed: Path) -> None:
    """Say whether a hand-over (a folder or zip) is as it was written: what is changed, missing or foreign.

    Exit status 1 when something is not as it was.

    \b
    Example:
      scribefit verify cut.zip
    """
    from survey.handover.verifying import verify_words

    title, faults = verify_words(handed)
    echo("\n".join([title, *faults]) if faults else f"{title}: every file is as it was written.")
    context.exit(1 if faults else 0)


def _templates(pieces: Sequence[str], paper: str, edges: Sequence[str]) -> tuple[TemplateAsked, ...]:
    """Return the templates that are asked for."""
    from survey.handover.template import TemplateAsked
    from survey.handover.tiling import paper_named

    if edges and not pieces:
        raise click.UsageError("--edge is for templates: say of which piece with --template PIECE")
    chosen = paper_named(paper)
    return tuple(TemplateAsked(piece, chosen, edge) for piece in pieces for edge in edges or ("",))


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
