"""What the tests of the command share: running it, a small survey, a report with every part."""

from pathlib import Path

from click.testing import CliRunner, Result

from survey.cli import main
from survey.file import SurveyFile
from survey.finding import Finding
from survey.report.structs import (
    AllowanceReport,
    ChanceReport,
    CornerReport,
    Dimension,
    EdgeReport,
    FitReport,
    GainReport,
    Likelihood,
    NamedDimension,
    NextReading,
    NotchCorner,
    NotchReport,
    PieceReport,
    RoomReport,
    ScribeStation,
    SurfaceReport,
    UnfoundReport,
)

LINES = (
    "room bath",
    "wall back wood stud",
    "wall left",
    "corner left and back",
    "mark m1 on back",
    "length left-back to m1 up 34 reads 60 3/8",
    "casing door on left width 2 1/4",
    "position door along -18 from left-back",
    "cabinet vanity on back width 48 height 31 depth 21 bottom 3",
)


def run(*arguments: object, said: str | bytes | None = None, env: dict[str, str] | None = None) -> Result:
    """Run the command as a person would; an exception that gets out fails the test."""
    result = CliRunner().invoke(main, [str(each) for each in arguments], input=said, env=env)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def new_survey(folder: Path, *lines: str, unit: str = "in") -> Path:
    """A survey file with a job and these lines."""
    file = folder / "job.survey"
    assert run("new", file, "--title", "Vanity", "--unit", unit, "--level-line", "36").exit_code == 0
    if lines:
        assert run("add", file, *lines).exit_code == 0
    return file


def records_in(file: Path):
    """All records of a file."""
    with SurveyFile.open(file) as opened:
        return opened.survey().records


def dim(text: str) -> Dimension:
    """A dimension of which only the text is printed."""
    return Dimension(1.0, 1.0, text)


STOPS = Finding(
    300, "stops", "nothing says where wall `left` is", "read a length to it", ("a" * 32, "b" * 32)
)
HINT = Finding(600, "hint", "the floor is assumed level", "measure it if it matters")

PIECE = PieceReport(
    name="vanity-top",
    kind="top",
    status="ready",
    material="oak",
    grain="along width",
    quantity=2,
    datum="front edge and right end",
    rule="pushed to the back wall first, then left",
    finished=(NamedDimension("width", dim("48 1/16 in")), NamedDimension("depth", dim("22 in"))),
    blank=(NamedDimension("width", dim("48 1/2 in")),),
    edges=(
        EdgeReport(
            "left",
            "left",
            "scribed",
            dim("3/4 in"),
            AllowanceReport(dim("1/8 in"), dim("1/32 in"), dim("1/16 in"), dim("7/32 in")),
            "from the front",
            tuple(ScribeStation(dim(f"{at} in"), dim(f"{at}/64 in")) for at in range(8)),
            dim("9/64 in"),
            dim("1/64 in"),
            "the wall between the readings",
        ),
        EdgeReport("right", "", "open"),
    ),
    notches=(
        NotchReport(
            "door-casing",
            dim("1/16 in"),
            "from the left end",
            "from the front",
            (NotchCorner(dim("2 5/16 in"), dim("18 in")), NotchCorner(dim("0 in"), dim("19 3/4 in"))),
        ),
    ),
    measures=(NamedDimension("gap at top front", dim("13/16 in")), NamedDimension("gap behind", dim("0 in"))),
    cautions=("find the pipes before drilling",),
    findings=(601,),
    chance=ChanceReport(
        Likelihood(0.86, 0.01),
        goes_in=Likelihood(0.981, 0.004),
        close=Likelihood(0.871, 0.01),
        greatest_gap=dim("1/8 in"),
        covers=Likelihood(1.0, 0.001),
        by_numbers=Likelihood(0.743, 0.01),
        by_edge={"left": Likelihood(0.871, 0.01)},
        unfound=UnfoundReport("c" * 32, "length left-back to m1", dim("1/8 in"), dim("1/16 in")),
    ),
    confidence=0.99,
    limits="it goes in and no gap shows wider than 1/32 in",
)


WIDTH = NextReading(
    "width at the front",
    "the chance that all is well rises: `vanity-top` from 87 % to 98 %",
    1.6,
    (GainReport("vanity-top", 0.87, 0.98),),
    dictation="length (left 20 from left-back) to (right 20 from back-right) up 34 reads 60",
    line=((2.0, -508.0), (1528.0, -508.0)),
    up_mm=863.6,
)
"""A tape across, 20 in out of the back wall."""

SURFACES = (
    SurfaceReport("back", 863.6, ((0.0, 0.0), (760.0, -4.0), (1524.0, 0.0)), ()),
    SurfaceReport("left", 863.6, ((4.0, -1000.0), (0.0, 0.0)), ()),
    SurfaceReport("right", 863.6, ((1524.0, 0.0), (1532.0, -1000.0)), ()),
)


def report(*findings: Finding, pieces: tuple[PieceReport, ...] = (PIECE,)) -> FitReport:
    """A fit report with these findings."""
    corner = CornerReport("left-back", 89.512, 0.081, "over 24 in")
    room = RoomReport(corners=(corner,), surfaces=SURFACES, next_readings=(WIDTH,))
    return FitReport(
        "scribefit fit report", 3, "Vanity", "in", "1/16", 0.99, "0" * 64, room, pieces, findings
    )
