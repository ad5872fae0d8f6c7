"""The simulated sites against closed forms, brute force and the library's linear programs."""

import ast
import dataclasses
import math
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import asdict, replace
from scipy.optimize import brentq, linprog
from scipy.stats import kurtosis

from simulated import trade
from simulated.edges import CORNER_MM, Pose
from simulated.fitter import read, rest, slip
from simulated.hand import SKILLS, Hand
from simulated.installer import SEATED_MM, SHAVING_MM, install, scribe
from simulated.laws import LAWS, Surface, as_assumed, draw, framed, masonry, mud, plastered, wavy
from simulated.program import most
from simulated.site import Ground, alcove_site, corner_site, plain_site
from survey.records import (
    CornerAngle,
    CornerSquare,
    Drop,
    Lean,
    LengthReading,
    Spot,
    Station,
    StraightedgeCheck,
    Template,
    TemplatePoint,
    ThreeSides,
    TypedAngle,
    TypedLength,
)

UP = 850.0
EACH_LAW = pytest.mark.parametrize("law", LAWS)


def mm(value: float) -> TypedLength:
    return TypedLength(f"{value:.4f}", "mm")


COMMON = {"id": "r", "taken": datetime(2000, 1, 1, tzinfo=UTC)}
NOTHING = TypedLength("0", "mm")
WIDTH = LengthReading(**COMMON, between=("left-back", "back-right"), reads=NOTHING, up=mm(UP), start="hook")
FRONT = replace(WIDTH, between=(Spot("left", mm(500), "left-back"), Spot("right", mm(550), "back-right")))
SIDES = ThreeSides(
    **COMMON, corner="left-back", left_leg=mm(450), right_leg=mm(600), diagonal=mm(750), up=mm(UP)
)
SQUARE = CornerSquare(
    **COMMON, corner="left-back", lies_on="back", lying_leg=mm(600), other_leg=mm(400), gap=NOTHING,
    gap_at="tip", up=mm(UP),
)  # fmt: skip
GAUGE = CornerAngle(**COMMON, corner="back-right", reads=TypedAngle("90"), reach=mm(300), up=mm(UP))
LEAN = Lean(
    **COMMON, wall="right", along=mm(300), from_="back-right", low=mm(100), high=mm(1900), offset=NOTHING
)
DROP = Drop(**COMMON, wall="back", along=mm(400), from_="back-right", out=mm(300), reads=mm(1000))
TEMPLATE = Template(
    **COMMON, up=mm(UP),
    points=(TemplatePoint("left", mm(0), mm(-400)), TemplatePoint("back", mm(700), mm(0)),
            TemplatePoint("right", mm(1500), mm(-300))),
)  # fmt: skip


def check(wall: str, from_: str, places, run: str = "level", **more) -> StraightedgeCheck:
    where = {"up": mm(UP)} if run == "level" else {"along": mm(300.0)}
    stations = tuple(Station(mm(place), NOTHING) for place in places)
    return StraightedgeCheck(**COMMON, wall=wall, from_=from_, run=run, stations=stations, **where, **more)


CHECK = check("back", "left-back", (50.0, 300.0, 600.0))
EACH = {type(one).__name__: one for one in (WIDTH, SIDES, SQUARE, GAUGE, LEAN, DROP, TEMPLATE, CHECK)}


def perfect(record, site):
    return read(record, site, np.random.default_rng(0), "perfect")


def gaps_of(record: StraightedgeCheck) -> np.ndarray:
    return np.array([float(station.gap.mm) for station in record.stations])


def bump(middle: float, half: float, height: float) -> Surface:
    return Surface((lambda s, z: height * (1.0 - ((s - middle) / half) ** 2),))


# It stands by itself


def test_nothing_of_the_fitting_is_used() -> None:
    may = {"numpy", "scipy", "msgspec", "simulated", "survey.records", "survey.quantity"}
    for own in ("laws", "site", "hand", "fitter", "slips", "program", "edges", "installer", "trade"):
        path = Path(__file__).parent / f"{own}.py"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                assert not name.startswith("fitting"), path
                assert not name.startswith("survey") or name in may, path


# Laws


def heights(law, count: int, places) -> np.ndarray:
    draws = (Surface(law(2000.0, np.random.default_rng([seed, 9]))) for seed in range(count))
    return np.array([surface(places, 850.0) for surface in draws])


def matern(apart: float) -> float:
    return (1.0 + math.sqrt(3.0) * apart) * math.exp(-math.sqrt(3.0) * apart)


