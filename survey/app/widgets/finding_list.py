"""Findings one below the other, the gravest first, each with a key that goes to where it is settled."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.leads import Lead, lead
from survey.app.page import load_kv
from survey.app.plain import Heading
from survey.app.walk_list import Row
from survey.drawing.piece_words import plain, typeset
from survey.finding import Finding
from survey.records import Survey

Told = tuple[str, str, bool, Lead | None]


class FindingPart(BoxLayout):
    """What is the matter, what to do about it, and the words of the key; none where nothing leads on."""

    says = StringProperty()
    advice = StringProperty()
    key_words = StringProperty()
    stops = BooleanProperty(False)


class FindingList(BoxLayout):
    """Shows findings below a heading; no height without any."""

    def show(
        self,
        findings: Iterable[Finding],
        survey: Survey,
        rows: Iterable[Row],
        go: Callable[[Lead], None],
        here: str = "",
    ) -> None:
        """Show findings; `rows` are the walk, `here` is the piece that is open, `go` follows a key.

        Where several lead to one place, the first has the key.
        """
        rows, told = tuple(rows), []
        ways: list[Lead] = []
        for found in findings:
            way = lead(found, survey, rows, here)
            if way in ways:
                way = None
            ways += [way] if way is not None else []
            told.append((_sentence(found.says), _sentence(found.do), found.severity == "stops", way))
        if told != getattr(self, "_told", None):
            self._told = told
            self._fill(told, go)

    def _fill(self, told: list[Told], go: Callable[[Lead], None]) -> None:
        self.clear_widgets()
        if told:
            stops = any(one[2] for one in told)
            self.add_widget(Heading(text="What stands in the way" if stops else "What to know"))
        for says, advice, stops, way in told:
            part = FindingPart(says=says, advice=advice, stops=stops, key_words=way.words if way else "")
            if way is not None:
                part.ids.key.bind(on_release=lambda _, way=way: go(way))
            self.add_widget(part)


def _sentence(words: str) -> str:
    words = typeset(plain(words)).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."


load_kv(__file__)
