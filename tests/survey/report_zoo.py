"""Fit reports that the tests of the hand-over share: invented pieces, each with something awkward."""

import math

from survey.finding import Finding
from survey.quantity import Step, read_step, round_length, write_length
from survey.report.structs import (
    AllowanceReport,
    CutOutReport,
    Dimension,
    EdgeReport,
    EntryReport,
    FitReport,
    LiftReport,
    NamedDimension,
    NotchCorner,
    NotchReport,
    OversizeReport,
    PartReport,
    PieceReport,
    RoomReport,
    ScribeStation,
    StockReport,
)

INCH = read_step("1/16")
METRIC = read_step("1 mm")


class Shop:
    """Write sizes as a job does: in its unit, to its smallest fraction."""

    def __init__(self, step: Step) -> None:
        self.step = step

    def size(self, mm, direction="nearest") -> Dimension:
        cut = round_length(float(mm), self.step, direction)
        return Dimension(float(mm), float(cut), write_length(cut, self.step))

    def named(self, **sizes):
        return tuple(NamedDimension(name.replace("_", " "), self.size(mm)) for name, mm in sizes.items())

    def allowance(self, spread, unknown, saw=25.4 / 16):
        parts = [self.size(part, "up") for part in (spread, unknown, saw)]
        return AllowanceReport(*parts, self.size(sum(part.cut_mm for part in parts)))

    def scribed(self, edge, meets, start, allowance, depths):
        """Give a scribed edge; `depths` are (place along, depth) in mm."""
        stations = tuple(ScribeStation(self.size(at), self.size(deep)) for at, deep in depths)
        deep = [deep for _, deep in depths]
        return EdgeReport(
            edge,
            meets,
            "scribed",
            allowance=allowance,
            stations_from=start,
            scribe=stations,
            deepest=self.size(max(deep)),
            shallowest=self.size(min(deep)),
        )

    def notch(self, around, clearance, across_from, deep_from, corners):
        """Give a notch; `corners` in the piece's frame, mm."""
        is_signed = "centre line" in across_from
        made = tuple(NotchCorner(self.size(x if is_signed else abs(x)), self.size(y)) for x, y in corners)
        return NotchReport(around, self.size(clearance), across_from, deep_from, made)


STUDS = (
    "It hangs on the wall: find the studs before drilling, and look for pipes and cables behind the board; "
    "local codes and licensed trades decide about both."
)


def corner_top(step=INCH) -> PieceReport:
    """A top in a left corner: casing notched at the front left, left and back scribed; x <= 0."""
    shop = Shop(step)
    length, depth, allow = 1435.1, 558.8, shop.allowance(4.2, 1.9)
    over = allow.total.cut_mm
    back = [(-length + 2 * i / 40 + length * i / 40, depth - 3 + 4 * math.sin(i / 6)) for i in range(41)]
    back = [(min(x, 0.0), y) for x, y in back]
    notch = ((-length + 66.7, 0.0), (-length + 66.7, 92.1), (-length + 1.5, 92.1))
    outline = (notch[0], (0.0, 0.0), *reversed(back), notch[2], notch[1])
    blank = (
        (-length + 66.7, 0.0),
        (0.0, 0.0),
        (0.0, depth + over),
        (-length - over, depth + over),
        (-length - over, 92.1),
        (-length + 66.7, 92.1),
    )
    return PieceReport(
        "vanity-top",
        "top",
        "ready",
        material="maple, edge glued",
        grain="along width",
        datum="front edge and right end",
        rule="Pushed back first, then to the left.",
        finished=shop.named(width=length, depth=depth, thickness=31.75),
        blank=shop.named(width=length + over, depth=depth + over, thickness=31.75),
        outline=outline,
        blank_outline=blank,
        edges=(
            shop.scribed(
                "left", "wall left", "from the front", allow, [(y, 3 + y / 160) for y in range(100, 551, 50)]
            ),
            shop.scribed(
                "back",
                "wall back",
                "from the right end",
                allow,
                [(-x, depth + over - y) for x, y in reversed(back)],
            ),
        ),
        notches=(
            shop.notch(
                "casing", 1.5875, "from the right end", "from the front", (notch[2], notch[1], notch[0])
            ),
        ),
        measures=shop.named(overhang_at_the_front=25.4),
        cautions=(STUDS,),
        findings=(601,),
        confidence=0.99,
        limits="left and back edge and the notch, together, rounding included",
        readings=("a1", "a2"),
    )