@pytest.mark.parametrize(("law", "short"), [(as_assumed, 1.0), (wavy, 1.5)])
def test_waves_have_the_covariance_claimed(law, short: float) -> None:
    """Matern 3/2 and squared exponential: Rasmussen and Williams, 4.14 and 4.9 (from memory)."""
    lags = np.array([0.0, 60.0, 300.0, 900.0])
    found = heights(law, 3000, 500.0 + lags)
    meant = [
        2.25 * math.exp(-0.5 * (lag / 1500.0) ** 2)
        + short**2 * (1.0 * matern(lag / 300.0) + 0.16 * matern(lag / 120.0))
        for lag in lags
    ]
    # Of 3000 draws a covariance is off by about 2.6 % of the variance; three of these.
    assert (found * found[:, :1]).mean(axis=0) == pytest.approx(meant, abs=0.08 * meant[0])


@EACH_LAW
def test_a_line_in_even_steps_is_what_the_points_are(law: str) -> None:
    surface = draw(law, 1400.0, (True, True), np.random.default_rng(4))
    steps = np.arange(301)
    line = surface.line((-20.0, 300.0), (4.0, 2.0), 301)
    assert line == pytest.approx(surface(-20.0 + 4.0 * steps, 300.0 + 2.0 * steps), abs=1e-9)


@EACH_LAW
def test_each_law_changes_upward_too_and_by_a_few_millimetres_on_an_alcoves_side(law: str) -> None:
    ranges, upward = [], []
    places = np.linspace(0.0, 600.0, 61)
    for seed in range(80):
        surface = draw(law, 600.0, (False, True), np.random.default_rng(seed))
        low, high = surface(places, 500.0), surface(places, 1500.0)
        ranges.append(np.ptp(low - np.polyval(np.polyfit(places, low, 1), places)))
        upward.append(np.ptp(high - low))
    assert 1.0 < np.mean(ranges) < 4.0
    assert np.mean(upward) > 0.5


def test_mud_is_in_the_corner_only_and_sometimes_missing() -> None:
    corner, length = 1200.0, 1200.0
    ups = np.linspace(0.0, 2400.0, 49)
    muds = [mud(corner, length, np.random.default_rng(seed)) for seed in range(300)]
    inside = np.array([one(np.full(49, corner), ups) for one in muds])
    fade = np.array([one(np.full(49, corner - 300.0), ups) for one in muds])
    assert inside.min() >= 0.0
    assert 2.5 < inside.max() <= 3.0
    assert 0.1 < (inside.max(axis=1) == 0.0).mean() < 0.24  # one in six, of 300: three sd are 0.065
    assert (fade <= inside * math.exp(-2.0) + 1e-12).all()
    there = inside.max(axis=1) > 0.0
    assert (np.ptp(inside, axis=1)[there] > 0.2 * inside.max(axis=1)[there]).mean() > 0.9
    gone = [one(np.array([corner - 900.0]), np.array([850.0])) for one in muds]
    assert np.max(gone) < 0.01
    out = [one(np.array([0.0]), np.array([850.0])) for one in muds]
    assert np.max(out) < 0.01


def test_plaster_has_heavier_tails_than_waves() -> None:
    places = np.linspace(200.0, 1800.0, 17)
    assert abs(kurtosis(heights(as_assumed, 300, places).ravel())) < 0.5
    assert kurtosis(heights(plastered, 300, places).ravel()) > 1.0


def test_masonry_is_straight_between_kinks() -> None:
    apart: list[float] = []
    for seed in range(12):
        facets = masonry(2000.0, np.random.default_rng(seed))[0]
        line = facets(np.arange(0.0, 2000.0, 5.0), np.full(400, 850.0))
        bends = np.flatnonzero(np.abs(np.diff(line, 2)) > 1e-9)
        kinks = np.split(bends, np.flatnonzero(np.diff(bends) > 2) + 1)
        apart += list(np.diff([5.0 * kink.mean() for kink in kinks]))
    assert len(apart) > 20
    assert min(apart) > 290.0
    assert max(apart) < 910.0


def test_studs_are_where_the_board_is_drawn_in() -> None:
    """Over many walls, the spectrum of what the studs leave has its peak at 16 in or 400 mm."""
    power = np.zeros(801)
    for seed in range(60):
        studs = framed(3200.0, np.random.default_rng(seed))[1]
        line = studs(np.arange(0.0, 3200.0, 2.0), np.full(1600, 60.0))
        power += np.abs(np.fft.rfft((line - line.mean()) * np.hanning(1600))) ** 2
    around = np.arange(6, 16)  # waves in 3200 mm; longer ones are the studs' own places
    assert around[np.argmax(power[around])] in (7, 8)


def test_an_unknown_law_is_refused() -> None:
    with pytest.raises(ValueError, match=r"expected a law out of as-assumed.*got 'lumpy'"):
        draw("lumpy", 900.0, (True, True), np.random.default_rng(1))


# Geometry


