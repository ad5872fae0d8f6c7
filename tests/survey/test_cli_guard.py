"""Help, errors without tracebacks, and what a command loads."""

import subprocess
import sys

import click
import pytest
from cli_bench import LINES, new_survey, run

from survey.cli import main
from survey.cli.showing import show

COMMANDS = sorted(main.commands)


def test_the_commands_are_those_of_the_design():
    assert " ".join(COMMANDS) == (
        "add app changes check demo export fit handover import installed intake new shop show verify walk"
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command):
    result = run(command, "--help")
    assert result.exit_code == 0
    assert f"  scribefit {command} " in result.stdout.split("Example")[1]


@pytest.mark.parametrize("command", ["show", "check", "fit", "export"])
@pytest.mark.parametrize("what", ["missing", "folder", "text", "empty"])
def test_a_file_that_is_no_survey_is_refused_in_words(tmp_path, command, what):
    file = tmp_path / "x.survey"
    {
        "missing": lambda: None,
        "folder": file.mkdir,
        "text": lambda: file.write_text("34 5/16"),
        "empty": lambda: file.write_bytes(b""),
    }[what]()
    result = run(command, file)
    assert result.exit_code == 2
    assert str(file) in result.stderr
    assert "Traceback" not in result.output
    assert "program failed" not in result.stderr


@pytest.mark.parametrize("arguments", [["nosuch"], ["show"], ["show", "--nosuch", "f"], ["new", "x.survey"]])
def test_a_wrong_call_is_bad_input(arguments):
    assert run(*arguments).exit_code == 2


def _fail():
    raise KeyError("a slip of ours")


def test_an_error_of_the_program_is_told_calmly(tmp_path, monkeypatch):
    monkeypatch.setattr(show, "callback", lambda **_: _fail())
    result = run("show", tmp_path / "x.survey")
    assert result.exit_code == 3
    assert "Traceback" not in result.output
    assert "it is not your doing" in result.stderr
    assert "--traceback FILE" in result.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("way", ["option", "environment"])
def test_the_details_are_kept_when_asked_for(tmp_path, monkeypatch, way):
    monkeypatch.setattr(show, "callback", lambda **_: _fail())
    log = tmp_path / "log.txt"
    options = ["--traceback", log] if way == "option" else []
    result = run(*options, "show", "x", env={"SCRIBEFIT_TRACEBACK": str(log)} if way == "environment" else {})
    assert "a slip of ours" in log.read_text()
    assert str(log) in result.stderr


def test_a_log_that_cannot_be_written_does_not_hide_the_error(tmp_path, monkeypatch):
    monkeypatch.setattr(show, "callback", lambda **_: _fail())
    result = run("--traceback", tmp_path / "no" / "log.txt", "show", "x")
    assert result.exit_code == 3
    assert "could not be kept" in result.stderr


@pytest.mark.parametrize(
    ("error", "status", "message"),
    [
        (PermissionError(13, "Permission denied", "a.survey"), 2, "a.survey: permission denied"),
        (KeyboardInterrupt(), 130, "Stopped"),
        (click.UsageError("expected that"), 2, "expected that"),
    ],
)
def test_errors_of_the_surroundings_are_told_in_words(monkeypatch, error, status, message):
    def refuse(**_):
        raise error

    monkeypatch.setattr(show, "callback", refuse)
    result = run("show", "x")
    assert result.exit_code == status
    assert message in result.stderr


def loaded_by(*arguments: object) -> set[str]:
    """The top-level modules that a command loads, in a process of its own."""
    code = (
        "import sys\nfrom survey.cli import main\n"
        f"try: main({[str(each) for each in arguments]!r})\n"
        "except SystemExit as end: assert end.code in (0, 1), end.code\n"
        "finally: print('\\nLOADED', *{name.split('.')[0] for name in sys.modules})"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split("LOADED")[1].split())


def test_help_loads_click_alone(tmp_path):
    assert not {"msgspec", "numpy", "shapely", "sqlite3"} & loaded_by("fit", "--help")


def test_fit_loads_only_what_it_computes_with(tmp_path):
    pytest.importorskip("survey.report.make")
    loaded = loaded_by("fit", new_survey(tmp_path, *LINES))
    assert {"click", "msgspec", "numpy", "sqlite3"} <= loaded
    assert not {"ezdxf", "reportlab", "sqlite_utils", "PIL", "scipy", "kivy"} & loaded
