"""Arrows point one way: survey -> fitting, and within survey from the command down to the quantities."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# A part may import from parts of lower rank, and from itself.
RANK = {
    "errors": 0,
    "cells": 0,
    "ink": 0,
    "quantity": 1,
    "finding": 1,
    "records": 2,
    "groups": 3,
    "text": 3,
    "file": 3,
    "dictation": 3,
    "tables": 4,
    "samples": 4,
    "shop": 4,
    "intake": 5,
    "observe": 4,
    "report": 5,
    "installed": 6,
    "changes": 6,
    "slips": 2,
    "doubts": 6,
    "walk": 6,
    "drawing": 7,
    "advice": 7,
    "findings": 8,
    "decisions": 8,
    "options": 9,
    "handover": 9,
    "app": 10,
    "cli": 11,
}

OUTSIDE = {"os", "io", "pathlib", "time", "datetime", "socket", "sqlite3", "json", "random", "subprocess"}
"""What would tie a pure computation to files, clocks, networks or luck."""


def modules(package: str) -> list[Path]:
    return sorted((ROOT / package).rglob("*.py"))


def imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: expected absolute imports"
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {str(node.module)}
    return found


def part_of(module: str) -> str | None:
    package, _, rest = module.partition(".")
    part = rest.partition(".")[0]
    return part if package == "survey" and part in RANK else None


def wrong_arrows(part: str, names: set[str]) -> list[str]:
    targets = {target for name in names if (target := part_of(name)) is not None}
    return [target for target in targets if target != part and RANK[target] >= RANK[part]]


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", modules("fitting"), ids=named)
def test_fitting_imports_nothing_of_the_survey_nor_the_world(path: Path) -> None:
    tops = {name.partition(".")[0] for name in imported(path)}
    assert not tops & ({"survey", "kivy", "plyer", "click", "ezdxf", "reportlab"} | OUTSIDE)


@pytest.mark.parametrize(
    "path",
    [path for path in modules("survey") if path.parent != ROOT / "survey" or path.stem in RANK],
    ids=named,
)
def test_a_part_of_the_survey_imports_only_what_lies_below_it(path: Path) -> None:
    part = path.relative_to(ROOT / "survey").parts[0].removesuffix(".py")
    assert part in RANK, f"give `{part}` its place in RANK"
    assert wrong_arrows(part, imported(path)) == []


def test_every_module_of_the_survey_has_its_place() -> None:
    tops = {path.relative_to(ROOT / "survey").parts[0].removesuffix(".py") for path in modules("survey")}
    assert tops - {"__init__"} <= set(RANK)


def test_a_wrong_arrow_would_be_seen() -> None:
    assert wrong_arrows("records", {"survey.report.make", "survey.quantity"}) == ["report"]
    assert part_of("fitting.site") is None


def test_no_two_widgets_of_the_app_share_a_name() -> None:
    """A rule of a `.kv` file finds its widget by the class's name alone: of two, the one loaded last."""
    names = [
        node.name
        for path in modules("survey")
        if "app" in path.parts and "kivy" in path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef)
    ]
    assert "Column" in names
    assert [name for name in names if names.count(name) > 1] == []
