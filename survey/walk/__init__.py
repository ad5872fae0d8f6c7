"""What to read, in which order, for a place and its pieces; numbers in, lines out, no screen."""

from survey.walk.candidates import candidates
from survey.walk.line import Line, done
from survey.walk.place import Place, place_of
from survey.walk.stand import without_start
from survey.walk.walks import Tools, walk
from survey.walk.words import what_is_read

__all__ = [
    "Line",
    "Place",
    "Tools",
    "candidates",
    "done",
    "place_of",
    "walk",
    "what_is_read",
    "without_start",
]
