"""Mirrors in the report: where each hangs, and what is in its way."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import NormalDist
from typing import Final

from fitting.mirror import HungMirror, KeptClear, MirrorPlan, hang_mirror
from survey.finding import Finding, finding
from survey.records import BoxPiece, Electrical, Mirror, Splash, Top
from survey.report.as_typed import as_typed, typed_sizes
from survey.report.boxes import HANGING, fitted_box, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.lifts import weight_words
from survey.report.needs import need_mark, need_place
from survey.report.planning import reflecting_edge
from survey.report.room_for import too_high
from survey.report.structs import NamedDimension, PieceReport
from survey.report.tops import top_named
from survey.report.trim import trims_on, width_of

TRIM: Final = ("casing", "sill", "baseboard")
"""Kinds of trim that a mirror cannot hang over."""
CABLES: Final = (
    "Cables run up and down from outlets and lights: find them before drilling. What is wired is for a "
    "licensed electrician, by the local code."
)

FLOOR_RUNS: Final = 100.0
"""mm by which a floor may lie above z = 0 under a cabinet that has no place yet (assumption)."""
TWO_LIFT: Final = 15.0
"""kg of glass from which on two people hang a mirror (judgement)."""


def mirror_report(context: Context, piece: Mirror) -> PieceReport:
    """Tell a mirror; one of which no place was said is listed as typed."""
    if piece.along is None and piece.centred is None and piece.bottom is None:
        return as_typed(context, piece)
    plan, others = _mirror_plan(context, piece)
    hung = hang_mirror(plan)
    context.note(*_past_the_wall(context, piece, hung), *_in_the_way(context, piece, hung))
    x, y = _point(context, piece.wall, plan.centre)
    context.note(*too_high(context, piece, [(x, y)], hung.bottom, hung.top))
    context.note(*reflecting_edge(context, piece, hung.bottom, (x, y)))
    sizes = typed_sizes(context, piece)
    return PieceReport(
        piece.name,
        "mirror",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "lower edge and centre line",
        _mirror_rule(piece),
        finished=sizes,
        blank=sizes,
        measures=tuple(_mirror_measures(context, piece, plan, hung)),
        cautions=(*HANGING, CABLES, _weight(context, piece, hung)),
        readings=context.readings_of({piece.wall}, others | {one.name for one in plan.things}),
    )


def _weight(context: Context, piece: Mirror, hung: HungMirror) -> str:
    kilograms = hung.kilograms if piece.kilograms is None else piece.kilograms
    told = f"It weighs {weight_words(context, kilograms)}"
    if piece.kilograms is None:
        told = f"As glass it weighs about {weight_words(context, kilograms)}, more with a frame"
    return f"{told}: two people lift it." if kilograms >= TWO_LIFT else f"{told}."


def _mirror_plan(context: Context, piece: Mirror) -> tuple[MirrorPlan, set[str]]:
    if piece.bottom is None:
        raise NotReady(not_said(piece, f"how high the lower edge of `{piece.name}` hangs", "say `bottom`"))
    context.note(*need_place(context, piece, [piece.wall]))
    centre, others = _centre(context, piece)
    bottom, half = mm(piece.bottom), mm(piece.width) / 2
    top = bottom + mm(piece.height)
    over = _lowest(context, piece, centre - half, centre + half)
    plan = MirrorPlan(
        mm(piece.width),
        mm(piece.height),
        mm(piece.thickness),
        centre,
        bottom,
        max((height for _, height in over), default=float("-inf")),
        wall=_ends(context, piece, (bottom + top) / 2),
        things=(
            *_electrical(context, piece),
            *_trim(context, piece, bottom, top),
            *_cabinets(context, piece),
        ),
    )
    return plan, others


def _centre(context: Context, piece: Mirror) -> tuple[float, set[str]]:
    """Return where along its wall its middle hangs, and what else says so."""
    wall, width = piece.wall, mm(piece.width)
    if piece.centred is not None and piece.along is not None:
        why = f"its place is said twice, by `{piece.centred}` and by `along`"
        raise NotReady(not_made(piece, why, "leave one of them out"))
    if piece.centred is not None:
        return _over(context, piece, piece.centred)
    if piece.along is None or piece.from_ is None:
        what = f"where along wall `{wall}` mirror `{piece.name}` hangs"
        raise NotReady(not_said(piece, what, "say what it is centred on, or `along` and `from`"))
    context.note(*need_mark(context, piece, wall, piece.from_, mm(piece.along)))
    start = context.along(wall, piece.from_, mm(piece.bottom))
    begins = start + context.signed_out(wall, piece.from_, mm(piece.along), width)
    return begins + width / 2, {piece.from_}


def _over(context: Context, piece: Mirror, name: str) -> tuple[float, set[str]]:
    """Return where the middle of a thing, a cabinet or a top is along the mirror's wall."""
    cabinet, top = context.record(name, BoxPiece), context.record(name, Top)
    if cabinet is not None:
        box = fitted_box(context, cabinet)
        middle = box.placed.frame.to_room((box.left + box.right) / 2, box.plan.depth)
        return _along_of(context, piece.wall, middle), walls_of(box) | rests_on(cabinet)
    if top is not None:
        _, fitted = top_named(context, piece, name)
        start, end = _span_of(context, piece.wall, name)
        return (start + end) / 2, fitted.placed.walls()
    feature = context.room.plan.feature(name.partition(":")[0])
    if feature is None or feature.wall != piece.wall:
        what = f"where `{name}` is along wall `{piece.wall}`, on which `{piece.name}` hangs centred on it"
        raise NotReady(not_said(piece, what, "name a thing of that wall, or a cabinet, or say `along`"))
    context.note(*need_mark(context, piece, piece.wall, feature.name, 0.0))
    return context.along(piece.wall, feature.name, mm(piece.bottom)), {feature.name}


