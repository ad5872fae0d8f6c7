"""Nothing out of a file, nor of a line just typed, commands the terminal that it is printed on."""

from __future__ import annotations

import unicodedata

import pytest
from cli_bench import LINES, new_survey
from click.testing import CliRunner

from survey.cli import main
from survey.cli.screen import visible

ESCAPE = "\x1b[31m"
TURNED = "\u202e"


def printed(*arguments: object) -> str:
    """All that reaches a terminal that knows colours."""
    return CliRunner().invoke(main, [str(one) for one in arguments], color=True).output


@pytest.fixture
def hostile(tmp_path):
    file = new_survey(tmp_path, *LINES, f'note "red {ESCAPE} turned {TURNED} bell \x07"')
    printed("add", file, f'cabinet c width 20 height 30 depth 20 along 9 from m1 material "{ESCAPE}{TURNED}"')
    return file


@pytest.mark.parametrize("command", ["show", "check", "fit"])
def test_what_is_printed_of_a_file_commands_no_terminal(hostile, command):
    output = printed(command, hostile)
    assert r"\x1b[31m\u202e" in output
    assert not {ESCAPE[0], TURNED, "\x07"} & set(output)


@pytest.mark.parametrize("line", [f"wall {ESCAPE}{TURNED}red", f'wall w{TURNED}x note "{ESCAPE}"'])
def test_what_is_said_of_a_line_commands_no_terminal(tmp_path, line):
    output = printed("add", new_survey(tmp_path), line)
    assert r"\u202e" in output
    assert not {ESCAPE[0], TURNED} & set(output)


def test_a_title_commands_no_terminal(tmp_path):
    output = printed("new", tmp_path / "a.survey", "--title", f"Bath {ESCAPE}", "--unit", "mm")
    assert r"Bath \x1b[31m" in output
    assert ESCAPE not in output


@pytest.mark.parametrize("words", ['34 5/16" × ⅜ ±0.5°', "Größe, naïve, 浴室, חדר", "a\n\tb", "📐"])
def test_words_are_printed_as_they_are(words):
    assert visible(words) == words


def test_every_control_and_mark_of_direction_is_written_out():
    """The Unicode categories Cc and Cf, without what words need."""
    everything = [chr(code) for code in range(0x110000) if not 0xD800 <= code < 0xE000]
    hidden = {letter for letter in everything if unicodedata.category(letter) in ("Cc", "Cf")}
    assert {letter for letter in hidden if visible(letter) == letter} == set("\n\t\u200c\u200d")
    assert not set(visible("".join(hidden))) & (hidden - set("\n\t\u200c\u200d"))
