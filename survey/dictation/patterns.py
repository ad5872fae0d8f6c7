"""How each kind of record is said: one table, from which reading, saying, errors and help are all made.

The notation: plain words are said as they stand; `{field}` is the field's value; `[...]` may be left out;
`<...>` must be said; neighbours of these two kinds come in any order; `(a | b)` is one of two ways, the
first being the one that is printed. `{field:how}` says how a value is read where its type does not tell,
`{field=words}` is true when the words are said. A colon or a comma between parts is never needed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

Values = Mapping[str, object]


def _as_it_is(values: Values) -> Values:
    return values


def _name_the_corner(values: Values) -> Values:
    """A corner without a name is named after its walls, left one first."""
    return {"name": f"{values['left_wall']}-{values['right_wall']}", **values}


def _of_the_floor(values: Values) -> Values:
    """There is one floor, so nobody needs to say which."""
    return {"of": "floor", **values} if values["what"] == "level floor" else values


@dataclass(frozen=True)
class Pattern:
    """How one kind of record is said, what for, and examples in inches."""

    about: str
    says: str
    examples: tuple[str, ...]
    complete: Callable[[Values], Values] = _as_it_is


_ALONG = "along {along} from {from}"
_ON_WALL = "{name} on {wall:name}"
_AREA = "[width {width}] [height {height}]"
_BOX = (
    "{name} [on {wall:name}] <width {width}> <height {height}> <depth {depth}> [bottom {bottom}] "
    "[back {back}] [left {left}] [right {right}] [along {along}] [from {from}] [aim {aim}] [pins {pins}] "
    "[stands on {base}] [toe height {kick_height}] [toe depth {kick_depth}]"
)


_FRONT = "[sits {sits}] [from left {from_left}] [from top {from_top}] [pull {pull}]"
_FROM_END = "[along {along}] [from {end} end] [from front {from_front}]"


def _sized(head: str, about: str, more: str = "", example: str = "") -> Pattern:
    """A part whose size is typed."""
    sized = f"{head} p1 width 46 1/2 height 4 thickness 3/4 of vanity"
    return Pattern(
        about,
        f"{head} {{name}} <width {{width}}> <height {{height}}> <thickness {{thickness}}> [of {{of}}] {more}",
        (f"{sized}, grain along width, quantity 2", *([f"{sized} {example}"] if example else [])),
    )


PATTERNS: dict[str, Pattern] = {
    "job": Pattern(
        "the job: its unit is what a bare number means",
        "job {title} in {unit} to {step:step} [confidence {confidence}] [level line {level_line}] "
        "[marked {datum_mark}] [agreed {agreed}]",
        ('job "Corner vanity" in inches to 1/16 level line 36',),
    ),
    "room": Pattern(
        "the room and its back wall, the one that the pieces are fixed to",
        "room {name} [back {back}] [{age}] [origin {origin}]",
        ("room bath back back old",),
    ),
    "wall": Pattern(
        "a wall and what is in it",
        "wall {name} [{framing}] [spacing {spacing}]",
        ("wall back wood stud spacing 16", "wall left masonry"),
    ),
    "corner": Pattern(
        "where two walls meet; facing the corner, the left wall first",
        "corner [{name} joins] {left_wall} and {right_wall} [{turn}] [nominal {nominal}]",
        ("corner left-back joins left and back inside", "corner left and back"),
        _name_the_corner,
    ),
    "area": Pattern(
        "a part of a wall and its layers, from the framing outward",
        "area {name} on {wall:name} [from {from}] [to {to}] [bottom {bottom}] [top {top}] [layers {layers}]",
        ("area a1 on left layers board 1/2 in place, tile 3/8 to come",),
    ),
    "mark": Pattern(
        "a scratch that survives tile and paint",
        "mark {name} on {wall} [described {described:rest}]",
        ('mark m1 on back described "pencil cross over the outlet"',),
    ),
    "assumption": Pattern(
        "what is taken as given because it was not measured",
        "assume {what} [[of] {of}] [because {because:rest}]",
        ("assume corner angle left-back because the tub is in the way", "assume level floor"),
        _of_the_floor,
    ),
    "length": Pattern(
        "a length between two places",
        "length {between.0} to {between.1} [up {up}] <reads {reads}>",
        (
            "length left-back to back-right up 34 reads 60 3/8",
            "length (left 22 from left-back) to (right 22 from back-right) up 34 reads 60 1/8",
        ),
    ),
    "three-sides": Pattern(
        "a corner by three sides: a leg on its left wall, one on its right wall, the diagonal",
        "three sides {corner} ({left_leg} left {right_leg} right | left {left_leg} right {right_leg}) "
        "<diagonal {diagonal}> [up {up}]",
        ("three sides left-back 36 left 48 right diagonal 59 15/16 up 34",),
    ),
    "corner-angle": Pattern(
        "a corner by a gauge",
        "angle {corner} <reads {reads}> <reach {reach}> [up {up}]",
        ("angle left-back reads 89.5 reach 8 up 34",),
    ),
    "corner-square": Pattern(
        "a corner by a square: the wall it lies on, both legs, the gap at the other leg",
        "square {corner} lies on {lies_on} {lying_leg} <other {other_leg}> <gap {gap} at {gap_at}> "
        "[{flipped=proved by a flip}] [up {up}]",
        ("square left-back lies on back 24 other 16 gap 1/8 at tip up 34",),
    ),
    "straightedge": Pattern(
        "gaps behind a straightedge, a string or a laser line: place and gap, place and gap",
        "straightedge {wall} [{run}] [along {along}] [up {up}] <from {from}> : {stations} "
        "[edge {edge_length}] [cross {cross}]",
        (
            "straightedge back up 34 from left-back: 0 0, 6 1/16, 12 1/8, 18 0",
            "straightedge left plumb along 20 from left-back: 4 0, 28 1/16",
            "straightedge back up 34 from left-back: 2 12 1/8, 50 12 1/16 cross a with line laser",
        ),
    ),
    "lean": Pattern(
        "how far a wall leans: in, the top leans into the room; out, away from it",
        f"lean {{wall}} {_ALONG} <low {{low}}> <high {{high}}> "
        "<({offset:in-or-out} | angle {angle:then-in-or-out})>",
        (
            "lean left along 20 from left-back low 4 high 34 in 1/8",
            "lean left along 20 from left-back low 4 high 34 angle 0.3 out",
        ),
    ),
    "drop": Pattern(
        "from the level line to the floor or ceiling, at a place along a wall and out of it",
        f"drop {{to}} {{wall}} <{_ALONG}> <out {{out}}> <reads {{reads}}>",
        ("drop floor back along 12 from left-back out 10 reads 35 7/8",),
    ),
    "position": Pattern(
        "where a feature is; a height is above the level plane, or below the level line",
        f"position {{of}} [{_ALONG}] [out {{out}}] [up {{up}}] [below {{below}}]",
        ("position door-casing along 18 from left-back up 4",),
    ),
    "story-stick": Pattern(
        "a stick held along a wall, and the marks struck on it",
        "story stick {wall} zero {zero} [up {up}] marks {marks}",
        ("story stick back zero left-back up 34 marks door-casing 18 1/4, drain 24",),
    ),
    "template": Pattern(
        "a cut template: points of its edge that touch walls, in its own frame",
        "template [up {up}] touches {points}",
        ("template up 34 touches back right 2 back 22, back right 40 back 22 1/16, left right 0 back 3",),
    ),
    "tool": Pattern(
        "an instrument of the shop: its class, and what it read over a length that is known",
        "tool {name} is {instrument} [class {tape_class}] [known {known} reads {reads}]",
        ("tool shop-tape is tape class I known 40 reads 40 1/64 hooked", "tool l1 is laser"),
    ),
    "opening": Pattern(
        "a door, window or shower door",
        f"{{type}} {_ON_WALL} [clear width {{clear_width}}] [leaf {{leaf_thickness}}] [knob {{knob}}] "
        "[hinge {hinge}] [swings {swing}] [bottom {bottom}] [top {top}]",
        ("door entry on left clear width 28 1/4 leaf 1 3/8 hinge left swings in",),
    ),
    "trim": Pattern(
        "casing, baseboard, sill or crown; its point is its near edge",
        f"{{type}} {_ON_WALL} [toward {{toward}}] [width {{width}}] [projection {{projection}}] "
        "[bottom {bottom}] [top {top}] [{profile}] [{fate}] [points {points}]",
        (
            "casing door-casing on left toward left width 2 1/4 projection 3/4 bottom 0 top 80 plain stays",
            "baseboard base on back width 5 1/4 projection 5/8 comes off",
            "casing c1 on left width 2 1/2 projection 3/4 moulded points 0 out 1/4, 1 out 1/2, 2 1/2 out 3/4",
        ),
    ),
    "rough-in": Pattern(
        "a drain, supply, valve, vent or gas stub",
        f"{{type}} {_ON_WALL} [diameter {{diameter}}] [stub {{stub}}] [handle {{handle}}]",
        ("drain drain on back diameter 1 1/2", "stop valve hot-valve on back stub 3 handle 2"),
    ),
    "electrical": Pattern(
        "an outlet, switch, light or box with its plate",
        f"{{type}} {_ON_WALL} [plate width {{plate_width}}] [plate height {{plate_height}}]",
        ("outlet o1 on back plate width 2 3/4 plate height 4 1/2",),
    ),
    "register": Pattern(
        "an air register or grille",
        f"register {_ON_WALL} {_AREA}",
        ("register r1 on floor width 10 height 4",),
    ),
    "floor-heat": Pattern(
        "heating in the floor or a wall: do not drill",
        f"floor heat {_ON_WALL} [extent {{extent}}]",
        ('floor heat h1 on floor extent "all but 4 in along the walls"',),
    ),
    "access-panel": Pattern(
        "a panel that must stay reachable",
        f"access panel {_ON_WALL} {_AREA}",
        ("access panel ap1 on right width 12 height 12",),
    ),
    "fixture": Pattern(
        "a toilet, tub, radiator or the like, to be kept clear of",
        f"fixture {{type}} {_ON_WALL} [width {{width}}] [projection {{projection}}]",
        ("fixture toilet wc on right width 20 projection 28",),
    ),
    "stud": Pattern(
        "a stud and how it was proved",
        f"stud {_ON_WALL} [width {{width}}] [proved {{proved}}]",
        ("stud s1 on back width 1 1/2 proved nail",),
    ),
    "obstacle": Pattern(
        "anything else that stands out of a wall",
        f"obstacle {_ON_WALL} [{{type}}] {_AREA} [projection {{projection}}]",
        ("obstacle ledge on back width 30 height 2 projection 3 1/2",),
    ),
    "bought-item": Pattern(
        "a sink, faucet, appliance: measured or promised, in hand or not",
        "bought {name} {what} [width {width}] [height {height}] [depth {depth}] [{size}] [{in_hand=in hand}] "
        "[of {of}] [radius {radius}] [weighs {kilograms}]",
        ('bought sink "undermount basin, oval" width 18 1/2 depth 15 1/4 measured in hand',),
    ),
    "stock": Pattern(
        "material on hand, its real size",
        "stock {name} {material} [{form}] <length {length}> <width {width}> <thickness {thickness}> "
        "[quantity {quantity}]",
        ('stock ply "birch plywood" sheet length 96 width 48 thickness 0.71 quantity 3',),
    ),
    "cabinet": Pattern(
        "a cabinet box; each side meets something or is open",
        f"cabinet {_BOX}",
        (
            (
                "cabinet base-1 width 36 height 34 1/2 depth 24 left meets left net, aim in line centre with "
                "drain, pins left at least 1/2, stands on legs toe height 4 toe depth 3"
            ),
            (
                "cabinet vanity on back width 48 height 31 depth 21 bottom 3, "
                "left meets left filler gap 3/4, right open"
            ),
        ),
    ),
    "tall-cabinet": Pattern(
        "a cabinet from the floor to above eye height",
        f"tall cabinet {_BOX}",
        ("tall cabinet linen on back width 18 height 84 depth 22, right meets right filler gap 3/4",),
    ),
    "top": Pattern(
        "a level top",
        "top {name} [on {on}] [against {wall:name}] [up {up}] <thickness {thickness}> [depth {depth}] "
        "[width {width}] [overhang {overhang}] [end overhang {end_overhang}] [left {left}] [right {right}] "
        "[back {back}] [clearance {clearance}] [along {along}] [from {from}] [aim {aim}] [pins {pins}] "
        "[worked as {rule}] [corner left {front_left}] [corner right {front_right}] [profile {profile}] "
        "[profile depth {profile_depth}]",
        (
            (
                "top vanity-top on vanity thickness 1 overhang 1, left meets left scribed, "
                "back meets back scribed, right open"
            ),
            (
                "top counter on vanity thickness 1 1/4 overhang 1, back meets back net cover 3/4, "
                "aim balanced, worked as stone, corner right radius 2"
            ),
        ),
    ),
    "panel": Pattern(
        "an upright panel that stands out from a wall",
        f"panel {{name}} [on {{wall:name}}] <{_ALONG}> <shows {{show}}> <depth {{depth}}> "
        "<thickness {thickness}> <height {height}> [bottom {bottom}] [back {back}] [clearance {clearance}] "
        "[upper {upper}]",
        (
            (
                "panel end on back along 50 from left-back shows right depth 22 thickness 3/4 height 34, "
                "back meets back scribed"
            ),
        ),
    ),
    "filler": Pattern(
        "a strip between a cabinet's face and a wall or trim",
        "filler {name} ({side} of {beside} | beside {beside} {side}) <thickness {thickness}> "
        "[setback {setback}] [saw {saw}] [runs on from {runs_on}]",
        ("filler f1 left of vanity thickness 3/4",),
    ),
    "splash": _sized("splash", "a splash above a top", "[stands at {side}]", "stands at back"),
    "shelf": _sized(
        "shelf",
        "a shelf; its height is its depth, front to back",
        "[on {wall:name}] [up {up}] [left {left}] [right {right}] [back {back}]",
        "up 60 left meets left net, right meets right net gap 1/16",
    ),
    "face-frame": _sized(
        "face frame",
        "a face frame; a stile that meets a wall is left wide",
        "[stile {stile}] [rail {rail}] [openings {openings}] [left {left}] [right {right}]",
        "stile 1 1/2 rail 1 3/4 openings 5, 18 left meets left scribed",
    ),
    "drawer": _sized(
        "drawer",
        "a drawer: its opening, and for its thickness the depth of its box",
        f"{_FRONT} [slide {{slide}}] [slide clearance {{slide_clearance}}] [sides {{stuff}}] "
        "[front thickness {front_thickness}]",
        "sits inset from left 3/4 from top 3/4 pull 1 1/4 slide clearance 1/2 sides 5/8",
    ),
    "false-front": _sized("false front", "a front with nothing behind it", _FRONT, "sits overlay"),
    "toe-kick": _sized("toe kick", "a toe-kick", "[floor {floor}]", "floor scribed"),
    "cleat": _sized(
        "cleat",
        "a hanging cleat; with an angle, a hooked pair",
        "[angle {angle}] [up {up}]",
        "angle 45 up 30",
    ),
    "stretcher": _sized("stretcher", "a stretcher or hanging rail", "[sides {side_thickness}]", "sides 3/4"),
    "mirror": _sized(
        "mirror",
        "a mirror on a wall",
        "[on {wall:name}] [along {along}] [from {from}] [centred on {centred}] [bottom {bottom}]",
        "on back centred on drain bottom 40",
    ),
    "cabinet-door": Pattern(
        "a cabinet's door",
        "hinged door {name} <width {width}> <height {height}> <thickness {thickness}> [of {of}] "
        f"<hinge {{hinge}}> [hinges {{hinges}}] [opens {{opens}}] {_FRONT}",
        ("hinged door d1 width 15 height 22 thickness 3/4 of vanity hinge left opens 95 pull 1 1/4",),
    ),
    "light-strip": _sized(
        "strip light", "a light strip under a cabinet: its width is its length", "[{may_be_cut=may be cut}]"
    ),
    "case-back": _sized(
        "case back",
        "a cabinet's back",
        "[sits {sits}] [groove {groove}] [sides {side_thickness}]",
        "sits in a groove groove 3/8 sides 3/4",
    ),
    "cut-out": Pattern(
        "what is cut out of a top, by the place of its centre: over a thing, or from an end and the front",
        "cut out {name} in {of} [for {item}] [{shape}] [width {width}] [depth {depth}] [radius {radius}] "
        f"[over {{over}}] {_FROM_END} [least {{least}}]",
        (
            "cut out c1 in vanity-top for sink oval over drain from front 11 least 2",
            "cut out c2 in vanity-top rectangle width 20 depth 14 radius 1/2 along 24 from left end",
        ),
    ),
    "seam": Pattern(
        "a seam, a joint between two boards, or a knot",
        f"seam {{name}} in {{of}} [{{type}}] {_FROM_END} [size {{size}}]",
        (
            "seam s1 in counter along 60 from left end",
            "seam s2 in counter board joint from front 11 1/4",
            "seam k1 in counter knot along 20 from right end from front 8 size 1 1/2",
        ),
    ),
    "oversize": Pattern(
        "what is left over for a purpose: by the shop, or on one piece",
        "oversize {purpose} {amount} [of {of}]",
        ("oversize veneer 1/2", "oversize scribing 5/8 of strip"),
    ),
    "machine": Pattern(
        "a machine's bed, the largest blank that it takes",
        "machine {name} <length {length}> <width {width}> [thickness {thickness}]",
        ("machine router length 96 width 48 thickness 4",),
    ),
    "way": Pattern(
        "one thing to get past between the van and the place, in order of its step",
        "way {name} step {step} {type} [width {width}] [next width {next_width}] [height {height}] "
        "[length {length}] [slope {slope}]",
        (
            "way front-door step 1 doorway width 32 1/4 height 80",
            "way hall-corner step 2 corner width 36 next width 34 height 96",
            "way flight step 3 stairs width 35 height 78 slope 38",
        ),
    ),
    "note": Pattern(
        "something to remember",
        "note {text:rest} [about {about}]",
        ("note the tiler comes on Tuesday", 'note "loose plaster" about left-back'),
    ),
    "photo": Pattern(
        "a photo that the file keeps, by its SHA-256",
        "photo {sha256} {media_type} [about {about}]",
        (f"photo {'0123456789abcdef' * 4} image/jpeg about left-back",),
    ),
    "decision": Pattern(
        "a choice that was made, and what it was made on",
        "decide {about} {choice} [value {value}] [on readings {taken_on}] [seeing {result}]",
        ('decide f1 "filler on the left" value 1 1/4 seeing "gap at top" "1 3/16 in"',),
    ),
    "as-installed": Pattern(
        "what was really planed off, shimmed or re-cut",
        "installed {piece} {edge:name} [at {at}] [planed off {planed_off}] [gap {gap}] [shim {shim}] "
        "[recut {recut}] [remark {remark}]",
        ("installed vanity-top back at 12 planed off 3/32", "installed vanity right gap 1/8 shim 1/16"),
    ),
    "experience": Pattern(
        "how sure the shop's readings are, from its own jobs as installed",
        "experience factor {factor} jobs {jobs} edges {edges}",
        ("experience factor 1.2 jobs 14 edges 52",),
    ),
    "withdrawal": Pattern(
        "takes a record back: by its id, or `last`",
        "withdraw {replaces} [because {because:rest}]",
        ("withdraw last because the tape had slipped",),
    ),
}

PART_PATTERNS: dict[str, str] = {
    "Spot": "(`( {wall} [at] {along} from {from} [up {up}] `) | {wall} at {along} from {from})",
    "Station": "[at] {at} (gap {gap} | {gap})",
    "StickMark": "{to} [at] {reads}",
    "TemplatePoint": "{wall} right {right} back {back}",
    "Layer": "{name:part} {thickness} [{state}]",
    "Edge": "(meets {meets} {finish} [gap {gap}] [saw {saw}] [cover {cover}] | open)",
    "Aim": "{what} [{edge} with {line} [off {off}]]",
    "Pin": "{side} {rule} {gap}",
    "CornerShape": "{shape} {size}",
    "ProfilePoint": "{across} out {out}",
}

INSTRUMENT_CLAUSE = "[with {instrument}]"
READING_CLAUSES = "[{start}] [to {face}] [sd {sd}]"
PIECE_CLAUSES = "[material {material}] [grain {grain}] [quantity {quantity}] [weighs {kilograms}]"
EVERY_CLAUSE = "[note {note:rest}]"

# What people say for a field's value that files spell otherwise; the first way is the one that is printed.
SAID_FOR: dict[str, dict[str, tuple[str, ...]]] = {
    "unit": {"in": ("inches", "inch", "in"), "mm": ("mm", "millimetres", "millimeters")},
    "start": {
        "hook": ("hooked", "hook"),
        "bent into the corner": ("bent in", "bent into the corner"),
        "mark": ("held to a mark",),
    },
    "face": {"finished": ("finished face", "finished"), "now": ("face as it is", "now")},
    "instrument": {
        "tape": ("tape", "tape measure"),
        "spirit level": ("spirit level", "level"),
        "framing square": ("framing square", "square"),
        "angle gauge": ("angle gauge", "gauge"),
        "phone level": ("phone level", "phone"),
    },
    "fate": {"comes off": ("comes off", "goes")},
}
