"""Pictures that the drawing tests share: invented pieces, each with something awkward."""

import math

from survey.drawing import (
    Anchor,
    Angular,
    Arrows,
    Axis,
    Circle,
    Drawing,
    HatchedRing,
    Layer,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Side,
    Text,
)

FINISHED = {"role": Role.FINISHED, "layer": Layer.CUT}
BLANK = {"role": Role.BLANK, "layer": Layer.BLANK}


def sixteenths(mm: float) -> str:
    whole, rest = divmod(round(mm / 25.4 * 16), 16)
    if not rest:
        return f"{whole}″"
    part = math.gcd(rest, 16)
    fraction = f"{rest // part}⁄{16 // part}″"
    return f"{whole} {fraction}" if whole else fraction


def rectangle(left, bottom, right, top, **kind):
    points = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Polyline(points, closed=True, **kind)


def ordinates(datum, axis, features, text, side=Side.AUTO):
    at = 0 if axis is Axis.X else 1
    return [Ordinate(datum, feature, axis, text(abs(feature[at] - datum[at])), side) for feature in features]


NOTCH = (60.0, 88.0)
"""Size of the notch at the front left of the top: along the front, and from the front."""


def top() -> Drawing:
    """A top in a left corner: casing notched at the front left, back and left end scribed."""
    length, depth = 1422.4, 558.8
    back = [(x, depth + 5 * math.sin(x / 260) - 3) for x in range(0, 1423, 40)]
    back = [*back, (length, back[-1][1])]
    outline = ((NOTCH[0], 0.0), (length, 0.0), *reversed(back), (0.0, NOTCH[1]), NOTCH)
    finished = Polyline(outline, closed=True, record="top-1", **FINISHED)
    blank = Polyline(
        (
            (NOTCH[0] - 10, 0.0),
            (length, 0.0),
            (length, depth + 14),
            (-12.0, depth + 14),
            (-12.0, NOTCH[1] - 10),
            (NOTCH[0] - 10, NOTCH[1] - 10),
        ),
        closed=True,
        **BLANK,
    )
    datum = (length, 0.0)
    along = [(NOTCH[0], 0.0), (0.0, NOTCH[1]), (971.0, 240.0), (451.0, 240.0)]
    up = [(0.0, NOTCH[1]), (0.0, back[0][1])]
    return Drawing(
        (
            HatchedRing(blank, finished),
            blank,
            finished,
            Circle((711.0, 470.0), 17.5, role=Role.FINISHED, layer=Layer.DRILL, record="faucet"),
            rectangle(451.0, 110.0, 971.0, 450.0, role=Role.FINISHED, layer=Layer.CUT),
            Polyline(((711.0, 90.0), (711.0, 500.0)), role=Role.CENTRE, layer=Layer.REFERENCE),
            Polyline(((-30.0, 590.0), (length + 60, 590.0)), role=Role.WALL, layer=Layer.REFERENCE),
            Polyline(
                ((1080.0, 300.0), (1330.0, 300.0)),
                arrows=Arrows.BOTH,
                role=Role.GRAIN,
                layer=Layer.NOTE,
            ),
            Text((1205.0, 330.0), "grain", anchor=Anchor.BOTTOM),
            Text((250.0, 260.0), "Vanity top\nshow face up", height=3.5),
            Text((length / 2 + 100, 0.0), "front", anchor=Anchor.BOTTOM, shift=(0.0, 1.5)),
            Text((250.0, 430.0), "scribe to wall", role=Role.CAUTION),
            *ordinates(datum, Axis.X, [*along, (711.0, 470.0)], sixteenths, Side.BOTTOM),
            *ordinates(datum, Axis.Y, [*up, (451.0, 110.0), (971.0, 450.0)], sixteenths),
            Linear((-12.0, depth + 14), (length, depth + 14), sixteenths(length + 12), outward=1),
        ),
        "Vanity top",
    )