@EACH_LAW
def test_corners_are_where_the_surfaces_cross_by_root_finding(law: str) -> None:
    site = alcove_site(17, law)
    for name, (left, right) in site.corners.items():
        for up in (300.0, UP, 1700.0):
            wall = site.walls[right]

            def beyond(along: float, left=left, wall=wall, up=up) -> float:
                point = site.point(left, along, up)[:2]
                s, out = wall.flat_place(point)
                return float(out - wall.depth(s, up))

            length = site.walls[left].length
            along = brentq(beyond, length - 60.0, length + 60.0, xtol=1e-11)
            assert site.corner(name, up) == pytest.approx(site.point(left, along, up), abs=1e-6)


def test_an_out_of_square_alcove_by_hand() -> None:
    """Left opens by 0.01 rad, right closes by 0.02; the back leans in by 0.003 of the height."""
    site = plain_site(1500.0, 800.0, 700.0, (0.01, -0.02), (0.0, 0.003, 0.0))
    assert site.corner("left-back", 1000.0) == pytest.approx([-3.0 * math.tan(0.01), -3.0, 1000.0])
    assert site.corner("back-right", 1000.0) == pytest.approx([1500.0 - 3.0 * math.tan(0.02), -3.0, 1000.0])
    front = 1500.0 + 600.0 * (math.sin(0.01) - math.sin(0.02))
    assert site.width(600.0, 0.0) == pytest.approx(
        math.hypot(front, 600.0 * (math.cos(0.02) - math.cos(0.01)))
    )


@EACH_LAW
def test_the_boundary_runs_on_the_surface_from_corner_to_corner(law: str) -> None:
    site = alcove_site(5, law)
    lines = site.boundary(UP)
    assert lines["left"][-1] == pytest.approx(lines["back"][0], abs=1e-6)
    assert lines["back"][-1] == pytest.approx(lines["right"][0], abs=1e-6)
    for name, line in lines.items():
        along, out = site.walls[name].flat_place(line)
        assert out == pytest.approx(site.walls[name].depth(along, UP), abs=1e-6)
        assert np.hypot(*np.diff(line, axis=0).T).max() < 2.3


def test_sites_are_drawn_as_told() -> None:
    sites = [alcove_site(seed, "flat", "new") for seed in range(400)]
    turns = [math.degrees(site.walls["right"].heading + math.pi / 2) for site in sites]
    tilts = [1000.0 * wall.tilt for site in sites for wall in site.walls.values()]
    assert np.std(turns) == pytest.approx(0.35, rel=0.12)
    assert np.std(tilts) == pytest.approx(1.3, rel=0.08)
    assert all(900.0 <= site.walls["back"].length <= 2000.0 for site in sites)
    assert all(620.0 <= site.walls["left"].length <= 900.0 for site in sites)
    old = [1000.0 * alcove_site(seed, "flat", "old").walls["back"].tilt for seed in range(400)]
    assert np.std(old) == pytest.approx(2.6, rel=0.12)
    assert list(corner_site(1, "flat").corners) == ["left-back"]


def test_a_seed_gives_the_same_site_and_readings() -> None:
    for law in LAWS:
        one, other = (alcove_site(3, law) for _ in range(2))
        assert (one.corner("left-back", UP) == other.corner("left-back", UP)).all()
        assert (one.corner("left-back", UP) != alcove_site(4, law).corner("left-back", UP)).any()
        for record in EACH.values():
            first, second = (read(record, site, np.random.default_rng(8)) for site in (one, other))
            assert first == second


# What rests on a wall


@EACH_LAW
def test_an_edge_rests_on_the_wall_and_never_goes_through(law: str) -> None:
    wall = alcove_site(11, law).walls["back"]
    places = np.arange(100.0, 800.0, 5.0)
    depths = wall.depth(places, UP)
    a, b = rest(places, depths, 420.0)
    gaps = a + b * places - depths
    assert gaps.min() > -1e-9
    assert (gaps < 1e-9).sum() >= 2
    touching = places[gaps < 1e-9]
    assert touching.min() < 420.0 <= touching.max()
    A = np.column_stack([-np.ones(places.size), -places])
    least = linprog([1.0, 420.0], A_ub=A, b_ub=-depths, bounds=(None, None), method="highs")
    assert a + b * 420.0 == pytest.approx(least.fun, abs=1e-7)


@EACH_LAW
def test_a_straightedge_check_touches_and_its_gaps_follow(law: str) -> None:
    site = alcove_site(23, law)
    places = np.arange(60.0, 761.0, 5.0)
    gaps = gaps_of(perfect(check("back", "left-back", places, edge_length=mm(700.0)), site))
    start = site.corner_along("back", "left-back", UP)
    shape = gaps + site.walls["back"].depth(start + places, UP)
    assert gaps.min() == pytest.approx(0.0, abs=1e-6)
    assert np.diff(shape, 2) == pytest.approx(0.0, abs=2e-6)  # the edge is straight


