"""No traceback reaches a person: refusals are told calmly, and the exit status says which kind they are."""

from __future__ import annotations

import errno
import traceback
from pathlib import Path
from typing import Any, Final

import click

from survey.cli.screen import echo

DONE: Final = 0
FINDINGS: Final = 1
BAD_INPUT: Final = 2
OUR_FAULT: Final = 3
INTERRUPTED: Final = 130


class Guarded(click.Group):
    """A group of commands whose errors are told in words."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; tell what it refuses, or that the program itself failed."""
        from fitting.errors import FittingError
        from survey.errors import SurveyError

        try:
            return super().invoke(ctx)
        except (click.exceptions.Exit, click.ClickException, click.Abort):
            raise
        except KeyboardInterrupt:
            echo("Stopped; nothing half-written is left.", err=True)
            ctx.exit(INTERRUPTED)
        except (SurveyError, FittingError) as error:
            echo(f"scribefit: {error}", err=True)
            ctx.exit(BAD_INPUT)
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            echo(f"scribefit: {_told(error)}", err=True)
            ctx.exit(BAD_INPUT)
        except Exception as error:
            _tell_our_fault(error, ctx.params.get("traceback"))
            ctx.exit(OUR_FAULT)


def _told(error: OSError) -> str:
    if error.filename is None:
        return str(error)
    return f"{error.filename}: {(error.strerror or str(error)).lower()}; check the name and the permissions"


def _tell_our_fault(error: Exception, log: str | None) -> None:
    kept = _keep_details(log)
    how = (
        f"the details are in {log}"
        if kept
        else "run it again as `scribefit --traceback FILE ...` for the details"
    )
    echo(
        f"scribefit: the program failed ({type(error).__name__}), and it is not your doing. The survey file "
        f"holds what was saved before.\nPlease report it, with `scribefit --version` and the command; {how}.",
        err=True,
    )


def _keep_details(log: str | None) -> bool:
    """Write the traceback where it was asked for; a log that cannot be written must not hide the error."""
    if not log:
        return False
    try:
        Path(log).write_text(traceback.format_exc(), encoding="utf-8")
    except OSError as error:
        echo(f"scribefit: the details could not be kept: {_told(error)}", err=True)
        return False
    return True
