"""How much of a long check is run: enough to find a mistake each time, all of it with THOROUGH=1."""

import os
from typing import TypeVar

Much = TypeVar("Much")


def many(usual: Much, thorough: Much) -> Much:
    """Return what is tried, such as how many rooms, scenes or kills."""
    return thorough if os.environ.get("THOROUGH") else usual
