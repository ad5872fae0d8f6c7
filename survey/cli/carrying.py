"""`export` and `import`: the survey as text that other programs and people can read."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import click

from survey.cli.options import survey_file
from survey.cli.progress import counting
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.records import Record


@click.command(short_help="Write the survey as JSON text.")
@survey_file
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="A new file; without it, the text is printed."
)
@click.option(
    "--tables",
    type=click.Path(path_type=Path),
    help="Instead: plain tables of what is current, in a new SQLite file for queries.",
)
def export(file: Path, output: Path | None, tables: Path | None) -> None:
    """Write the whole survey, photos included, as JSON text with a published schema.

    \b
    Examples:
      scribefit export bath.survey -o bath.json
      scribefit export bath.survey | less
      scribefit export bath.survey --tables bath-tables.sqlite
    """
    from survey.file import SurveyFile
    from survey.file.publishing import publishing
    from survey.text import write_text

    if tables is not None:
        if output is not None:
            raise click.UsageError("say either -o or --tables")
        _write_tables(file, tables)
        return
    with SurveyFile.open(file) as opened:
        text = write_text(opened.survey(), opened.photos())
    if output is None:
        click.echo(text, nl=False)
        return
    with publishing(output) as temporary:
        temporary.write_bytes(text)
    echo(output)


def _write_tables(file: Path, tables: Path) -> None:
    from survey.file import SurveyFile
    from survey.tables import write_tables

    with SurveyFile.open(file) as opened:
        write_tables(opened.survey(), tables)
    echo(tables)


@click.command(name="import", short_help="Make a survey from exported text.")
@click.argument("text", type=click.File("rb"))
@survey_file
def import_(text: BinaryIO, file: Path) -> None:
    """Make a new survey FILE from the exported TEXT (- reads a pipe). A FILE that exists is refused.

    \b
    Example:
      scribefit import bath.json bath.survey
    """
    from survey.file import SurveyFile
    from survey.text import read_text

    survey, photos = read_text(text.read())
    with counting("Importing", survey.records) as records:
        SurveyFile.create(file, _checked(records), photos).close()
    echo(f"{file}: {len(survey.records)} records, {len(photos)} photos")


def _checked(records: Iterable[Record]) -> Iterable[Record]:
    from survey.errors import RecordError
    from survey.records.limits import refuse_impossible

    for record in records:
        try:
            refuse_impossible(record)
        except RecordError as error:
            raise RecordError(f"record {record.id}: {error}") from error
        yield record
