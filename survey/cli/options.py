"""Arguments and options that several commands share."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from survey.finding import Finding
    from survey.records import Survey

Command = TypeVar("Command", bound=Callable[..., Any])

survey_file = click.argument("file", type=click.Path(path_type=Path))
as_json = click.option("--json", "as_json", is_flag=True, help="Print JSON, for programs.")


def shop_file(command: Command) -> Command:
    """The shop's own file: its cut lists' columns, and how its jobs came out."""
    return click.option(
        "--shop",
        type=click.Path(path_type=Path, dir_okay=False),
        envvar="SCRIBEFIT_SHOP",
        default=lambda: Path(click.get_app_dir("scribefit")) / "shop.json",
        help="The shop's own file; without it, SCRIBEFIT_SHOP or one in your settings' folder.",
    )(command)


def by_hand(command: Command) -> Command:
    """Who writes, and on what."""
    person = click.option("--person", envvar="SCRIBEFIT_PERSON", default="", help="Who writes this down.")
    device = click.option("--device", envvar="SCRIBEFIT_DEVICE", default="", help="On which device.")
    return person(device(command))


def read_survey(file: Path) -> Survey:
    """Read all records of a survey file."""
    from survey.file import SurveyFile

    with SurveyFile.open(file) as opened:
        return opened.survey()


def status_of(findings: Iterable[Finding]) -> int:
    """1 when a person must look at a finding, 0 when there are none but hints."""
    from survey.cli.guard import DONE, FINDINGS

    return FINDINGS if any(finding.severity != "hint" for finding in findings) else DONE
