"""Here so that every test can `import rooms`: pytest puts this folder on the path."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does; threads only slow small matrices