def tall_panel() -> Drawing:
    """A tall end panel under a sloping ceiling, cut at the top, toe kick at the front bottom."""
    outline = (
        (75.0, 0.0),
        (590.0, 0.0),
        (590.0, 2310.0),
        (0.0, 2065.0),
        (0.0, 100.0),
        (75.0, 100.0),
    )
    datum = (590.0, 0.0)
    return Drawing(
        (
            Polyline(outline, closed=True, record="end-left", **FINISHED),
            Polyline(((-80.0, 2080.0), (640.0, 2379.0)), role=Role.WALL, layer=Layer.REFERENCE),
            Polyline(
                ((420.0, 900.0), (420.0, 1500.0)),
                arrows=Arrows.BOTH,
                role=Role.GRAIN,
                layer=Layer.NOTE,
            ),
            Text((300.0, 700.0), "Left end\nshow face", height=3.5),
            Text(
                (280.0, 2229.5),
                "ceiling, assumed flat",
                anchor=Anchor.BOTTOM,
                angle=math.atan2(299, 720),
                shift=(-0.6, 1.5),
                role=Role.ASSUMED,
            ),
            Text((37.0, 100.0), "toe kick", shift=(-14.0, 16.0), leader=True),
            *ordinates(datum, Axis.Y, [(0.0, 100.0), (0.0, 2065.0), (590.0, 2310.0)], "{:.0f}".format),
            *ordinates(datum, Axis.X, [(75.0, 0.0), (0.0, 100.0)], "{:.0f}".format),
            Linear((590.0, 2310.0), (0.0, 2065.0), "639"),
            Angular((0.0, 2065.0), (0.0, 100.0), (590.0, 2310.0), "112.5°"),
        ),
        "Left end",
    )


def combed(count: int = 20) -> Drawing:
    """A strip with notches all along its back edge, unevenly spaced, two numbers for each."""
    length, depth = 1800.0, 120.0
    points, features = [(0.0, 0.0), (length, 0.0), (length, depth)], []
    starts = [40.0 + 1700.0 * ((i + 0.5) / count) ** 1.3 for i in range(count)]
    for x in reversed(starts):
        right, left = x + 17.0, x - 17.0 * 20 / max(count, 20) + 10
        points += [(right, depth), (right, depth - 30), (left, depth - 30), (left, depth)]
        features += [(right, depth), (left, depth)]
    strip = Polyline((*points, (0.0, depth)), closed=True, **FINISHED)
    return Drawing(
        (
            strip,
            Text((900.0, 30.0), "Back strip"),
            *ordinates((0.0, 0.0), Axis.X, [*features, (length, depth)], "{:.1f}".format, Side.TOP),
            *ordinates((0.0, 0.0), Axis.Y, [(0.0, depth - 30), (0.0, depth)], "{:.0f}".format),
        ),
        "Back strip",
    )


def rounded() -> Drawing:
    """A shelf with two rounded corners and a half-round bite, all as bulges, hole near one end."""
    quarter = math.tan(math.pi / 8)
    outline = Polyline(
        ((50, 0), (350, 0), (400, 50), (400, 200), (250, 200), (150, 200), (0, 200), (0, 50)),
        bulges=(0, quarter, 0, 0, 1.0, 0, 0, quarter),
        closed=True,
        record="shelf",
        **FINISHED,
    )
    return Drawing(
        (
            outline,
            Circle((340, 160), 8, role=Role.FINISHED, layer=Layer.DRILL, record="hole"),
            Linear((0, 200), (400, 200), "400"),
            Linear((150, 200), (250, 200), "100", outward=-1),
            Angular((200, 0), (300, 0), (200, 100), "90°"),
        ),
        "Shelf",
    )


SHEET = (190.0, 277.0)
"""The area of an A4 page inside margins of 10 mm."""

ZOO = {"top": top, "tall panel": tall_panel, "twenty notches": combed, "rounded": rounded}