def alcove_top(step=METRIC) -> PieceReport:
    """A top between three walls, cut net; datum at a centre line, x on both sides of 0."""
    shop = Shop(step)
    left, right, depth = 452.0, 449.0, 420.0
    pipe = ((300.0, depth), (300.0, depth - 45), (240.0, depth - 45), (240.0, depth))
    outline = ((-left, 0), (right, 0), (right + 3, depth), *pipe, (-left + 4, depth))
    blank = ((-left, 0), (right + 3, 0), (right + 3, depth), (-left, depth))
    net = shop.size(2.0, "up")
    return PieceReport(
        "alcove-top",
        "top",
        "ready",
        material="solid surface",
        grain="none",
        datum="front edge and centre line",
        finished=shop.named(width=left + right + 3, depth=depth, thickness=20),
        blank=shop.named(width=left + right + 3, depth=depth, thickness=20),
        outline=outline,
        blank_outline=blank,
        edges=(
            EdgeReport("left", "wall left", "net", gap=net),
            EdgeReport("right", "wall right", "net", gap=net),
            EdgeReport("back", "wall back", "net", gap=net),
        ),
        notches=(shop.notch("riser", 5, "from the centre line, left is minus", "from the front", pipe),),
        confidence=0.95,
        limits="three edges together",
        findings=(503,),
    )


def filler(step=INCH, name="filler-left") -> PieceReport:
    """A strip 30 in long and about 1 1/2 in wide, its left edge scribed; datum: bottom and right edge."""
    shop = Shop(step)
    length, allow = 762.0, shop.allowance(2.4, 1.1)
    wall = [(-38.1 + 2.4 * y / length, y) for y in (0.0, 190.5, 381.0, 571.5, length)]
    over = allow.total.cut_mm
    return PieceReport(
        name,
        "filler",
        "ready",
        material="maple",
        grain="along height",
        datum="long edge at the cabinet and bottom end",
        finished=shop.named(width=38.1, length=length, thickness=19.05),
        blank=shop.named(width=38.1 + over, length=length, thickness=19.05),
        outline=((0.0, 0.0), (0.0, length), *reversed(wall)),
        blank_outline=((-38.1 - over, 0.0), (0.0, 0.0), (0.0, length), (-38.1 - over, length)),
        edges=(
            shop.scribed(
                "left", "wall left", "from the bottom", allow, [(y, x + 38.1 + over) for x, y in wall]
            ),
        ),
        measures=shop.named(wider_at_the_bottom_by=2.4),
        confidence=0.99,
        limits="its left edge, rounding included",
    )


def tall_panel(step=INCH) -> PieceReport:
    """A tall panel, notched for a baseboard bottom left; a cable hole's notch bottom right."""
    shop = Shop(step)
    width, height, allow = 590.6, 2286.0, shop.allowance(3.1, 2.2)
    over = allow.total.cut_mm
    base, pipe = (-width + 17.5, 143.0), (-120.0, 60.0)
    wall = [(-width + 2.5 * math.sin(y / 500), y) for y in range(143, 2286, 190)]
    outline = (
        (base[0], 0.0),
        (-180.0, 0.0),
        (-180.0, 60.0),
        (-120.0, 60.0),
        (-120.0, 0.0),
        (0.0, 0.0),
        (0.0, height),
        (-width + 2.5 * math.sin(height / 500), height),
        *reversed(wall),
        (base[0], 143.0),
    )
    blank = ((-width - over, 0.0), (0.0, 0.0), (0.0, height), (-width - over, height))
    return PieceReport(
        "tall-end",
        "panel",
        "ready",
        material="birch plywood",
        grain="along height",
        datum="front edge and bottom end",
        finished=shop.named(depth=width, height=height, thickness=19.05),
        blank=shop.named(depth=width + over, height=height, thickness=19.05),
        outline=outline,
        blank_outline=blank,
        edges=(
            shop.scribed(
                "back", "wall back", "from the bottom", allow, [(y, x + width + over) for x, y in wall]
            ),
        ),
        notches=(
            shop.notch("baseboard", 1.6, "from the front", "from the bottom", (outline[-1], outline[0])),
            shop.notch(
                "conduit",
                3.2,
                "from the front",
                "from the bottom",
                ((-180.0, 0.0), (-180.0, 60.0), pipe, (-120.0, 0.0)),
            ),
        ),
        confidence=0.99,
        limits="its back edge and both notches",
    )


