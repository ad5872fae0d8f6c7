"""Here so that every test can `import rooms`: pytest puts this folder on the path."""

import os

from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does; threads only slow small matrices
os.environ.setdefault("SURFACE", "360x640")  # tests of the app look at no larger picture: see app/display

# A check of a submission draws the same examples each time; everywhere else new ones are looked for.
settings.register_profile("same examples", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("same examples")
