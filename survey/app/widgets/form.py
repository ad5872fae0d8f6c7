"""Rows of a form: what is asked on the left, the answer on the right, a tap to change it."""

from __future__ import annotations

from kivy.properties import BooleanProperty, StringProperty

from survey.app.page import load_kv
from survey.app.plain import Row


class FormRow(Row):
    """`words` ask, `answer` is what was said; an empty one that `is_needed` says so in words."""

    words = StringProperty()
    answer = StringProperty()
    is_needed = BooleanProperty(False)
    hint = StringProperty()


load_kv(__file__)
