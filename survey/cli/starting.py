"""`app`: the phone app, on this computer."""

from __future__ import annotations

import os
from pathlib import Path

import click

from survey.cli.guard import BAD_INPUT
from survey.cli.screen import echo


@click.command(short_help="Open the app, as on the phone.")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option(
    "--home",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder that the app keeps its jobs in; by default the user's own.",
)
@click.pass_context
def app(context: click.Context, file: Path | None, home: Path | None) -> None:
    """Open the app in a window, at FILE or at the list of jobs.

    It needs Kivy: install the project with its extra `app`.

    \b
    Examples:
      scribefit app
      scribefit app bath.survey
    """
    os.environ.setdefault("KIVY_NO_ARGS", "1")
    os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")
    try:
        from survey.app.main import ScribefitApp
    except ModuleNotFoundError as error:
        if error.name is None or error.name.partition(".")[0] not in ("kivy", "plyer"):
            raise
        echo("scribefit: the app needs Kivy; in the folder of the project: pip install '.[app]'", err=True)
        context.exit(BAD_INPUT)
    ScribefitApp(home=home, file=file).run()
