"""Measure: the plan of what is known, and the walk: what to read, what was read, what is in doubt."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleboxlayout import RecycleBoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.keyboard import ENTER, PAD_ENTER, TAB
from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.plain import Pressable
from survey.app.typed import Asked, refusal, typed_letter, typeset
from survey.app.wedge import Sent, Wedge, understood
from survey.app.widgets import picture as _picture  # noqa: F401  the rules name it
from survey.app.widgets.sheet import choose
from survey.app.widgets.wrapped import wrapped_height
from survey.errors import SurveyError
from survey.quantity import read_step

if TYPE_CHECKING:
    from survey.app.measure_list import Item, MeasureList
    from survey.app.visit import Visit
    from survey.drawing import LaidOut

TYPED_FOR = 30.0
"""Seconds after which what was typed without a reading open is forgotten."""
TIMES = 10.0
"""How much larger what is out of true is drawn on request."""
LEAST_PLAN = 120
"""dp: a plan lower than this tells nothing, and leaves its place to the list."""
LEAST_LIST = 200
"""dp that the list keeps before the plan gets any."""
LEAST_ROWS = 90
"""dp that the list keeps before a line of doubt above it gets any."""
PAPER = 2.8
"""dp for a mm of the plan's paper, at which its letters are as large as quiet words."""
PLAN_BESIDE = 0.85
"""How wide the plan is beside the list, in widths of that."""
LONGEST_NAME = 0.22
"""Of the page's height: a name that would be higher on the main key is left to the list."""
ABOVE_NEXT = 0.25
"""Of the list's height: how far from its top the next reading stands, so that the one before is seen."""


class WalkRow(RecycleDataViewBehavior, Pressable, BoxLayout):
    """A reading in the list: a sign and a word for its state, its name, its value."""

    item = ObjectProperty(None, rebind=True)
    words = StringProperty()
    quiet = StringProperty()
    value = StringProperty()
    sign = StringProperty("missing")
    is_next = BooleanProperty(False)


class WallRow(RecycleDataViewBehavior, Pressable, BoxLayout):
    """A wall's heading in the list; a tap shows the wall."""

    item = ObjectProperty(None)
    words = StringProperty()
    leads = BooleanProperty(True)


class WalkRows(RecycleBoxLayout):
    """The rows that are on the screen."""

    reads_from_top = True


class WalkView(RecycleView):
    """The list; rows of any height, of which only those on the screen are made."""

    scroll_y: float

    def scroll_to(self, widget: Any, padding: float = 10.0, animate: bool = True) -> None:
        """Scroll so that a row is seen, and a little of the one beyond it, so that the keyboard goes on."""
        rows = self.children[0]
        room, more = rows.height - self.height, dp(24)
        if room > 0:
            low = self.scroll_y * room
            low = max(min(low, widget.y - more), widget.top + more - self.height)
            self.scroll_y = min(max(low / room, 0.0), 1.0)


class NextKey(Pressable, BoxLayout):
    """The main key: what to read next."""

    words = StringProperty()
    name = StringProperty()


class DoubtRow(Pressable, BoxLayout):
    """What the readings say against one another, or which one more would help.

    It takes no room unless it `is_there`; `needed` is how high it would be.
    """

    is_there = BooleanProperty(True)
    needed = NumericProperty(0)
    words = StringProperty()
    sign = StringProperty("on")
    is_alert = BooleanProperty(False)