def test_an_edge_rocks_about_a_crown_and_a_plumb_one_rests_too() -> None:
    site = plain_site(surfaces=(Surface(), bump(400.0, 400.0, 4.0), Surface()), tilts=(0.0, 0.0, 0.004))
    gaps = gaps_of(perfect(check("back", "left-back", (100.0, 400.0, 700.0)), site))
    # On a parabola 4 (s / 400)², an edge over the crown: 2.25 mm at 300 from where it touches.
    assert gaps == pytest.approx([2.25, 0.0, 2.25], abs=0.05)
    plumb = gaps_of(perfect(check("right", "back-right", (100.0, 900.0, 1700.0), "plumb"), site))
    assert plumb == pytest.approx(0.0, abs=1e-6)


def test_a_string_stands_off_by_its_blocks() -> None:
    site = plain_site(surfaces=(Surface(), bump(400.0, 400.0, 4.0), Surface()))
    gaps = gaps_of(perfect(check("back", "left-back", (25.0, 400.0, 775.0), instrument="string"), site))
    ends = 4.0 * (1.0 - (400.0 / 400.0) ** 2)
    assert gaps[1] == pytest.approx(20.0 - (4.0 - ends), abs=1e-6)


def test_offsets_from_a_cross_by_hand() -> None:
    """Two lines through one point, square to one another: walls out of square run off them."""
    site = plain_site(1500.0, 800.0, 800.0, (0.006, -0.004), seed=5)
    cross = Hand(site, np.random.default_rng(0), SKILLS["perfect"]).cross("A")
    assert cross.skew == 0.0
    places = np.array([100.0, 700.0])
    turns = {"left": cross.turn + 0.006, "back": cross.turn, "right": cross.turn + 0.004}
    signs = {"left": -1.0, "back": 1.0, "right": 1.0}
    starts = {"left": (0.0, 0.0), "back": (0.0, 0.0), "right": (1500.0, 0.0)}
    for name, corner in (("left", "left-back"), ("back", "left-back"), ("right", "back-right")):
        record = check(name, corner, places, instrument="line laser", cross="A")
        gaps = gaps_of(perfect(record, site))
        wall = site.walls[name]
        # In the wall's own frame: along u and out n from the corner, the line leans by its turn against it.
        away = np.array([cross.x, cross.y]) - starts[name]
        s, out = float(away @ wall.along), float(away @ wall.inward)
        meant = out - (signs[name] * places - s) * math.tan(turns[name])
        assert gaps == pytest.approx(meant, abs=1e-5)


def test_a_cross_is_out_of_square_and_shared() -> None:
    skews = [
        Hand(plain_site(seed=seed), np.random.default_rng(0), SKILLS["careful"]).cross("A").skew
        for seed in range(500)
    ]
    assert np.std(skews) == pytest.approx(2e-4, rel=0.1)
    hand = Hand(plain_site(seed=1), np.random.default_rng(0), SKILLS["careful"])
    along, across = (hand.cross("A").normal(heading) for heading in (0.01, math.pi / 2 - 0.01))
    assert math.atan2(-along[0], along[1]) == pytest.approx(hand.cross("A").turn)
    assert along @ across == pytest.approx(-math.sin(hand.cross("A").skew))
    assert abs(hand.cross("A").skew) > 1e-5
    again = Hand(plain_site(seed=1), np.random.default_rng(99), SKILLS["careful"])
    assert hand.cross("A") == again.cross("A") != hand.cross("B")


# A perfect fitter


@EACH_LAW
def test_a_perfect_fitter_reads_lengths_as_they_are(law: str) -> None:
    site = alcove_site(31, law)
    a, b = (site.corner(name, UP) for name in site.corners)
    assert float(perfect(WIDTH, site).reads.mm) == pytest.approx(np.linalg.norm(a - b), abs=1e-6)
    left = site.walls["left"]
    at = site.corner_along("left", "left-back", UP) - 500.0
    right = site.corner_along("right", "back-right", UP) + 550.0
    meant = np.linalg.norm(site.point("left", at, UP) - site.point("right", right, UP))
    assert left.ends == (None, "left-back")
    assert float(perfect(FRONT, site).reads.mm) == pytest.approx(meant, abs=1e-6)


