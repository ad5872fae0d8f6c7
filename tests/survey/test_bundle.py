"""The hand-over as a whole: zip, manifest, the same bytes in every process, nothing half written, preview."""

import errno
import io
import json
import os
import signal
import subprocess
import sys
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest
from cli_bench import run
from msgspec.structs import replace
from PIL import Image
from report_zoo import corner_top, filler, report

from survey.dictation import dictate
from survey.errors import FileError
from survey.file import SurveyFile
from survey.handover import write
from survey.handover.manifest import NAME, read_manifest
from survey.handover.verifying import verify_words
from survey.handover.wanted import Wanted
from survey.handover.write import hand_over
from survey.records import Survey
from survey.samples import sample_survey
from survey.text import survey_hash, write_text

SURVEY = Survey(dictate(['job "Hall bathroom" in inches to 1/16'], Survey([])))
MADE = replace(report(corner_top(), filler()), survey_hash=survey_hash(SURVEY), revision=1)
ROOT = Path(__file__).parents[2]


def names(folder):
    return sorted(one.name for one in folder.iterdir())


def test_a_zip_holds_what_the_folder_holds_in_one_folder_of_its_name(tmp_path):
    files = hand_over(SURVEY, MADE, tmp_path / "cut")
    assert hand_over(SURVEY, MADE, tmp_path / "other.zip") == [tmp_path / "other.zip"]
    with zipfile.ZipFile(tmp_path / "other.zip") as archive:
        assert archive.testzip() is None
        held = {one.filename: archive.read(one) for one in archive.infolist()}
        assert {one.date_time for one in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert held == {f"other/{one.name}": one.read_bytes() for one in files}


def test_the_manifest_lists_every_file_with_its_hash(tmp_path):
    files = hand_over(SURVEY, MADE, tmp_path / "cut")
    manifest = read_manifest((tmp_path / "cut" / NAME).read_bytes(), "here")
    assert (manifest.title, manifest.revision) == ("Hall bathroom", 1)
    assert manifest.survey_hash == survey_hash(SURVEY)
    assert [one.name for one in manifest.files] == [one.name for one in files if one.name != NAME]
    for one in manifest.files:
        content = (tmp_path / "cut" / one.name).read_bytes()
        assert (len(content), sha256(content).hexdigest()) == (one.bytes, one.sha256)
    pieces = {one.piece for one in manifest.files if one.what == "outline"}
    assert pieces == {"vanity-top", "filler-left"}


@pytest.mark.parametrize("target", ["cut", "cut.zip"])
def test_verify_finds_what_was_changed_taken_out_or_put_in(tmp_path, target):
    hand_over(SURVEY, MADE, tmp_path / target)
    title, faults = verify_words(tmp_path / target)
    assert title.startswith("Hall bathroom, revision 1 (")
    assert faults == []
    folder = tmp_path / "cut"
    if target == "cut.zip":
        with zipfile.ZipFile(tmp_path / target) as archive:
            archive.extractall(tmp_path)
    (folder / "cut-list_r0001.csv").write_bytes(b"piece\r\n")
    (folder / "saw-list_r0001.csv").unlink()
    (folder / "mine.txt").write_text("mine")
    if target == "cut.zip":
        with zipfile.ZipFile(tmp_path / "again.zip", "w") as archive:
            for one in folder.iterdir():
                archive.write(one, f"cut/{one.name}")
    result = run("verify", folder if target == "cut" else tmp_path / "again.zip")
    assert result.exit_code == 1
    for told in (
        "changed: cut-list_r0001.csv",
        "missing: saw-list_r0001.csv",
        "not of this hand-over: mine.txt",
    ):
        assert told in result.stdout


def test_verify_refuses_what_was_never_handed_over(tmp_path):
    (tmp_path / "empty").mkdir()
    (tmp_path / "a.txt").write_text("no zip")
    for path in ("empty", "a.txt", "nowhere"):
        result = run("verify", tmp_path / path)
        assert result.exit_code == 2, path
    (tmp_path / "empty" / NAME).write_text('{"format": "scribefit hand-over", "version": 9}')
    assert run("verify", tmp_path / "empty").exit_code == 2


SCRIPT = """
import sys
from pathlib import Path
from survey.findings import fit
from survey.handover.template import TemplateAsked
from survey.handover.tiling import paper_named
from survey.handover.wanted import Wanted
from survey.handover.write import hand_over
from survey.text import read_text
survey, _ = read_text(Path(sys.argv[1]).read_bytes())
asked = (TemplateAsked("vanity-top", paper_named("A4"), "back"),)
hand_over(survey, fit(survey), Path(sys.argv[2]), wanted=Wanted(asked, ("r2000", "r12", "svg"), pages=True))
"""


def test_the_same_survey_gives_the_same_bytes_in_every_process(tmp_path):
    text = tmp_path / "survey.json"
    text.write_bytes(write_text(sample_survey("corner-vanity")))
    for seed in ("1", "2"):
        command = [sys.executable, "-c", SCRIPT, str(text), str(tmp_path / seed / "cut.zip")]
        (tmp_path / seed).mkdir()
        subprocess.run(command, check=True, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed})
    first, second = ((tmp_path / seed / "cut.zip").read_bytes() for seed in ("1", "2"))
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        endings = {one.rpartition(".")[2] for one in archive.namelist()}
    assert endings == {"pdf", "csv", "dxf", "svg", "png", "json"}


