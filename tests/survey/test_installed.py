"""As installed: foretold against came out, what cannot be, and the shop's own figure from record to blank."""

import json

import pytest
from cli_bench import run
from sample_reports import sample_report, survey_of

from survey.dictation import dictate
from survey.file import SurveyFile
from survey.findings import fit
from survey.installed import by_usual_figures, kept, learned, outcome
from survey.records import Survey
from survey.shop import Shop, read_shop


def day(*lines):
    survey = survey_of("corner-vanity")
    return Survey([*survey.records, *dictate(lines, survey)])


@pytest.fixture(scope="module")
def usual():
    return fit(survey_of("corner-vanity"))


def top_of(report):
    return next(one for one in report.pieces if one.name == "vanity-top")


def edge_of(report, name):
    return next(one for one in top_of(report).edges if one.edge == name)


def test_a_depth_is_held_against_the_station_and_between_stations(usual):
    first, second = edge_of(usual, "back").scribe[:2]
    middle = (first.at.mm + second.at.mm) / 2 / 25.4
    survey = day(
        f"installed vanity-top back at {first.at.mm / 25.4:.4f} planed off 3/16",
        f"installed vanity-top back at {middle:.4f} planed off 5/16",
        "installed vanity-top left planed off 1/4",
    )
    at_station, between, deepest = top_of(fit(survey)).installed
    assert at_station.foretold.mm == pytest.approx(first.depth.mm, abs=0.01)
    assert between.foretold.mm == pytest.approx((first.depth.mm + second.depth.mm) / 2, abs=0.01)
    assert deepest.foretold.mm == max(one.depth.mm for one in edge_of(usual, "left").scribe)
    assert at_station.came_out.text == "3/16 in"
    assert at_station.sd_mm > first.sd_mm > 0


def test_what_came_out_never_changes_what_was_foretold(usual):
    after = fit(day("installed vanity-top back planed off 1"))
    assert top_of(after).edges == top_of(usual).edges
    assert top_of(after).blank == top_of(usual).blank


@pytest.mark.parametrize(
    ("line", "number", "says"),
    [
        ("installed nope back planed off 1/4", 610, "piece `nope`"),
        ("installed vanity-top front planed off 1/4", 610, "the front edge of `vanity-top`"),
        ("installed vanity-top back at 90 planed off 1/4", 611, "90 in"),
        ("installed vanity-top back planed off 2", 612, "vanity-top"),
    ],
)
def test_what_cannot_be_or_looks_like_a_slip_is_said(line, number, says):
    found = [one for one in fit(day(line)).findings if 610 <= one.number < 620]
    assert [one.number for one in found] == [number]
    assert says in found[0].says


def test_without_the_record_nothing_changes_and_with_it_blanks_are_larger(usual):
    plain = fit(day("note nothing about readings"))
    assert [one.blank for one in plain.pieces] == [one.blank for one in usual.pieces]
    wider = fit(day("experience factor 2 jobs 20 edges 80"))
    (said,) = [one.says for one in wider.findings if one.number == 613]
    assert "2 times as unsure as usual" in said
    for before, after in zip(usual.pieces, wider.pieces, strict=True):
        for edge, other in zip(before.edges, after.edges, strict=True):
            if edge.allowance is not None:
                assert other.allowance.unknown.mm > 1.2 * edge.allowance.unknown.mm
    assert fit(day("experience factor 1 jobs 20 edges 80")).pieces == fit(day("note a")).pieces


def test_a_typed_sd_stays_what_its_person_said():
    from survey.observe import observe

    said = survey_of("corner-vanity")
    own = dictate(["length left-back to m1 up 40 reads 60 sd 1/16"], said)
    bare = Survey([*said.records, *own])
    with_it = Survey([*bare.records, *dictate(["experience factor 2 jobs 20 edges 80"], bare)])
    (a,), (b,) = (
        [one for one in observe(survey).readings if one.key == own[0].id] for survey in (bare, with_it)
    )
    others = [
        (x.deviation, y.deviation)
        for x, y in zip(observe(bare).readings, observe(with_it).readings, strict=True)
        if hasattr(x, "deviation") and x.key != own[0].id
    ]
    assert a.deviation == b.deviation
    assert others
    assert all(y == pytest.approx(2 * x) for x, y in others)


def test_a_job_counts_once_and_a_factor_is_not_learned_on_top_of_itself():
    survey = day(
        "installed vanity-top back at 12 planed off 5/16", "installed vanity-top left planed off 1/4"
    )
    job = outcome(survey, fit(survey))
    assert job is not None
    shop = kept(kept(Shop(), job), job)
    assert len(shop.jobs) == 1
    assert learned(shop.jobs).verdict == "too few"
    more = Survey([*survey.records, *dictate(["experience factor 2 jobs 20 edges 80"], survey)])
    usual = by_usual_figures(more)
    assert outcome(usual, fit(usual)) == job


def test_a_job_with_a_corrected_title_is_the_same_job():
    survey = day("installed vanity-top back at 12 planed off 5/16")
    job = survey.job
    assert job is not None
    title = dictate([f'correct {job.id}: job "Another title" in inches to 1/16 level line 36'], survey)
    later = Survey([*survey.records, *title])
    first, second = (outcome(one, fit(one)) for one in (survey, later))
    assert first is not None
    assert second is not None
    assert (first.job, second.title) == (second.job, "Another title")


def test_a_shim_under_a_loose_base_is_held_against_the_one_foretold_for_its_corner():
    (press,) = (one for one in sample_report("study-niche").pieces if one.name == "press")
    (told,) = press.installed
    foretold = {one.name: one.size for one in press.measures}["shim under the loose base at the left front"]
    assert (told.edge, told.what, told.foretold) == ("left front", "shim", foretold)
    assert told.came_out.mm == 2


def test_a_shim_where_none_can_be_is_said():
    found = [one.number for one in fit(day("installed vanity-top nowhere shim 1/8")).findings]
    assert 610 in found


def test_the_commands_print_learn_and_say_what_is_lacking(tmp_path):
    file, shop = tmp_path / "a.survey", tmp_path / "shop" / "shop.json"
    SurveyFile.create(file, day("installed vanity-top back at 12 planed off 5/16").records).close()
    result = run("installed", file, "--learn", "--shop", shop)
    assert result.exit_code == 0
    assert "back edge at 12 in: planed off 5/16 in, foretold" in result.stdout
    assert "11 more jobs are needed" in result.stdout
    assert len(read_shop(shop).jobs) == 1
    assert "One job so far" in run("shop", "--shop", shop).stdout
    told = json.loads(run("installed", file, "--json", "--shop", shop).stdout)
    assert told["vanity-top"][0]["what"] == "planed off"
    empty = tmp_path / "b.survey"
    SurveyFile.create(empty, survey_of("corner-vanity").records).close()
    assert "Nothing was put down" in run("installed", empty).stdout
    assert run("installed", empty, "--learn", "--shop", shop).exit_code == 2
    assert len(read_shop(shop).jobs) == 1


def test_a_damaged_or_newer_shop_file_is_refused_and_left(tmp_path):
    shop = tmp_path / "shop.json"
    for content, says in ((b"{", "expected a shop's file"), (b'{"version": 9}', "made by a newer version")):
        shop.write_bytes(content)
        result = run("shop", "--shop", shop)
        assert result.exit_code == 2
        assert says in result.stderr
        assert shop.read_bytes() == content
