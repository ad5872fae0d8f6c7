"""The app by keyboard: a ring that goes from one thing to the next, and what is pressed by Enter.

Kivy's own focus would call up a phone's keyboard, so the ring is ours. Keys: Tab and Shift-Tab go on and
back, Enter and Space press what is ringed. Nothing is ringed until Tab is used.
"""

from __future__ import annotations

from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from survey.app.plain import Pressable

TAB, ENTER, PAD_ENTER, SPACE, ESCAPE, BACKSPACE = 9, 13, 271, 32, 27, 8


class Ring:
    """The ring around the thing that Enter presses."""

    def __init__(self, root: Widget) -> None:
        """Look for things below `root`."""
        self._root = root
        self._ringed: Pressable | None = None

    def clear(self) -> None:
        """Take the ring away."""
        if self._ringed is not None:
            self._ringed.is_ringed = False
            self._ringed = None

    def go(self, step: int) -> None:
        """Ring the next (1) or the last (-1) thing, from top to bottom; round at the ends."""
        things = list(pressables(self._root))
        if not things:
            return
        at = things.index(self._ringed) if self._ringed in things else (-1 if step > 0 else 0)
        self.clear()
        self._ringed = things[(at + step) % len(things)]
        self._ringed.is_ringed = True
        scroll_to(self._ringed)

    def press(self) -> bool:
        """Press what is ringed; False where nothing is, or it is gone."""
        if self._ringed is None or self._ringed.get_root_window() is None:
            return False
        self._ringed.press()
        return True


def pressables(root: Widget) -> list[Pressable]:
    """Return what can be pressed now, in the order in which it is read."""
    found = []
    # A list that makes only the rows on the screen keeps them in no order.
    rows = getattr(root, "reads_from_top", False)
    for child in sorted(root.children, key=lambda row: -row.top) if rows else reversed(root.children):
        if child.disabled or child.opacity == 0 or child.height <= 0 or child.width <= 0:
            continue
        if isinstance(child, Pressable):
            found.append(child)
        found += pressables(child)
    return found


def scroll_to(thing: Widget, animate: bool = True) -> None:
    """Scroll so that a thing can be seen.

    What has room enough stays: Kivy would push it to the foot, from where it swings back for seconds.
    """
    parent = thing.parent
    while parent is not None and parent is not parent.parent:
        if isinstance(parent, ScrollView) and parent.children[0].height > parent.height:
            parent.scroll_to(thing, animate=animate)
        parent = parent.parent
