"""Notes and photos of a wall, a thing or a reading; without one of these, of the whole job."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.image import Image as Picture
from kivy.graphics import Color, Fbo, Rectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.image import Image as _Image  # noqa: F401  the rules name it
from msgspec.structs import replace

from survey.app.page import Page, load_kv
from survey.app.plain import Key, Row
from survey.app.widgets import glyph as _glyph  # noqa: F401  the rules name it
from survey.app.widgets import key_grid as _key_grid  # noqa: F401
from survey.app.widgets.sheet import ask_words, choose
from survey.errors import SurveyError
from survey.records import Note, Photo, Reading
from survey.walk import what_is_read

MEDIA: Final = {
    ".jpg": "jpeg", ".jpeg": "jpeg", ".png": "png", ".webp": "webp", ".gif": "gif", ".bmp": "bmp",
}  # fmt: skip
"""What a photo's file holds, by how its name ends."""
SMALL: Final = 72
"""dp: a photo's longer side in the list."""


class RemarkRow(Row):
    """A note or a photo, with what it is about and when it was put down."""

    words = StringProperty()
    quiet = StringProperty()
    is_photo = BooleanProperty(False)
    texture = ObjectProperty(None, allownone=True)
    photo: Photo | None = None


class RemarksPage(Page):
    """Given `about`, the name of a thing or the id of a reading; `photo`, the id of one to show large."""

    title = StringProperty("Notes")
    place = "measure"
    about = StringProperty()
    is_empty = BooleanProperty(True)
    is_large = BooleanProperty(False)
    large = ObjectProperty(None, allownone=True)
    large_told = StringProperty()

    def shown(self) -> None:
        """List them, or show the one."""
        self._small: dict[str, Any] = {}
        self._shown: tuple[str, ...] | None = None
        self._waiting: list[RemarkRow] = []
        self._next = Clock.create_trigger(self._load_one, 0.02)
        self.is_large = bool(self.given.get("photo"))
        self._offer()
        self.refresh()

    def left(self) -> None:
        """Load nothing more."""
        self._next.cancel()

    def refresh(self) -> None:
        """List what is about it now; what is listed already stays as it is."""
        self.about = about_words(self._visit, self.given.get("about", ""))
        if self.is_large:
            self._show_large()
            return
        remarks = self._remarks()
        ids = tuple(one.id for one in remarks)
        if ids == self._shown:
            return
        self._shown, self.is_empty = ids, not ids
        rows = [self._row(one) for one in remarks]
        self.ids.rows.clear_widgets()
        for row in rows:
            self.ids.rows.add_widget(row)
        self._waiting = [row for row in rows if row.is_photo and row.texture is None]
        self._next()

    # What the keys do

    def add_note(self) -> None:
        """Let the person write a note."""
        ask_words("A note", self._keep_note, is_long=True)

    def add_photo(self) -> None:
        """Let the person take or choose a photo."""
        self.app.platform.choose_photo(self.keep_photo)

    def keep_photo(self, path: Path) -> None:
        """Keep a photo from its file in the survey."""
        media = MEDIA.get(path.suffix.lower())
        if media is None:
            self.app.tell(f"Expected a photo ({', '.join(MEDIA)}), got {path.name}: choose another.")
            return
        try:
            name = self._visit.add_photo(path.read_bytes())
            self._visit.put(
                Photo(**self._visit.stamp(), about=self._name, sha256=name, media_type=f"image/{media}")
            )
        except SurveyError as error:
            self.app.tell(str(error))
        except OSError as error:
            self.app.tell(f"{path.name} cannot be read: {error.strerror or error}. Choose another.")
        else:
            self.app.tell("Photo kept.", undoes=True)

    def say_of_photo(self) -> None:
        """Let the person write what the photo shows."""
        photo = self._visit.standing(self.given["photo"])
        if isinstance(photo, Photo):
            title = "What it shows"
            ask_words(title, lambda text: self._correct(photo, replace(photo, note=text)), text=photo.note)

    def take_photo_back(self) -> None:
        """Take the photo that is shown back."""
        photo = self._visit.standing(self.given["photo"])
        if isinstance(photo, Photo):
            self._take_back(photo)
            self.app.back()

    # Within

    @property
    def _visit(self) -> Any:
        assert self.app.visit is not None
        return self.app.visit

    @property
    def _name(self) -> str | None:
        return self.given.get("about") or None

    def _offer(self) -> None:
        """Put the keys there that go with the list, or with the photo."""
        offered: list[tuple[str, Callable[[], None], bool]] = (
            [("What it shows", self.say_of_photo, True), ("Take it back", self.take_photo_back, False)]
            if self.is_large
            else [("Add a photo", self.add_photo, True), ("Add a note", self.add_note, False)]
        )
        for words, act, is_main in offered:
            key = Key(text=words, is_main=is_main)
            key.bind(on_release=lambda _, act=act: act())
            self.ids.offered.add_widget(key)

    def _remarks(self) -> list[Note | Photo]:
        """Return what is about this, the newest first; of the job, everything."""
        found: tuple[Note | Photo, ...] = self._visit.survey.of(Note, Photo)
        name = self._name
        mine = [one for one in found if name is None or (one.about or "").partition(":")[0] == name]
        return mine[::-1]

    def _row(self, one: Note | Photo) -> RemarkRow:
        about = "" if self._name is not None or not one.about else about_words(self._visit, one.about)
        when = f"{one.taken.astimezone():%d %b %Y, %H:%M}"
        told = " · ".join(part for part in (about, when, one.person) if part)
        is_photo = isinstance(one, Photo)
        words = one.note if isinstance(one, Photo) else one.text
        row = RemarkRow(words=words, quiet=told, is_photo=is_photo)
        if isinstance(one, Photo):
            row.photo = one
            row.texture = self._small.get(one.sha256)
        row.bind(on_release=lambda _: self._open(one))
        return row

    def _open(self, one: Note | Photo) -> None:
        if isinstance(one, Photo):
            self.app.go("remarks", about=self.given.get("about", ""), photo=one.id)
            return
        options = [("change", "Change it"), ("back", "Take it back")]
        choose("This note", options, lambda what: self._change(one, what))

    def _change(self, note: Note, what: str) -> None:
        if what == "back":
            self._take_back(note)
        else:
            ask_words("A note", lambda text: self._keep_note(text, note), text=note.text, is_long=True)

    def _keep_note(self, text: str, instead_of: Note | None = None) -> None:
        if not text:
            return
        if instead_of is not None:
            self._correct(instead_of, replace(instead_of, text=text))
            return
        try:
            self._visit.put(Note(**self._visit.stamp(), about=self._name, text=text))
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            self.app.tell("Note kept.", undoes=True)

    def _correct(self, old: Note | Photo, new: Note | Photo) -> None:
        if new == old:
            return
        try:
            self._visit.correct(old, new)
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            self.app.tell("Changed.", undoes=True)

    def _take_back(self, one: Note | Photo) -> None:
        try:
            self._visit.withdraw(one)
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            self.app.tell("Taken back.", undoes=True)

    def _show_large(self) -> None:
        photo = self._visit.standing(self.given["photo"])
        if not isinstance(photo, Photo):
            self.large, self.large_told = None, "This photo was taken back."
            return
        self.large_told = photo.note or about_words(self._visit, photo.about or "")
        try:
            self.large = _decoded(self._visit.photo(photo.sha256), photo.media_type)
        except SurveyError as error:
            self.large, self.large_told = None, str(error)

    def _load_one(self, *_: object) -> None:
        """Make one photo small after the other, each in a frame of its own."""
        if not self._waiting or self.app.visit is None or self.get_root_window() is None:
            return
        row = self._waiting.pop(0)
        photo = row.photo
        assert photo is not None
        try:
            texture = _decoded(self._visit.photo(photo.sha256), photo.media_type)
        except SurveyError as error:
            row.words = str(error)
        else:
            if texture is None:
                row.words = "This photo cannot be shown on this device; it is kept."
            else:
                row.texture = self._small[photo.sha256] = _shrunk(texture)
        self._next()


def about_words(visit: Any, about: str) -> str:
    """Say what a note is about: a thing's name, or what a reading reads."""
    if not about:
        return "the whole job"
    record = visit.standing(about) if about in visit.survey.by_id else None
    return (what_is_read(record) or "a reading") if isinstance(record, Reading) else about


def _decoded(content: bytes, media_type: str) -> Any:
    """Return a photo's texture; nothing where this device cannot read the kind of file."""
    try:
        return Picture(BytesIO(content), ext=media_type.removeprefix("image/").replace("jpeg", "jpg")).texture
    except Exception:  # the decoders of each system raise what they like
        return None


def _shrunk(texture: Any) -> Any:
    """Return a small copy of a texture, so that a list of photos does not fill the memory."""
    longest = max(texture.size)
    share = min(dp(SMALL) * 2 / longest, 1.0)
    size = (max(round(texture.width * share), 1), max(round(texture.height * share), 1))
    fbo = Fbo(size=size)
    with fbo:
        Color(1, 1, 1, 1)
        Rectangle(texture=texture, size=size)
    fbo.draw()
    return fbo.texture


load_kv(__file__)