def cabinet(step=INCH) -> PieceReport:
    """A wall-hung box: sizes and gaps, no outline."""
    shop = Shop(step)
    return PieceReport(
        "vanity",
        "cabinet",
        "as typed",
        material="birch plywood",
        grain="along height",
        rule="Plumb and level; its back touches the wall at its sides and rails.",
        finished=shop.named(width=1371.6, height=762, depth=533.4),
        edges=(EdgeReport("left", "wall left", "filler", shop.size(38.1)),),
        measures=shop.named(gap_at_top_front=40.4, gap_at_bottom_front=38.1, greatest_gap_behind=6.4),
        cautions=(STUDS,),
        findings=(507,),
    )


def not_ready() -> PieceReport:
    """A piece that nothing can be said about yet."""
    return PieceReport("splash-left", "splash", "not ready", material="maple", findings=(300,))


def combed(step=METRIC, count=20) -> PieceReport:
    """A strip with notches along its back edge, twenty unless told."""
    shop = Shop(step)
    length, depth = 2000.0, 180.0
    points, notches = [(0.0, 0.0), (length, 0.0), (length, depth)], []
    for i in reversed(range(count)):
        left = 60.0 + 1850.0 * ((i + 0.3) / count) ** 1.2
        right = left + 600.0 / max(count, 20)
        corners = ((right, depth), (right, depth - 40), (left, depth - 40), (left, depth))
        points += corners
        notches.append(shop.notch(f"stud-{i + 1}", 2, "from the left end", "from the front", corners))
    return PieceReport(
        "comb",
        "top",
        "ready",
        material="beech",
        grain="along width",
        quantity=2,
        datum="front edge and left end",
        finished=shop.named(width=length, depth=depth, thickness=27),
        blank=shop.named(width=length, depth=depth, thickness=27),
        outline=(*points, (0.0, depth)),
        edges=(EdgeReport("back", "wall back", "net", gap=shop.size(2)),),
        notches=tuple(notches),
        confidence=0.9,
        limits="all notches",
    )


def sink_top(step=INCH) -> PieceReport:
    """A top with a rounded free corner, an oval basin and a faucet's hole; datum: front edge, right end."""
    shop = Shop(step)
    width, depth, round_ = 1524.0, 558.8, 50.8
    quarter = math.tan(math.pi / 8)
    outline = (
        *((-width + round_, 0.0), (0.0, 0.0), (0.0, depth), (-width, depth)),
        (-width, round_),
    )
    turns = [2 * math.pi * i / 48 for i in range(48)]
    basin = tuple((-700.0 + 240.0 * math.cos(a), 260.0 + 180.0 * math.sin(a)) for a in turns)
    faucet = tuple((-700.0 + 17.5 * math.cos(a), 490.0 + 17.5 * math.sin(a)) for a in turns)

    def cut_out(name, ring, item, width, depth, centre):
        return CutOutReport(
            name,
            "oval",
            shop.size(width),
            shop.size(depth),
            NotchCorner(shop.size(-centre[0]), shop.size(centre[1])),
            "from the right end",
            "from the front",
            ring=ring,
            item=item,
            left_over=shop.named(front=80, back=118.8),
            support=("a bearer at each side of it, front to back",),
        )

    return PieceReport(
        "sink-top",
        "top",
        "ready",
        material="walnut",
        grain="along width",
        datum="front edge and right end",
        finished=shop.named(width=width, depth=depth, thickness=30.0),
        blank=shop.named(width=width, depth=depth + 6.35, thickness=30.0),
        rough=shop.named(width=width + 25.4, depth=depth + 12.7, thickness=33.2),
        oversize=(
            OversizeReport("width", "end trimming", shop.size(25.4), "common practice"),
            OversizeReport("thickness", "planing", shop.size(3.2), "the shop"),
        ),
        outline=outline,
        bulges=(0.0, 0.0, 0.0, 0.0, quarter),
        blank_outline=((-width, 0.0), (0.0, 0.0), (0.0, depth + 6.35), (-width, depth + 6.35)),
        edges=(
            shop.scribed(
                "back", "wall back", "from the right end", shop.allowance(2.0, 1.0), [(0, 3), (1500, 5)]
            ),
        ),
        cut_outs=(
            cut_out("bowl", basin, "basin", 480.0, 360.0, (-700.0, 260.0)),
            cut_out("tap", faucet, "faucet", 35.0, 35.0, (-700.0, 490.0)),
        ),
        seams=shop.named(board_joint_from_the_front=280.0),
        stock=StockReport("comes out", "comes out of plank-2, 96 long", "plank-2"),
        waits_for=("basin",),
        entry=EntryReport("in from the front, straight back", ((0.0, 600.0),)),
        lift=LiftReport(21.5, "21.5 kg: one person, carefully"),
        confidence=0.99,
        limits="its back edge, rounding included",
    )


