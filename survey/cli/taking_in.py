"""`intake`: pieces come in from a cut list, so that nobody types them twice."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Literal

import click

from survey.cli.options import by_hand, shop_file, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.intake import Taken


@click.command(short_help="Take in pieces from a cut list (CSV).")
@survey_file
@click.argument("cut_list", type=click.File("rb"))
@click.option(
    "--column",
    "columns",
    multiple=True,
    metavar="HEADING=FIELD",
    help="Read a column as name, kind, width, height, thickness, quantity ...; may be given again.",
)
@click.option("--kind", default="", help="The kind of all rows whose kind no column says: shelf, cabinet ...")
@click.option(
    "--again",
    type=click.Choice(["refuse", "skip", "correct"]),
    default="refuse",
    show_default=True,
    help="What becomes of a piece that is there already and differs.",
)
@click.option("--good-ones", is_flag=True, help="Take those rows that can be taken; without it all or none.")
@click.option("--look", is_flag=True, help="Say what would come in; put nothing down.")
@shop_file
@by_hand
def intake(
    file: Path,
    cut_list: BinaryIO,
    columns: tuple[str, ...],
    kind: str,
    again: Literal["refuse", "skip", "correct"],
    good_ones: bool,
    look: bool,
    shop: Path,
    person: str,
    device: str,
) -> None:
    """Take pieces into FILE from a cut list: comma, semicolon or tab, sizes in the job's unit or with theirs.

    What a column is, is guessed by its heading where that is plain, and said with --column where not; what
    you say is kept in the shop's file for the next list. One that was handed over comes back as it was.

    \b
    Examples:
      scribefit intake bath.survey parts.csv --kind shelf --column "Length=width" --column "Width=height"
      scribefit intake bath.survey cut-list_r0042.csv --look
    """
    from survey.cli.echo import echo_of
    from survey.dictation import Hand
    from survey.file import SurveyFile
    from survey.intake import guessed, read_cut_list, refuse_columns, take_in
    from survey.shop import keep_columns, read_shop

    read = read_cut_list(cut_list.read())
    said = _said(columns)
    known = read_shop(shop)
    mapping = guessed(read.headings, known.columns | said)
    refuse_columns(said, read.headings)
    refuse_columns(mapping, read.headings)
    if not read.is_own:
        read_as = "; ".join(f"{heading} is the {name}" for heading, name in mapping.items())
        echo(read_as or "No column is known.")
    with SurveyFile.open(file, write=not look) as opened:
        survey = opened.survey()
        taken = take_in(read, survey, mapping, Hand(person, device), kind=kind, again=again)
        _refuse_faults(taken, good_ones or look)
        if taken.records and not look:
            opened.append(*taken.records)
    if said and not look:
        keep_columns(shop, said)
    unit, after = (survey.job.unit if survey.job else "mm"), survey.plus(*taken.records)
    for record in taken.records:
        echo(echo_of(record, unit, after))
    echo(_told(taken, look))


def _said(columns: Sequence[str]) -> dict[str, str]:
    pairs = [one.rpartition("=") for one in columns]
    wrong = [text for text, (heading, _, name) in zip(columns, pairs, strict=True) if not heading or not name]
    if wrong:
        raise click.BadParameter(f"expected HEADING=FIELD, got {wrong[0]!r}", param_hint="--column")
    return {heading.strip(): name.strip() for heading, _, name in pairs}


def _refuse_faults(taken: Taken, may_go_on: bool) -> None:
    from survey.intake import IntakeError

    if taken.faults and not may_go_on:
        more = f"\nand {len(taken.faults) - 10} more" if len(taken.faults) > 10 else ""
        told = "\n".join(taken.faults[:10])
        raise IntakeError(f"nothing was taken in:\n{told}{more}")
    for fault in taken.faults:
        echo(f"left out: {fault}", err=True)


def _told(taken: Taken, look: bool) -> str:
    count = "1 piece" if len(taken.records) == 1 else f"{len(taken.records)} pieces"
    same = f", {len(taken.same)} there already as they are" if taken.same else ""
    return f"{count} {'would come in' if look else 'came in'}{same}."
