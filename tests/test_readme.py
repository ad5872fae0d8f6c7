"""The README's tour is run as it stands, and its commands are the ones that everybody uses."""

import re
import shlex
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from survey.cli import main
from survey.dictation import dictate
from survey.findings import fit
from survey.handover.piece_svg import piece_svg
from survey.records import Survey

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCED = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
RECORD_ID = re.compile(r"\b[0-9a-f]{8}\b")


def blocks(language: str) -> list[str]:
    return [body for name, body in FENCED.findall(README) if name == language]


def steps() -> list[tuple[str, str]]:
    """Every command of the tour with the output that the README shows."""
    found = []
    for block in blocks("console"):
        for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, output = part.partition("\n")
            found.append((command, output))
    return found


def pattern_of(shown: str) -> re.Pattern[str]:
    """What the output must look like: ids are random, and `...` stands for any lines."""
    lines = []
    for line in shown.splitlines():
        lines.append(r"(?:.*\n)*?" if line == "..." else re.escape(RECORD_ID.sub("ID", line)) + r"\n")
    return re.compile("".join(lines))


def test_the_tour_prints_what_the_readme_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (notes,) = blocks("notes")
    Path("notes.txt").write_text(notes, encoding="utf-8")
    for command, shown in steps():
        name, *arguments = shlex.split(command)
        assert name == "scribefit"
        ran = CliRunner().invoke(main, arguments, prog_name="scribefit")
        printed = RECORD_ID.sub("ID", ran.output)
        printed = printed if printed.endswith("\n") else printed + "\n"
        assert pattern_of(shown).fullmatch(printed), f"$ {command}\n{printed}"
    assert len(list(Path("cut").glob("cut-list_r*.csv"))) == 1


def test_the_pattern_of_an_output_can_fail() -> None:
    assert pattern_of("a\n...\nc\n").fullmatch("a\nb\nb\nc\n")
    assert not pattern_of("a\n...\nc\n").fullmatch("a\nb\n")
    assert not pattern_of("a\n").fullmatch("b\n")


def test_the_readme_names_the_commands_for_a_fresh_machine() -> None:
    demo, tests = blocks("sh")
    assert "scribefit demo corner-vanity handover" in demo
    assert "pytest" in tests
    assert "<!-- tests -->\n```sh\n" + tests in README


@pytest.mark.parametrize("link", re.findall(r"\]\(([^)#]+)\)", README))
def test_what_the_readme_links_to_is_there(link: str) -> None:
    assert link.startswith("https://") or (ROOT / link).exists()


def test_the_picture_shows_the_sample_as_it_comes_out_today() -> None:
    notes = (ROOT / "sample_surveys" / "corner-vanity" / "notes.txt").read_text(encoding="utf-8")
    report = fit(Survey(dictate(notes.splitlines(), Survey([]))))
    (top,) = [piece for piece in report.pieces if piece.name == "vanity-top"]
    shown = (ROOT / "assets" / "pictures" / "corner-top.svg").read_text(encoding="utf-8")
    assert words_of(shown) == words_of(piece_svg(top, report.unit))


def words_of(svg: str) -> list[str]:
    words = ["".join(text.itertext()) for text in ElementTree.fromstring(svg).findall(".//{*}text")]
    assert len(words) > 10
    return words
