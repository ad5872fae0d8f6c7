"""The `scribefit` command.

Exit status: 0 done, 1 findings that need a person, 2 bad input, 3 an error of the program itself.
Whatever a command needs beyond click is imported inside it, so that help comes at once.
"""

import os

import click

from survey.cli.carrying import export, import_
from survey.cli.comparing import changes
from survey.cli.guard import Guarded
from survey.cli.making import demo, handover, verify
from survey.cli.noting import add, new
from survey.cli.on_the_day import installed, shop
from survey.cli.results import check, fit
from survey.cli.showing import show
from survey.cli.starting import app
from survey.cli.taking_in import intake
from survey.cli.walking import walk

# The matrices of a room are small: threads cost more than they give. Read when numpy is first loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


@click.group(cls=Guarded, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="scribefit", prog_name="scribefit")
@click.option(
    "--traceback",
    type=click.Path(dir_okay=False, writable=True),
    envvar="SCRIBEFIT_TRACEBACK",
    help="Where to write the details if the program itself fails.",
)
def main(traceback: str | None) -> None:
    """Measure a crooked room once, cut once, fit once.

    \b
    Example, from the first reading to the cut list:
      scribefit new bath.survey --title "Corner vanity" --unit in --level-line 36
      scribefit add bath.survey --from notes.txt
      scribefit check bath.survey
      scribefit fit bath.survey
      scribefit handover bath.survey --to cut

    Exit status: 0 done, 1 findings that need a person, 2 bad input.
    """


_ON_SITE = (new, add, intake, walk, show, check, fit)
_TO_THE_SHOP = (changes, handover, verify, installed, shop)
for command in (*_ON_SITE, *_TO_THE_SHOP, export, import_, demo, app):
    main.add_command(command)