def framed_face(step=INCH) -> PieceReport:
    """A face frame that is put together of two stiles and two rails, one stile left wide."""
    shop = Shop(step)

    def part(name, quantity, length, width):
        finished = shop.named(length=length, width=width, thickness=19.05)
        return PartReport(
            name, quantity, finished, shop.named(length=length + 12.7, width=width + 3.2, thickness=22.2)
        )

    return PieceReport(
        "front-frame",
        "face frame",
        "ready",
        material="maple",
        grain="none",
        datum="its own parts: cut square",
        finished=shop.named(width=914.4, height=762.0, thickness=19.05),
        blank=shop.named(width=930.0, height=762.0, thickness=19.05),
        parts=(
            part("left stile", 1, 762.0, 54.0),
            part("right stile", 1, 762.0, 38.1),
            part("rail", 2, 822.3, 44.45),
        ),
    )


FINDINGS = (
    Finding(
        300,
        "stops",
        "nothing says where wall `left` is",
        "read a length to it",
        records=("w1",),
        pieces=("splash-left",),
    ),
    Finding(
        601,
        "doubt",
        "tile on area `wet` is still to come: 3/8 in thick, taken to be good to 1/16 in",
        "read the width at the back again when it is done, before cutting",
        pieces=("vanity-top",),
    ),
    Finding(
        503,
        "hint",
        "`alcove-top` cannot go in oversize between walls at both ends",
        "it is cut net at both",
        pieces=("alcove-top",),
    ),
    Finding(
        507,
        "hint",
        "`vanity` is listed at the size typed; nothing of it is computed",
        "check it by hand",
        pieces=("vanity",),
    ),
)


def report(*pieces: PieceReport, step: Step = INCH, findings=None, title="Hall bathroom") -> FitReport:
    """Put pieces into a report, with the findings that name them."""
    names = {piece.name for piece in pieces}
    chosen = findings if findings is not None else [f for f in FINDINGS if names & set(f.pieces)]
    return FitReport(
        "scribefit fit report",
        3,
        title,
        step.unit,
        str(step),
        0.99,
        "1a2b3c4d" + "0" * 56,
        RoomReport(),
        pieces,
        tuple(chosen),
    )


PIECES = {
    "corner top": corner_top,
    "alcove top": alcove_top,
    "filler": filler,
    "tall panel": tall_panel,
    "cabinet": cabinet,
    "not ready": not_ready,
    "twenty notches": combed,
    "sink top": sink_top,
    "face frame": framed_face,
}

REPORTS = {
    "vanity": lambda: report(cabinet(), corner_top(), filler(), not_ready()),
    "vanity, nothing open": lambda: report(cabinet(), corner_top(), filler()),
    "alcove": lambda: report(alcove_top(), step=METRIC, title="Nische im Flur"),
    "tall": lambda: report(tall_panel(), filler(), filler(name="filler-right"), cabinet()),
    "comb": lambda: report(combed(), step=METRIC),
    "everything in mm": lambda: report(
        *(make(METRIC) for make in (corner_top, alcove_top, filler, tall_panel, cabinet, combed)),
        not_ready(),
        step=METRIC,
    ),
    "only not ready": lambda: report(not_ready()),
    "empty": lambda: report(),
}
