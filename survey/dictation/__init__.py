"""Readings as a person dictates them, to records and back.

One line is one record. How each kind is said stands in one table (`patterns`); reading, saying, messages
and help are made from it.
"""

from survey.dictation.errors import DictationError, Problem
from survey.dictation.notebook import dictate, full_id, say
from survey.dictation.parts import read_part, say_part
from survey.records.hand import Hand, new_id, now

__all__ = [
    "DictationError",
    "Hand",
    "Problem",
    "dictate",
    "full_id",
    "new_id",
    "now",
    "read_part",
    "say",
    "say_part",
]