def _point(context: Context, wall: str, along: float) -> tuple[float, float]:
    (ux, uy), (x, y) = context.room.axes(wall)[0], context.room.foot(wall)
    return x + along * ux, y + along * uy


def _along_of(context: Context, wall: str, point: tuple[float, float]) -> float:
    (ux, uy), (x, y) = context.room.axes(wall)[0], context.room.foot(wall)
    return (point[0] - x) * ux + (point[1] - y) * uy


def _span_of(context: Context, wall: str, name: str) -> tuple[float, float]:
    """Return from where to where along a wall a top reaches that was worked out."""
    top = context.tops[name]
    ring = [
        top.placed.frame.to_room(top.datum[0] + float(x), top.datum[1] + float(y))
        for x, y in top.outline.outline
    ]
    along = [_along_of(context, wall, point) for point in ring]
    return min(along), max(along)


def _ends(context: Context, piece: Mirror, up: float) -> tuple[float, float]:
    """Return from where to where a wall runs, as far as it has corners."""
    ends = [context.room.plan.corner_at(piece.wall, end) for end in ("left", "right")]
    left, right = (None if one is None else context.along(piece.wall, one.name, up) for one in ends)
    return float("-inf") if left is None else left, float("inf") if right is None else right


def _lowest(context: Context, piece: Mirror, left: float, right: float) -> list[tuple[str, float]]:
    """Return what stands under a mirror, and how high it reaches: tops on its wall and their splashes."""
    found = []
    for top in context.survey.of(Top):
        if top.wall != piece.wall:
            continue
        try:
            _, fitted = top_named(context, piece, top.name)
        except NotReady:
            context.note(_not_looked_at(piece, top.name, top.id))
            continue
        start, end = _span_of(context, piece.wall, top.name)
        if start >= right or end <= left:
            continue
        found.append((top.name, fitted.plan.upper))
        found += [
            (one.name, fitted.plan.upper + mm(one.height))
            for one in context.survey.of(Splash)
            if one.of == top.name and one.side == "back"
        ]
    return found


def _electrical(context: Context, piece: Mirror) -> Iterator[KeptClear]:
    """Give lights, outlets and switches of the wall; say of which it is not known where they are."""
    room = context.room
    for one in context.survey.of(Electrical):
        if one.wall != piece.wall or one.name == piece.centred:
            continue
        up = room.feature_height(one.name)
        sizes = one.plate_width, one.plate_height
        if up is None or None in sizes or not room.feature_placed(one.name):
            context.note(_not_looked_at(piece, one.name, one.id))
            continue
        along = room.along(one.wall, one.name, float(up.mean[0]))
        quantile = NormalDist().inv_cdf((1 + context.confidence) / 2)
        unknown = quantile * max(float(along.sd[0]), float(up.sd[0]))
        x, y = float(along.mean[0]), float(up.mean[0])
        half, tall = mm(one.plate_width) / 2, mm(one.plate_height) / 2
        yield KeptClear(one.name, x - half, x + half, y - tall, y + tall, unknown)


