"""Readings as a person dictates them, to records and back.

One line is one record. How each kind is said stands in one table (`patterns`); reading, saying, messages
and help are made from it.
"""

from survey.dictation.errors import DictationError, Problem
from survey.dictation.notebook import Hand, dictate, full_id, new_id, now, say

__all__ = ["DictationError", "Hand", "Problem", "dictate", "full_id", "new_id", "now", "say"]
