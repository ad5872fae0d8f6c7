"""`new` and `add`: beginning a survey, and putting down what was read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal, TextIO

import click

from survey.cli.options import by_hand, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.dictation import Hand
    from survey.records import Record, Survey


@click.command()
@survey_file
@click.option("--title", required=True, help="What the job is called.")
@click.option("--unit", type=click.Choice(["in", "mm"]), required=True, help="What a bare number means.")
@click.option(
    "--step", help="Smallest fraction that is printed: 1/16, 1/32, 0.5 mm ... [default: 1/16 or 1 mm]"
)
@click.option(
    "--level-line", help="Height of the marked level line above z = 0; without it, z = 0 is the line."
)
@by_hand
def new(
    file: Path,
    title: str,
    unit: Literal["in", "mm"],
    step: str | None,
    level_line: str | None,
    person: str,
    device: str,
) -> None:
    """Begin a survey: a new FILE with its job.

    \b
    Examples:
      scribefit new bath.survey --title "Corner vanity" --unit in --step 1/16 --level-line 36
      scribefit new alcove.survey --title "Alcove" --unit mm --step "1 mm"
    """
    from survey.cli.echo import echo_of
    from survey.dictation import dictate
    from survey.dictation.line import quoted
    from survey.file import SurveyFile
    from survey.records import Survey

    line = f"job {quoted(title)} in {unit} to {step or _STEPS[unit]}"
    line += f" level line {level_line}" if level_line else ""
    job = dictate([line], Survey([]), _hand(person, device))
    SurveyFile.create(file, job).close()
    echo(f"{file} begins:\n{echo_of(job[0], unit)}")
    echo(f'Next: scribefit add {file} "room bath" "wall back wood stud" "wall left" "corner left and back"')


_STEPS = {"in": "1/16", "mm": "1 mm"}


def _hand(person: str, device: str) -> Hand:
    from survey.dictation import Hand

    return Hand(person, device)


def _print_kinds(context: click.Context, parameter: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        from survey.dictation.help import kinds_help

        echo(kinds_help())
        context.exit()


class _AddCommand(click.Command):
    """`add`, whose help ends with lines from the table of the language itself."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Show what a person may say."""
        from survey.dictation.help import some_lines

        with formatter.section("What may be said, for instance (--kinds shows all)"):
            for line in some_lines():
                formatter.write(f"{' ' * formatter.current_indent}{line}\n")


@click.command(cls=_AddCommand, short_help="Add readings, as you would dictate them.")
@survey_file
@click.argument("lines", nargs=-1)
@click.option(
    "--from",
    "notes",
    type=click.File(encoding="utf-8-sig"),
    help="Take the lines from a file; - is the keyboard or a pipe.",
)
@click.option(
    "--kinds",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_print_kinds,
    help="Show all that may be said, with examples.",
)
@by_hand
def add(file: Path, lines: tuple[str, ...], notes: TextIO | None, person: str, device: str) -> None:
    """Add readings and the rest to FILE, as you would dictate them: one line is one record.

    Bare numbers are in the job's unit. All lines are checked before any is written. What was understood is
    printed, with an id by which it can be corrected (`correct ID: ...`) or withdrawn (`withdraw ID`).

    \b
    Examples:
      scribefit add bath.survey "length left-back to back-right up 34 reads 60 3/8"
      scribefit add bath.survey --from notes.txt
    """
    from survey.cli.echo import echo_of
    from survey.dictation import dictate
    from survey.file import SurveyFile

    if bool(lines) == bool(notes):
        raise click.UsageError(
            'expected lines in quotes, or --from NOTES: give one of the two ("scribefit add --help")'
        )
    said = lines or _lines_of(notes)
    with SurveyFile.open(file, write=True) as opened:
        survey = opened.survey()
        records = dictate(said, survey, _hand(person, device))
        if not records:
            raise click.UsageError("expected at least one line that says something, got none")
        opened.append(*records)
    known, unit = survey.plus(*records), _unit(survey, records)
    for record in records:
        echo(echo_of(record, unit, known))


def _lines_of(notes: TextIO | None) -> list[str]:
    from survey.errors import TextError

    if notes is None:
        return []
    try:
        return notes.read().split("\n")
    except UnicodeDecodeError as error:
        raise TextError(
            f"{notes.name}: expected text in UTF-8, got something else at byte {error.start}: "
            "save the notes as plain text"
        ) from error


def _unit(survey: Survey, records: tuple[Record, ...]) -> Literal["in", "mm"]:
    job = survey.plus(*records).job
    return job.unit if job else "mm"
