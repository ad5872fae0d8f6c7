"""Let fitters take no more than what they are advised to, one reading after the other, until it is enough.

Run with `python tests/simulated/advised.py SITES [--first SEED] [--jobs N]`. It prints how many numbers that
took beside the default walk, and whether what was cut then fits as well.
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np
from msgspec.structs import replace

from fitting.next_reading import advise
from simulated.fitter import read
from simulated.installer import install
from simulated.site import alcove_site
from simulated.study import FIRST, LAWS, LIMIT, UP, known, net_top, numbers_of, planned, visited
from survey.advice import choices
from survey.report.make import answer
from survey.walk import place_of, walk

MOST_READINGS = 20


def advised(seed: int) -> tuple[int, bool, int, bool]:
    """Return numbers typed and whether it fits: as advised, and by the default walk with a laser."""
    site, rng = alcove_site(seed, LAWS[seed % len(LAWS)]), np.random.default_rng([seed, 8])
    survey = planned(site)
    survey = survey.plus(read(walk(place_of(survey), survey, "laser")[0].reading, site, rng))
    for _ in range(MOST_READINGS):
        room, _ = known(survey)
        top = net_top(room)
        _, context = answer(survey)
        assert context is not None
        assert top.stake is not None
        could = list(choices(survey, context))
        found = advise(room, {"counter": top.stake}, [one.candidate for one in could], most=1)
        if not found:
            break
        record = next(one.record for one in could if one.candidate is found[0].candidate)
        taken = read(record, site, rng)
        survey = survey.plus(replace(taken, id=f"{record.id}-{len(survey.records)}"))
    ours = install(net_top(known(survey)[0]).outline.outline, site, UP).within(LIMIT)
    by_walk = visited(site, "laser", rng)
    theirs = install(net_top(known(by_walk)[0]).outline.outline, site, UP).within(LIMIT)
    return numbers_of(survey), ours, numbers_of(by_walk), theirs


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("sites", type=int)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--jobs", type=int, default=1)
    asked = parser.parse_args()
    seeds = range(asked.first, asked.first + asked.sites)
    with ProcessPoolExecutor(asked.jobs) as pool:
        each = np.array(list(pool.map(advised, seeds)), dtype=float)
    numbers, ours, walked, theirs = each.mean(axis=0)
    print(f"{len(each)} sites: as advised {numbers:.1f} numbers, {100 * ours:.1f} % fit;", end=" ")
    print(f"by the default walk {walked:.1f} numbers, {100 * theirs:.1f} % fit")


if __name__ == "__main__":
    main()