@pytest.mark.parametrize("turn", [0.012, -0.009])
def test_a_perfect_fitter_reads_corners_as_they_are(turn: float) -> None:
    site = plain_site(turns=(turn, turn))
    sides = perfect(SIDES, site)
    a, b, c = (float(side.mm) for side in (sides.left_leg, sides.right_leg, sides.diagonal))
    assert math.acos((a * a + b * b - c * c) / (2 * a * b)) == pytest.approx(math.pi / 2 + turn, abs=1e-6)
    assert perfect(GAUGE, site).reads.angle.radians == pytest.approx(math.pi / 2 + turn, abs=1e-8)
    for lies_on in ("back", "left"):
        square = perfect(replace(SQUARE, lies_on=lies_on), site)
        assert square.gap_at == ("tip" if turn > 0.0 else "heel")
        assert float(square.gap.mm) == pytest.approx(400.0 * math.tan(abs(turn)), abs=0.002)


def test_a_square_lies_on_the_wall_as_it_runs_by_its_corner() -> None:
    """The back wall runs in by 0.02 of its length, so that there is so much less room in the corner."""
    running = Surface((lambda s, z: 0.02 * s,))
    site = plain_site(turns=(0.005, 0.0), surfaces=(Surface(), running, Surface()))
    for lies_on in ("back", "left"):
        square = perfect(replace(SQUARE, lies_on=lies_on), site)
        assert square.gap_at == "heel"
        assert float(square.gap.mm) == pytest.approx(400.0 * math.tan(math.atan(0.02) - 0.005), abs=0.01)


def test_a_perfect_fitter_reads_leans_drops_and_templates_as_they_are() -> None:
    site = plain_site(turns=(0.01, 0.0), tilts=(0.0, 0.002, -0.003))
    site = dataclasses.replace(site, floor=Ground(-10.0, 0.002, 0.004))
    assert float(perfect(LEAN, site).offset.mm) == pytest.approx(-0.003 * 1800.0, abs=1e-6)
    angle = perfect(replace(LEAN, offset=None, angle=TypedAngle("0")), site).angle
    assert math.tan(angle.angle.radians) == pytest.approx(-0.003, abs=1e-8)
    # 400 from the right corner is x = 1100, 300 out is y = -300; the floor is 10 down, 0.002 x + 0.004 y.
    assert float(perfect(DROP, site).reads.mm) == pytest.approx(1010.0 - 2.2 + 1.2, abs=1e-6)
    template = perfect(TEMPLATE, site)
    for point in template.points:
        wall = site.walls[point.wall]
        along, out = wall.flat_place([float(point.right.mm), float(point.back.mm)])
        assert out == pytest.approx(wall.depth(along, UP), abs=1e-5)


def test_only_corners_of_the_site_are_measured_from() -> None:
    with pytest.raises(ValueError, match="expected a corner of the site"):
        perfect(check("back", "nowhere", (10.0, 20.0)), plain_site())
    with pytest.raises(ValueError, match="expected a corner or a spot"):
        perfect(replace(WIDTH, between=("left-back", "pipe")), plain_site())
    with pytest.raises(ValueError, match="expected a skill out of careful"):
        read(WIDTH, plain_site(), np.random.default_rng(0), "sober")


# Errors


@pytest.mark.parametrize(("skill", "times"), [("careful", 1.0), ("hasty", 1.5)])
def test_a_bent_tape_errs_as_told(skill: str, times: float) -> None:
    rng, bent = np.random.default_rng(1), replace(WIDTH, start="bent into the corner")
    reads = [
        float(read(bent, plain_site(width=1500.0 + seed / 17, seed=seed), rng, skill).reads.mm) - seed / 17
        for seed in range(1500)
    ]
    meant = math.sqrt(times**2 * (0.2**2 + 0.15**2 + 0.3**2 + 1.0) + 1.0 / 12)
    assert np.std(reads) == pytest.approx(meant, rel=0.06)
    assert np.mean(reads) == pytest.approx(1500.0, abs=0.15)


def test_a_tapes_own_errors_stay_for_a_site() -> None:
    tapes = [
        Hand(plain_site(seed=seed), np.random.default_rng(0), SKILLS["careful"]).tape for seed in range(800)
    ]
    assert np.std(tapes, axis=0) == pytest.approx([0.2, 1e-4], rel=0.08)
    seed = int(np.argmax([abs(zero) for zero, _ in tapes]))
    site, rng = plain_site(width=1500.3, seed=seed), np.random.default_rng(3)
    mean = np.mean([float(read(WIDTH, site, rng).reads.mm) for _ in range(800)])
    assert mean == pytest.approx(1500.3 * (1 + tapes[seed][1]) + tapes[seed][0], abs=0.05)


