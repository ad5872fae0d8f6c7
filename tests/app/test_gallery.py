"""The gallery shows every page that there is."""

from __future__ import annotations

from pathlib import Path

import gallery

import survey.app.pages


def test_every_page_has_a_place_in_the_gallery() -> None:
    pages = {path.stem for path in Path(survey.app.pages.__file__).parent.glob("[a-z]*.py")}
    assert {place.page for place in gallery.PLACES} == pages


def test_a_page_is_rendered_at_three_sizes_by_day_and_by_night(tmp_path: Path) -> None:
    gallery.render(tmp_path, ("jobs",))
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == sorted(
        f"jobs-{size}-{theme}.png"
        for size in ("360x640", "412x915", "800x1280")
        for theme in ("day", "night")
    )