def _cabinets(context: Context, piece: Mirror) -> Iterator[KeptClear]:
    """Give the cabinets whose backs are at the wall."""
    for one in context.survey.of(BoxPiece):
        if one.wall != piece.wall:
            continue
        try:
            box = fitted_box(context, one)
        except NotReady:
            if not _is_well_below(one, piece):
                context.note(_not_looked_at(piece, one.name, one.id))
            continue
        left, right = (
            _along_of(context, piece.wall, box.placed.frame.to_room(x, box.plan.depth))
            for x in (box.left, box.right)
        )
        yield KeptClear(one.name, left, right, box.plan.bottom, box.plan.top)


def _is_well_below(box: BoxPiece, mirror: Mirror) -> bool:
    """Whether a cabinet ends below a mirror wherever it stands, on the highest floor that may be."""
    floor = 0.0 if box.bottom is not None else FLOOR_RUNS
    return mm(box.bottom) + mm(box.height) + floor <= mm(mirror.bottom)


def _not_looked_at(piece: Mirror, name: str, record: str) -> Finding:
    return finding(513, [record], [piece.name], obstacle=name, wall=piece.wall)


def _trim(context: Context, piece: Mirror, bottom: float, top: float) -> Iterator[KeptClear]:
    for trim in trims_on(context, piece, {piece.wall}, TRIM, bottom, top):
        if context.room.plan.feature(trim.name) is None:
            yield KeptClear(trim.name, *(-1e5, 1e5), trim.bottom, trim.top)  # a board along the whole wall
            continue
        near = context.along(piece.wall, trim.name, max(trim.bottom, 0.0))
        far = near + width_of(trim) * (1.0 if trim.toward == "right" else -1.0)
        yield KeptClear(trim.name, min(near, far), max(near, far), trim.bottom, trim.top)


def _past_the_wall(context: Context, piece: Mirror, hung: HungMirror) -> Iterator[Finding]:
    for side, room in zip(("left", "right"), hung.beside, strict=True):
        if room < 0:
            past = context.printer.up(-room).text
            other = "right" if side == "left" else "left"
            why = f"its {side} edge is {past} past the {side} end of wall `{piece.wall}`"
            yield not_made(piece, why, f"hang it {past} further to the {other}, or make it narrower")


def _in_the_way(context: Context, piece: Mirror, hung: HungMirror) -> Iterator[Finding]:
    """Say what it covers, and the least move that would clear it."""
    near = context.printer.up
    for clash in hung.clashes:
        do = f"hang it {near(clash.move).text} further {_way(clash.way)}, or have `{clash.name}` moved"
        ids = [piece.id, *context.ids(clash.name)]
        yield finding(506, ids, [piece.name], piece=piece.name, obstacle=clash.name, do=do)
    for name, height in _lowest(context, piece, hung.left, hung.right):
        if hung.bottom < height:
            do = f"hang it {near(height - hung.bottom).text} higher"
            ids = [piece.id, *context.ids(name)]
            yield finding(506, ids, [piece.name], piece=piece.name, obstacle=name, do=do)


def _way(way: str) -> str:
    return way if way in ("up", "down") else f"to the {way}"


def _mirror_rule(piece: Mirror) -> str:
    where = f"centred on `{piece.centred}`" if piece.centred else f"measured from `{piece.from_}`"
    return f"level, on wall `{piece.wall}`, {where}, its lower edge at the height given"


def _mirror_measures(
    context: Context, piece: Mirror, plan: MirrorPlan, hung: HungMirror
) -> Iterator[NamedDimension]:
    named = context.printer.named
    for side, room in zip(("left", "right"), hung.beside, strict=True):
        if room < float("inf"):
            yield named(f"wall beside it at the {side}", room)
    yield named("lower edge above z = 0", hung.bottom)
    yield named("upper edge above z = 0", hung.top)
    if plan.lowest > float("-inf"):
        yield named("above what stands under it", hung.over_lowest)
    floor = context.room.level("floor", [_point(context, piece.wall, plan.centre)])
    if floor is not None:
        yield named("lower edge above the floor", hung.reflects_from(float(floor.mean[0])))
