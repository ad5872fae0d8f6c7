"""`installed` and `shop`: what came out on the day, and what the shop's own jobs come to."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from survey.cli.options import as_json, read_survey, shop_file, status_of, survey_file
from survey.cli.screen import echo

if TYPE_CHECKING:
    from survey.report.structs import FitReport
    from survey.shop import Shop


@click.command(short_help="What came out on the day, against what was foretold.")
@survey_file
@click.option("--learn", is_flag=True, help="Keep this job among the shop's own; again: in place of before.")
@shop_file
@as_json
@click.pass_context
def installed(context: click.Context, file: Path, learn: bool, shop: Path, as_json: bool) -> None:
    """Say of each place that was put down as installed what was foretold there, and what came out.

    `add` puts it down: how much was planed off an edge at a place, the gap that stayed, a shim. With --learn
    the job goes into the shop's file, where it counts once. Exit status 1 when something put down cannot be.

    \b
    Examples:
      scribefit add bath.survey "installed vanity-top back at 12 planed off 3/32"
      scribefit installed bath.survey
      scribefit installed bath.survey --learn
    """
    from survey.cli.results import echo_json, fitted
    from survey.installed import by_usual_figures, kept, learned, learned_words, outcome
    from survey.shop import read_shop, write_shop

    survey = read_survey(file)
    report = fitted(survey)
    found = [one for one in report.findings if 610 <= one.number < 620]
    if as_json:
        echo_json({one.name: one.installed for one in report.pieces if one.installed})
    else:
        echo("\n".join(installed_lines(report) or ["Nothing was put down as installed yet: see --help."]))
        for one in found:
            echo(f"{one.severity}  {one.number}  {one.says}; {one.do}")
    if learn:
        usual = by_usual_figures(survey)
        job = outcome(usual, report if len(usual.records) == len(survey.records) else fitted(usual))
        if job is None:
            raise click.UsageError("there is nothing to learn from yet: put down what was planed off first")
        more = kept(read_shop(shop), job)
        write_shop(shop, more)
        echo(learned_words(learned(more.jobs)), err=as_json)
    context.exit(status_of(found))


def installed_lines(report: FitReport) -> list[str]:
    """Tell every place, piece by piece."""
    lines: list[str] = []
    for piece in report.pieces:
        if piece.installed:
            lines += [*([""] if lines else []), piece.name]
        for one in piece.installed:
            at = f" at {one.at.text}" if one.at is not None else ""
            off = one.came_out.mm - one.foretold.mm
            times = f", {abs(off) / one.sd_mm:.1f} standard deviations off" if one.sd_mm else ""
            lines.append(
                f"  {one.edge} edge{at}: {one.what} {one.came_out.text}, foretold {one.foretold.text}{times}"
            )
    return lines


@click.command(short_help="What the shop's own jobs come to.")
@shop_file
@as_json
def shop(shop: Path, as_json: bool) -> None:
    """Say how many jobs are kept, and how far off edges came out against what was foretold.

    Nothing is learned from fewer jobs than it takes. Where there are enough, the line to put the shop's own
    figure into a survey is printed: it is used there, and only there, once you `add` it.

    \b
    Example:
      scribefit shop --shop our-shop.json
    """
    from survey.cli.results import echo_json
    from survey.installed import learned, learned_words
    from survey.shop import read_shop

    known = read_shop(shop)
    found = learned(known.jobs)
    if as_json:
        echo_json(found)
        return
    echo("\n".join([learned_words(found), *_advice(known)]))


def _advice(known: Shop) -> Iterator[str]:
    from survey.installed import learned

    found = learned(known.jobs)
    for slip in found.slips:
        times = f"{abs(slip.in_sds()):.0f} times what was to be expected"
        yield f"Left out as a slip: {slip.off:+.1f} mm off on job {slip.job}, {times}."
    if found.verdict == "learned":
        yield "To use it in a survey:"
        yield f'  scribefit add bath.survey "{experience_line(found.factor, found.jobs, found.places)}"'


def experience_line(factor: float, jobs: int, places: int) -> str:
    """Return the line that puts the shop's own figure into a survey.

    >>> experience_line(1.3, 14, 52)
    'experience factor 1.3 jobs 14 edges 52'
    """
    return f"experience factor {factor:g} jobs {jobs} edges {places}"