def test_stations_and_heights_err() -> None:
    """On a wall whose face is a slope, a station 3 mm off reads that much of the slope."""
    slope = Surface((lambda s, z: 0.4 * np.abs(s - 300.0),))
    site, rng = plain_site(surfaces=(Surface(), slope, Surface())), np.random.default_rng(6)
    ends = np.array(
        [gaps_of(read(check("back", "left-back", (100.0, 300.0, 500.0)), site, rng)) for _ in range(600)]
    )
    # At the bottom of the valley: |N(0, 3)| of station error less the mean, and reading and rounding.
    own = math.sqrt((0.4 * 3.0) ** 2 * (1 - 2 / math.pi) + 0.25**2 + 0.5**2 / 12)
    assert np.std(ends[:, 1]) == pytest.approx(own, rel=0.12)
    tilted, leaning = plain_site(tilts=(0.0, 0.0, 0.1)), []
    for _ in range(400):
        leaning.append(float(read(FRONT, tilted, rng).reads.mm))
    assert np.std(leaning) == pytest.approx(math.sqrt(0.5**2 + 0.3**2 + 1 / 12), rel=0.12)


def test_numbers_are_rounded_to_the_graduation_and_typed_as_people_type() -> None:
    inches = replace(WIDTH, reads=TypedLength("0", "in"))
    site, rng = alcove_site(2, "framed"), np.random.default_rng(2)
    typed = read(inches, site, rng).reads
    assert typed.unit == "in"
    assert (typed.mm / 25.4 * 16 % 1) == pytest.approx(0.0, abs=1e-9)
    assert read(WIDTH, site, rng).reads.mm % 1 == 0
    for gap in gaps_of(read(CHECK, site, rng)):
        assert gap * 2 % 1 == 0.0
        assert gap >= 0.0


@pytest.mark.parametrize("record", EACH.values(), ids=EACH)
def test_a_slip_is_in_one_number_and_of_its_size(record) -> None:
    site, rng = alcove_site(2, "wavy"), np.random.default_rng(7)
    right = read(record, site, rng)
    seen = set()
    for _ in range(40):
        wrong, which = slip(right, rng, 10.0)
        seen.add(which)
        off = [b - a for a, b in zip(numbers(right), numbers(wrong), strict=True) if abs(b - a) > 1e-9]
        assert len(off) == 1
        if not isinstance(record, CornerAngle):
            assert abs(off[0]) == pytest.approx(10.0, abs=1e-3)
        else:
            assert math.tan(math.radians(abs(off[0]))) * 300.0 == pytest.approx(10.0, abs=1e-3)
    meant = {"ThreeSides": 3, "StraightedgeCheck": 3, "Template": 6}.get(type(record).__name__, 1)
    assert len(seen) == meant


def numbers(value) -> list[float]:
    """All numbers of a record, in order."""
    if isinstance(value, TypedLength):
        return [float(value.mm)]
    if isinstance(value, TypedAngle):
        return [math.degrees(value.angle.radians)]
    if isinstance(value, tuple):
        return [number for one in value for number in numbers(one)]
    if hasattr(value, "__struct_fields__"):
        return [number for one in asdict(value).values() for number in numbers(one)]
    return []


# Installing