class MeasurePage(Page):
    """The plan and the walk. What costs time is worked out beside the screen and kept for the next visit."""

    title = "Measure"
    place = "measure"
    is_wide = BooleanProperty(False)
    is_large = BooleanProperty(False)
    """Whether the plan has the whole page."""
    is_plan_away = BooleanProperty(False)
    """Whether there is no room for the plan beside the list."""
    is_exaggerated = BooleanProperty(False)
    typed = StringProperty()

    seen: ClassVar[tuple[str, MeasureList, LaidOut | None] | None] = None
    """What was shown last, and of which file: shown again until it is worked out anew."""

    def shown(self) -> None:
        """Show what is known; where the next reading is, unless the person had gone elsewhere."""
        self._list: MeasureList | None = None
        self._wedge = Wedge()
        self._raw = ""
        self._forget = Clock.create_trigger(self._drop_typed, TYPED_FOR)
        self._asked: dict[str, int] = {}
        self._is_placed = False
        self._heights_of: tuple[object, ...] = ()
        self.ids.walk.bind(width=lambda *_: self._fill())
        # Parts that are taken off the page for a while are kept here.
        names = ("nothing", "body", "plan_part", "walk_part", "progress", "plan_key")
        self._nothing, self._body, self._plan_part, self._walk_part, self._progress, self._plan_key = (
            self.ids[name].__self__ for name in names
        )
        turn_soon = Clock.create_trigger(self._turn)
        self.bind(size=self._turn, is_large=self._turn)
        for name in ("foot_keys", "head"):
            self.ids[name].bind(height=turn_soon)
        self.ids.doubt.bind(needed=turn_soon)
        draw_soon = Clock.create_trigger(lambda _: self._draw(), 0.1)
        self.ids.plan.bind(on_pick=lambda _, record: self.pick(record), size=draw_soon)
        for name in ("plan_part", "foot_keys") if look.is_left_handed else ():
            self.ids[name].children = self.ids[name].children[::-1]
        seen = MeasurePage.seen
        if seen is not None and seen[0] == str(self.visit.path):
            self._take_list(seen[1])
            self.ids.plan.laid_out = seen[2]
        self._turn()
        self.refresh()

    def left(self) -> None:
        """Remember how far the list was scrolled, for the way back."""
        stop = next((one for one in self.app.desk.kept.trail if one.page == "measure"), None)
        if stop is not None and self._is_placed:
            stop.given["at"] = f"{self.ids.walk.scroll_y:.4f}"

    def refresh(self) -> None:
        """Work out the list and the plan anew, beside the screen."""
        from survey.records import Room

        survey, report, tools = self.visit.survey, self.app.report, self.app.desk.settings.tools
        has_place = bool(survey.of(Room))
        _hold(self, [self._body if has_place else self._nothing])
        self._say_doubt()
        if has_place:
            doubted = [one for suspect in report.room.suspects for one in suspect.records] if report else []

            def listed() -> MeasureList:
                from survey.app.measure_list import measure_list

                return measure_list(survey, tools, doubted)

            self._beside("list", listed, self._take_list)
            self._draw()

    @property
    def visit(self) -> Visit:
        """The open job; pages of a place are shown only while there is one."""
        assert self.app.visit is not None
        return self.app.visit

    # The plan

    def exaggerate(self) -> None:
        """Draw what is out of true larger, or as it is."""
        self.is_exaggerated = not self.is_exaggerated
        self._draw()

    def enlarge(self) -> None:
        """Give the plan the whole page, or give it back to the list."""
        self.is_large = not self.is_large

    def pick(self, record: str) -> None:
        """Go where a thing of the plan leads: a wall, what is on it, a piece, a reading in doubt."""
        from survey.records import Corner, Feature, Mark, Piece, Reading, Wall

        match found := self.visit.survey.by_id.get(record):
            case Wall():
                self.app.go("wall_view", wall=found.name)
            case Feature() | Mark():
                self.app.go("wall_view", wall=found.wall)
            case Corner():
                self.app.go("wall_view", wall=found.right_wall)
            case Piece():
                self.app.go("piece", record=found.id)
            case Reading():
                self.app.go("doubts")

    def _draw(self) -> None:
        if self.parent is None or self.app.visit is None:
            return  # asked for a moment ago, and the page is gone
        survey, report, times = self.visit.survey, self.app.report, TIMES if self.is_exaggerated else 1.0
        plan = self.ids.plan
        sheet = plan.width / dp(PAPER), plan.height / dp(PAPER)
        if self._plan_part.parent is None or min(sheet) < LEAST_PLAN / PAPER / 2:
            return

        def drawn() -> LaidOut | None:
            from survey.drawing import DrawingError
            from survey.drawing.room_view import SHEET, room_picture

            # Where the words do not fit the screen's size, they are shown smaller.
            for size in (sheet, SHEET):
                try:
                    return room_picture(survey, report, times, size)
                except DrawingError:
                    continue
                except SurveyError:
                    break
            return None  # no place that can be drawn: the list says what is missing

        self._beside("plan", drawn, self._take_plan)

    def _take_plan(self, picture: LaidOut | None) -> None:
        if picture != self.ids.plan.laid_out:
            self.ids.plan.laid_out = picture
        self._keep_seen()

    # The walk

    def read_next(self) -> None:
        """Open the next reading; where all is read, go and see what to cut."""
        if self._list is None:
            return
        if self._list.following:
            self.app.go("entry", line=self._list.following)
        elif self._list.asked:
            self.app.go_to_place("fit")
        else:
            self.another()

    def tap_row(self, item: Item) -> None:
        """Read what is missing; ask what to do with what was read."""
        if not item.taken:
            self.app.go("entry", line=item.line)
            return
        options = [("again", "Read it once more")]
        for number, record in enumerate(item.taken):
            value = item.value.split("\n")[number]
            value += f", reading {number + 1}" if len(item.taken) > 1 else ""
            options += [
                (f"correct {record}", f"Correct {value}"),
                (f"withdraw {record}", f"Take back {value}"),
            ]
        options.append(("remarks", "Notes and photos"))
        choose(item.words, options, lambda what: self._do(what, item))

    def tap_wall(self, item: Item) -> None:
        """Show a wall."""
        if item.wall:
            self.app.go("wall_view", wall=item.wall)

    def more(self) -> None:
        """Offer what is not asked for at every visit."""
        tools = self.app.desk.settings.tools
        other = "laser" if tools == "straightedge" else "straightedge"
        acts: dict[str, tuple[str, Callable[[], None]]] = {
            "another": ("Another reading", self.another),
            "wall": ("Look at a wall", self.look_at_wall),
            "plan": ("Plan of the room", self.enlarge),
            "remarks": ("Notes and photos", lambda: self.app.go("remarks", about="")),
            "doubts": ("Doubts and advice", lambda: self.app.go("doubts")),
            "place": ("The place and its walls", lambda: self.app.go("place")),
            "tools": (f"Read with a {other}, not a {tools}", lambda: self._take_tools(other)),
        }
        options = [(name, words) for name, (words, _) in acts.items()]
        choose("More", options, lambda name: acts[name][1]())

    def another(self) -> None:
        """Ask which reading that the walk does not ask for is to be taken, and at which wall."""
        from survey.app.free_reading import KINDS

        def at_a_wall(kind: str) -> None:
            self._choose_wall(lambda wall: self.app.go("entry", kind=kind, wall=wall))

        def chosen(kind: str) -> None:
            self.app.go("entry", kind=kind) if kind == "tool" else at_a_wall(kind)

        options = [(kind, words[:1].upper() + words[1:]) for kind, words in KINDS.items()]
        choose("Another reading", options, chosen)

    def look_at_wall(self) -> None:
        """Ask which wall is to be shown."""
        self._choose_wall(lambda wall: self.app.go("wall_view", wall=wall))

    def _choose_wall(self, chosen: Callable[[str], None]) -> None:
        from survey.records import Wall

        walls = [wall.name for wall in self.visit.survey.of(Wall)]
        if len(walls) == 1:
            chosen(walls[0])
        else:
            choose("At which wall?", [(name, f"Wall {name}") for name in walls], chosen)

    def _do(self, what: str, item: Item) -> None:
        act, _, record = what.partition(" ")
        if act == "again":
            self.app.go("entry", record=item.taken[-1], how="repeat")
        elif act == "correct":
            self.app.go("entry", record=record, how="correct")
        elif act == "remarks":
            self.app.go("remarks", about=item.taken[-1])
        else:
            try:
                self.visit.withdraw(self.visit.survey.by_id[record])
            except SurveyError as error:
                self.app.tell(str(error))
            else:
                self.app.tell("Taken back.", undoes=True)

    def _take_tools(self, tools: Any) -> None:
        self.app.desk.settings.tools = tools
        self.app.desk.keep()
        self.refresh()

    def _take_list(self, listed: MeasureList) -> None:
        self._list = listed
        self.ids.progress.text = listed.progress
        self._name_next()
        self._fill()
        self._keep_seen()

    def _name_next(self) -> None:
        """Say on the main key what it does; a long name is left to the list where letters are large."""
        listed, key = self._list, self.ids.next
        if listed is None:
            return
        if listed.following:
            name = next(item.words for item in listed.items if item.line == listed.following)
            key.words, key.name = "Read next", name
        elif listed.asked:
            key.words, key.name = "All is read", "See what to cut"
        else:
            key.words, key.name = "No walk yet", "Another reading"
        high = wrapped_height(key.name, look.body, max(key.width, dp(160)) - dp(28), bold=True)
        if high > LONGEST_NAME * self.height:
            key.words, key.name = "", "Read next" if listed.following else key.name

    def _fill(self) -> None:
        """Give the list its rows, each as high as its words need; nothing where none changed."""
        listed, walk = self._list, self.ids.walk
        inks = (look.body, look.small, look.lead)
        if listed is None or walk.width < dp(100) or self._heights_of == (id(listed), walk.width, *inks):
            return
        self._heights_of = (id(listed), walk.width, *inks)
        data = [_row_data(item, walk.width, listed.following) for item in listed.items]
        if data != walk.data:
            at = walk.scroll_y
            walk.data = data
            walk.scroll_y = at
        if not self._is_placed:
            Clock.schedule_once(lambda _: self._place_list())

    def _place_list(self) -> None:
        """Scroll to where the person was, or to the reading that comes next."""
        walk = self.ids.walk
        room = sum(row["height"] for row in walk.data) - walk.height
        self._is_placed = True
        if "at" in self.given:
            walk.scroll_y = float(self.given["at"])
            return
        before = 0.0
        for row in walk.data:
            if row.get("is_next"):
                break
            before += row["height"]
        else:
            before = 0.0
        walk.scroll_y = (
            1.0 if room <= 0 else 1.0 - min(max((before - ABOVE_NEXT * walk.height) / room, 0.0), 1.0)
        )

    # Doubt

    def _say_doubt(self) -> None:
        """Say quietly when readings disagree, or when one more would help much."""
        banner, report = self.ids.doubt, self.app.report
        banner.words = ""
        if report is None:
            return
        if report.room.suspects:
            several = len(report.room.suspects) > 1 or len(report.room.suspects[0].records) > 1
            banner.words = "Some readings cannot all be true" if several else "One reading cannot be true"
            banner.sign, banner.is_alert = "in doubt", True
        elif report.room.next_readings:
            banner.words = f"One more would help: {report.room.next_readings[0].name}"
            banner.sign, banner.is_alert = "on", False

    # Keys, and a laser that types like a keyboard

    def key(self, code: int, text: str, mods: list[str]) -> bool:
        """Collect what is typed; Enter opens the next missing reading with it."""
        if mods and set(mods) & {"ctrl", "alt", "meta"}:
            return False
        line = self._wedge.take_key(code, text)
        if code in (ENTER, PAD_ENTER, TAB) and self._raw:
            typed, self._raw, self.typed = self._raw, "", ""
            self._put(typed, line)
            return True
        raw = typed_letter(self._raw, code, text)
        if raw is None or raw == self._raw:
            return False
        self._raw, self.typed = raw, typeset(raw)
        self._forget()
        return True

    def _put(self, typed: str, line: str | None) -> None:
        """Open the reading that comes next with what was typed; `line` is the end of it that a device sent.

        Where both can be read all of it counts: a device may be held up half way.
        """
        job = self.visit.survey.job
        if job is None:
            return
        asked = Asked(job.unit, read_step(job.step))
        sent = Sent(typed.strip(), refusal(typed, asked))
        if line is not None:
            laser_unit = self.app.desk.settings.laser_unit
            sent = understood(typed, laser_unit, job.unit)
            sent = understood(line, laser_unit, job.unit) if sent.reason else sent
        if sent.reason:
            self.app.tell(sent.reason)
        elif self._list is not None and self._list.following:
            self.app.go("entry", line=self._list.following, typed=sent.text)
        else:
            self.app.tell("Nothing is waiting for a number. Open a reading, then measure.")

    def _drop_typed(self, *_: object) -> None:
        self._raw, self.typed = "", ""

    # Layout

    def _turn(self, *_: object) -> None:
        """Put plan and list side by side where the page is wide; a plan with no room for it goes."""
        ids = self.ids
        # A message below takes room from the list, not from the plan: that would come and go with it.
        shell = self.app.shell
        tall = self.height + (shell.ids.strip.height if shell is not None else 0)
        self.is_wide = self.width > self.height * 1.1 and self.width > dp(480)
        self._body.orientation = "horizontal" if self.is_wide else "vertical"
        self._plan_part.orientation = "vertical" if self.is_wide else "horizontal"
        keys = ids.plan_keys
        keys.orientation = "horizontal" if self.is_wide else "vertical"
        keys.size_hint_x = 1 if self.is_wide else None
        if not self.is_wide:
            keys.width = max(dp(68), look.small * 4.6)
        self._name_next()
        # Beside very large letters on a small screen the list comes first; More leads to doubts too.
        left = tall - ids.foot_keys.height - dp(16) - ids.head.height - ids.doubt.needed
        ids.doubt.is_there = bool(ids.doubt.words) and left >= dp(LEAST_ROWS)
        room = tall - ids.foot_keys.height - dp(16) - ids.head.height - ids.doubt.height - dp(LEAST_LIST)
        high = min(0.38 * tall, room)
        least = max(dp(LEAST_PLAN), ids.plan_keys.minimum_height + dp(8))
        has_plan = self.is_large or self.is_wide or high >= least
        parts = [self._plan_part] if has_plan else []
        _hold(self._body, parts if self.is_large else [*parts, self._walk_part])
        self.is_plan_away = not has_plan
        _hold(ids.head, [self._progress] if has_plan else [self._progress, self._plan_key])
        if self.is_large:
            self._plan_part.size_hint = 1, 1
        elif self.is_wide:
            self._plan_part.size_hint = PLAN_BESIDE, 1
        else:
            self._plan_part.size_hint, self._plan_part.height = (1, None), high

    def back(self) -> bool:
        """Forget what is half typed; make a large plan small again."""
        if self._raw:
            self._drop_typed()
            return True
        if self.is_large:
            self.is_large = False
            return True
        return False

    # Work beside the screen

    def _beside(self, what: str, work: Callable[[], Any], take: Callable[[Any], None]) -> None:
        """Work beside the screen; only the latest of its kind is taken, and only while the page is shown."""
        ticket = self._asked.get(what, 0) + 1
        self._asked[what] = ticket

        def done(answer: Any) -> None:
            if self._asked[what] == ticket and self.parent is not None:
                take(answer)

        beside(self.app, work, done)

    def _keep_seen(self) -> None:
        if self._list is not None:
            MeasurePage.seen = (str(self.visit.path), self._list, self.ids.plan.laid_out)


