"""`export` and `import`: the survey as text that other programs and people can read."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import click

from survey.cli.options import survey_file
from survey.cli.progress import counting

if TYPE_CHECKING:
    from survey.records import Record


@click.command(short_help="Write the survey as JSON text.")
@survey_file
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="A new file; without it, the text is printed."
)
def export(file: Path, output: Path | None) -> None:
    """Write the whole survey, photos included, as JSON text with a published schema.

    \b
    Examples:
      scribefit export bath.survey -o bath.json
      scribefit export bath.survey | less
    """
    from survey.file import SurveyFile
    from survey.file.publishing import publishing
    from survey.text import write_text

    with SurveyFile.open(file) as opened:
        text = write_text(opened.survey(), opened.photos())
    if output is None:
        click.echo(text, nl=False)
        return
    with publishing(output) as temporary:
        temporary.write_bytes(text)
    click.echo(output)


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
    click.echo(f"{file}: {len(survey.records)} records, {len(photos)} photos")


def _checked(records: Iterable[Record]) -> Iterable[Record]:
    from survey.errors import RecordError
    from survey.records.limits import refuse_impossible

    for record in records:
        try:
            refuse_impossible(record)
        except RecordError as error:
            raise RecordError(f"record {record.id}: {error}") from error
        yield record