@pytest.mark.parametrize("seed", range(30))
def test_the_dual_simplex_gives_what_the_library_gives(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("simulated.program.linprog", None)  # which is only asked in need
    rng = np.random.default_rng(seed)
    rows, x = rng.normal(size=(200, 4)), rng.normal(size=4)
    degenerate = 0.9 if seed % 3 == 0 else 1.0  # one bound in ten goes through x: there only x keeps all
    limits = rows @ x + rng.exponential(1.0, 200) * (rng.random(200) < degenerate)
    objective, box = rng.normal(size=4), np.full(4, 20.0)
    found = most(objective, rows, limits, box)
    meant = linprog(-objective, A_ub=rows, b_ub=limits, bounds=(-20.0, 20.0), method="highs")
    assert objective @ found == pytest.approx(-meant.fun, abs=1e-7)
    assert (rows @ found - limits).max() < 1e-8


def test_bounds_that_cannot_be_kept_are_refused() -> None:
    with pytest.raises(ValueError, match="expected bounds that can be kept"):
        most(np.ones(2), np.array([[1.0, 0.0], [-1.0, 0.0]]), np.array([-1.0, 0.5]), np.full(2, 9.0))


def rectangle(width: float, depth: float) -> np.ndarray:
    return np.array([[0.0, 0.0], [width, 0.0], [width, -depth], [0.0, -depth]])


@pytest.mark.parametrize("room", [3.0, 0.0, -0.08, -2.0])
def test_a_rectangle_in_a_square_alcove(room: float) -> None:
    found = install(rectangle(1200.0 - room, 560.0), plain_site(1200.0), UP)
    assert found.clearance == pytest.approx(room / 2, abs=0.002)
    assert found.goes_in == (room / 2 >= SHAVING_MM)
    assert found.greatest_gap == pytest.approx(room / 2, abs=0.06)
    if room > 0.0:
        assert found.within(room / 2 + 0.01)
        assert not found.within(room / 2 - 0.06)


def test_a_trapezoid_cut_to_an_out_of_square_alcove() -> None:
    """Sides as the walls are, 2 mm in from each, measured square to the walls."""
    turns, depth = (0.012, -0.008), 560.0
    site = plain_site(1400.0, turns=turns)
    left, right = (2.0 / math.cos(turn) for turn in turns)
    cut = np.array([
        [left, 0.0], [1400.0 - right, 0.0],
        [1400.0 - right + depth * math.tan(turns[1]), -depth], [left - depth * math.tan(turns[0]), -depth],
    ])  # fmt: skip
    found = install(cut, site, UP)
    # It may come out of where it rests by SEATED_MM, which the opening of 0.004 makes looser by half of that.
    assert found.clearance == pytest.approx(2.0 + SEATED_MM * 0.004 / 2, abs=0.002)
    assert found.gap_of["left"] == pytest.approx(2.0, abs=0.06)
    assert not install(rectangle(1396.0, depth), site, UP).within(trade.EIGHTH)


def test_a_rectangle_in_an_alcove_that_opens() -> None:
    """Both sides open by 0.01: it is tight at the back, and gaps by 560 sin 0.01 more at the front."""
    found = install(rectangle(1396.0, 560.0), plain_site(1400.0, turns=(0.01, 0.01)), UP)
    assert found.gap_of["left"] == pytest.approx(2.0 + 560.0 * math.sin(0.01), abs=0.06)


def clearances(site, outline: np.ndarray, pose: Pose) -> np.ndarray:
    """By hand: points along back and sides of a rectangle, against the true surfaces."""
    places = np.linspace(0.0, 1.0, 200)[:, None]
    found = []
    for name, (a, b) in (("left", (3, 0)), ("back", (0, 1)), ("right", (1, 2))):
        wall = site.walls[name]
        along, out = wall.flat_place(pose.place(outline[a] + places * (outline[b] - outline[a])))
        found.append(out - wall.depth(along, UP))
    return np.array(found)


@EACH_LAW
def test_no_pose_nearby_is_better(law: str) -> None:
    site, rng = alcove_site(41, law), np.random.default_rng(5)
    outline = rectangle(min(site.width(out, UP) for out in (0.0, 280.0, 560.0)) - 4.0, 560.0)
    found = install(outline, site, UP)
    assert clearances(site, outline, found.loosest).min() == pytest.approx(found.clearance, abs=0.06)
    assert clearances(site, outline, found.best).max() == pytest.approx(found.greatest_gap, abs=0.06)
    seated = clearances(site, outline, found.loosest)[1].mean() + 0.02
    for spread in (0.03, 0.3, 3.0):
        for x, y, turn in rng.normal(0.0, spread, (150, 3)):
            near = Pose(found.loosest.x + x, found.loosest.y + y, found.loosest.turn + turn / 500.0)
            gaps = clearances(site, outline, near)
            assert gaps.min() < found.clearance + 0.06 or gaps[1].mean() > seated
            near = Pose(found.best.x + x, found.best.y + y, found.best.turn + turn / 500.0)
            gaps = clearances(site, outline, near)
            assert gaps.min() < SHAVING_MM or gaps.max() > found.greatest_gap - 0.06


def test_the_datum_and_the_way_round_do_not_matter() -> None:
    site = alcove_site(8, "plastered")
    outline = rectangle(site.width(0.0, UP) - 5.0, 550.0)
    one = install(outline, site, UP)
    moved = Pose(-700.0, 412.0, math.radians(1.2)).place(outline)[::-1]
    other = install(moved, site, UP)
    assert other.clearance == pytest.approx(one.clearance, abs=0.01)
    assert other.greatest_gap == pytest.approx(one.greatest_gap, abs=0.02)
    assert one.greatest_gap_away <= one.greatest_gap + 0.01


def test_what_is_wrong_in_a_corner_is_looked_away_from() -> None:
    """A nick 6 mm deep in the last 20 mm of the back wall, at both ends."""
    nicks = Surface((lambda s, z: -6.0 * ((s < 20.0) | (s > 1180.0)),))
    found = install(rectangle(1200.0, 560.0), plain_site(1200.0, surfaces=(Surface(), nicks, Surface())), UP)
    assert CORNER_MM > 20.0
    assert found.greatest_gap == pytest.approx(6.0, abs=0.06)
    assert found.greatest_gap_away == pytest.approx(0.0, abs=0.06)


def test_a_piece_in_a_corner_goes_in_and_its_gap_is_the_corners() -> None:
    """In a corner 0.01 wider than square the best of a square piece is turned: D W / (D + W) of it."""
    site = plain_site(1500.0, 800.0, None, (0.01, 0.0))
    found = install(rectangle(1200.0, 600.0)[[0, 1, 2, 3]], site, UP)
    assert found.goes_in
    assert found.greatest_gap == pytest.approx(0.01 * 600.0 * 1200.0 / 1800.0, abs=0.08)


def test_an_outline_without_a_back_is_refused() -> None:
    with pytest.raises(ValueError, match="expected an outline of 3 or more corners"):
        install([[0.0, 0.0], [1.0, 0.0]], plain_site(), UP)
    with pytest.raises(ValueError, match="expected a blank with a back edge"):
        scribe(rectangle(900.0, 500.0), plain_site(), UP, {}, {"left": [[0.0, 0.0], [0.0, -500.0]]})


# Scribing


def test_a_square_blank_in_a_corner_that_opens() -> None:
    """It rests on the back wall all along; on the left, 600 tan 0.01 has to come off at the back."""
    site = plain_site(1500.0, 800.0, None, (0.01, 0.0))
    blank, left = rectangle(1200.0, 600.0), {"left": 12.7, "back": 12.7}
    found = scribe(blank, site, UP, left)
    assert found["back"].needed == pytest.approx(0.0, abs=0.01)
    assert found["back"].left_over == pytest.approx(12.7, abs=0.01)
    # 12.7 further back, the part of the left edge below the corner is the front 587.3 mm, and there are 12.7
    # less gap at its front than at the corner, square to the wall.
    assert found["left"].left_over == pytest.approx(12.7 * math.cos(0.01) - 587.3 * math.sin(0.01), abs=0.2)
    assert found["left"].covers
    assert found["left"].most_planed == pytest.approx(12.7, abs=0.2)
    assert not scribe(blank, site, UP, {"left": 4.0, "back": 4.0})["left"].covers


def test_a_blank_between_walls_shares_what_it_is_too_wide() -> None:
    site = plain_site(1200.0)
    found = scribe(rectangle(1210.0, 560.0), site, UP, {"left": 6.0, "right": 4.0, "back": 3.0})
    assert {name: one.left_over for name, one in found.items()} == pytest.approx(
        {"left": 6.0, "right": 4.0, "back": 3.0}, abs=0.01
    )
    assert not scribe(rectangle(1205.0, 560.0), site, UP, {"left": 6.0, "right": 4.0})["right"].covers


def test_a_blank_on_a_hollow_needs_the_hollow() -> None:
    """A hollow of 4 mm in the middle: the back rests on its ends."""
    site = plain_site(1200.0, surfaces=(Surface(), bump(600.0, 600.0, -4.0), Surface()))
    found = scribe(rectangle(1220.0, 560.0), site, UP, {"left": 10.0, "right": 10.0, "back": 5.0})
    assert found["back"].needed == pytest.approx(4.0, abs=0.05)
    assert found["back"].most_planed == pytest.approx(5.0, abs=0.05)


def test_a_blank_turns_and_comes_out_with_its_back_wall() -> None:
    """The back wall leans 3.4 mm in at this height and runs in by 0.01: the back rests on it all along."""
    running = Surface((lambda s, z: 0.01 * s,))
    site = plain_site(1500.0, 800.0, None, tilts=(0.0, 0.004, 0.0), surfaces=(Surface(), running, Surface()))
    found = scribe(rectangle(1200.0, 600.0), site, UP, {"left": 20.0, "back": 5.0})
    assert found["back"].needed == pytest.approx(0.0, abs=0.01)
    assert found["back"].most_planed == pytest.approx(5.0, abs=0.01)


# The trade


def test_a_plain_rectangle_seldom_goes_in_with_small_gaps() -> None:
    """300 sites, 60 of each law; half an old house's. Printed for the record: pytest -s."""
    fits = 0
    for law in LAWS:
        for seed in range(60):
            site = alcove_site(seed, law)
            sizes = trade.widths(site, UP, 560.0, np.random.default_rng(seed))
            fits += install(trade.plain_rectangle(sizes, 560.0), site, UP).within(trade.EIGHTH)
    print(f"plain rectangle: {fits} of 300 go in with all gaps within 1/8 in")
    assert 0 < fits < 30


def test_a_trapezoid_fits_where_everything_is_straight() -> None:
    site = plain_site(1400.0, turns=(0.012, -0.008))
    sizes = trade.measure(site, UP, 560.0, np.random.default_rng(0), "perfect")
    assert sizes.left_turn == pytest.approx(0.012, abs=1e-4)
    assert sizes.right_turn == pytest.approx(-0.008, abs=1e-4)
    found = install(trade.trapezoid(sizes, 560.0), site, UP)
    assert found.within(trade.SIXTEENTH + 0.1)
    assert found.clearance == pytest.approx(trade.SIXTEENTH, abs=0.05)


def test_sizes_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="expected width_back of more than nothing, got 0"):
        trade.Sizes(0.0, 900.0, 500.0)