def _hold(box: BoxLayout, parts: list[Widget]) -> None:
    """Let a box hold these parts and no others, from the first to the last."""
    if box.children[::-1] != parts:
        box.clear_widgets()
        for part in parts:
            box.add_widget(part)


def _row_data(item: Item, width: float, following: str) -> dict[str, Any]:
    """Return what a row of the list shows, and how high it is; the rules of the `.kv` file say the same."""
    if item.sort == "heading":
        high = max(dp(48), wrapped_height(item.words, look.body, width - dp(64), bold=True) + dp(24))
        return {
            "viewclass": "WallRow",
            "item": item,
            "words": item.words,
            "leads": bool(item.wall),
            "height": high,
        }
    value_width = 0.36 * width if item.value else 0.0
    name_width = width - value_width - dp(16 + 22 + 12 + 12 + 16)
    name = wrapped_height(item.words, look.body, name_width)
    quiet = wrapped_height(item.quiet, look.small, name_width)
    value = wrapped_height(item.value, look.lead, value_width)
    return {
        "viewclass": "WalkRow", "item": item, "words": item.words, "quiet": item.quiet, "value": item.value,
        "sign": item.state, "is_next": bool(item.line) and item.line == following,
        "height": max(dp(56), name + quiet + dp(20), value + dp(20)),
    }  # fmt: skip


load_kv(__file__)