@pytest.mark.parametrize("target", ["cut", "cut.zip"])
@pytest.mark.parametrize("at", range(4))
def test_a_disk_that_fills_half_way_leaves_nothing_under_the_name(tmp_path, monkeypatch, target, at):
    made = []

    def full(name, content):
        made.append(name)
        if len(made) > at:
            raise OSError(errno.ENOSPC, "No space left on device")

    kind = "_zip" if target == "cut.zip" else "_folder"
    whole = getattr(write, kind)

    def failing(path):
        from contextlib import contextmanager

        @contextmanager
        def one():
            with whole(path) as put:
                yield lambda name, content: (put(name, content), full(name, content))

        return one()

    monkeypatch.setattr(write, kind, failing)
    with pytest.raises(FileError, match="No space left"):
        hand_over(SURVEY, MADE, tmp_path / target)
    assert len(made) == at + 1
    assert names(tmp_path) == []


def test_a_kill_half_way_leaves_nothing_under_the_name(tmp_path):
    script = (
        "import os, signal, sys; from pathlib import Path; from survey.findings import fit;"
        "from survey.samples import sample_survey; from survey.handover.write import hand_over;"
        "s = sample_survey('corner-vanity');"
        "hand_over(s, fit(s), Path(sys.argv[1]),"
        " lambda what, done, of: os.kill(os.getpid(), signal.SIGKILL) if done == 3 else None)"
    )
    for target in ("cut", "cut.zip"):
        killed = subprocess.run([sys.executable, "-c", script, str(tmp_path / target)], cwd=ROOT, check=False)
        assert killed.returncode == -signal.SIGKILL
        assert not (tmp_path / target).exists()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_says_so(tmp_path):
    (tmp_path / "closed").mkdir(mode=0o500)
    with pytest.raises(FileError, match="could not be written"):
        hand_over(SURVEY, MADE, tmp_path / "closed" / "cut.zip")


def test_a_zip_is_never_written_over_anything(tmp_path):
    (tmp_path / "cut.zip").write_text("mine")
    with pytest.raises(FileError, match="exists already"):
        hand_over(SURVEY, MADE, tmp_path / "cut.zip")
    assert (tmp_path / "cut.zip").read_text() == "mine"
    assert names(tmp_path) == ["cut.zip"]


def test_pages_are_pictures_of_the_book(tmp_path):
    files = hand_over(SURVEY, MADE, tmp_path / "cut", wanted=Wanted(pages=True))
    pages = [one for one in files if one.suffix == ".png"]
    assert [one.name for one in pages][:2] == [
        "job-book_r0001_page-01.png",
        "job-book_r0001_page-02.png",
    ]
    with Image.open(pages[0]) as picture:
        assert picture.size == (round(215.9 / 25.4 * 110), round(279.4 / 25.4 * 110))
        darkest, lightest = picture.getextrema()
        assert darkest < 60
        assert lightest == 255


def test_open_opens_the_book_and_says_when_nothing_can(tmp_path, monkeypatch):
    file = tmp_path / "a.survey"
    SurveyFile.create(file, sample_survey("corner-vanity").records).close()
    opened = []
    monkeypatch.setattr("click.launch", lambda path: opened.append(path) or 0)
    result = run("handover", file, "--to", tmp_path / "cut", "--open", "--json")
    assert result.exit_code == 0
    assert [Path(one).name.startswith("job-book_r") for one in opened] == [True]
    assert opened[0] in json.loads(result.stdout)
    monkeypatch.setattr("click.launch", lambda path: 1)
    result = run("handover", file, "--to", tmp_path / "cut.zip", "--open")
    assert "Nothing on this system opens" in result.stderr
    assert "open it by hand" in result.stderr
