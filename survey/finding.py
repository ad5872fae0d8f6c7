"""Findings: something missing, wrong or in doubt, by a number whose meaning never changes.

Numbers: 100 names and structure, 200 single readings, 300 missing, 400 readings against one another,
500 pieces, 600 assumptions and what is still to come. Every layer that finds something makes it here.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Literal

from msgspec import Meta, Struct, structs

Severity = Literal["stops", "doubt", "hint"]


class Finding(Struct, frozen=True, forbid_unknown_fields=True):
    """What is the matter, with which records and pieces, and what to do about it."""

    number: Annotated[int, Meta(ge=100, le=999)]
    severity: Annotated[Severity, Meta(description="stops: no cutting before it is settled.")]
    says: Annotated[str, Meta(description="What is the matter.")]
    do: Annotated[str, Meta(description="What to do about it.")]
    records: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()


# number: (severity, what is the matter, what to do); the words in braces are filled in by the finder.
NUMBERS: dict[int, tuple[Severity, str, str]] = {
    100: ("stops", "there is no job record", "add one: title, unit, smallest fraction"),
    101: ("stops", "there is no wall to fix anything to", "add the walls and corners of the place"),
    102: ("stops", "the name `{name}` is used {count} times", "withdraw all but one, or rename them"),
    103: ("stops", "{what} names `{name}`, which does not exist", "add it, or correct the name: {known}"),
    104: ("stops", "the walls do not hang together: {why}", "correct the walls or corners named"),
    105: ("doubt", "{count} records correct the same one", "withdraw all but the right one"),
    106: (
        "stops",
        "wall `{name}` stands at the {end} end of the back wall, facing it",
        "walls run clockwise seen from above: swap the walls of corner `{corner}`, or rename the wall",
    ),
    107: ("stops", "there is no room record, so no wall is the back wall", "add the room"),
    108: ("stops", "there are {count} {what} records", "withdraw all but one"),
    200: ("stops", "{what} is {value}: expected {expected}", "read it again"),
    201: (
        "stops",
        "{what}: {value} lies off wall `{wall}`, which is {length} long",
        "read it again, or the wall's length",
    ),
    202: ("stops", "corner `{corner}` comes out at {value}, expected about {expected}", "read it again"),
    203: ("stops", "{what} has no height", "say `up`, or give its ends heights of their own"),
    204: ("stops", "sides {a}, {b} and {c} make no triangle", "read all three again"),
    205: ("stops", "{count} numbers were read; one room takes {most}", "thin out the checks"),
    206: ("stops", "what was read makes no room: {why}", "{do}"),
    207: ("stops", "{what} cannot be used: {why}", "{do}"),
    208: (
        "hint",
        "{what} is not used: `{name}` is on the floor, and only walls carry places so far",
        "keep clear of it by hand",
    ),
    209: (
        "stops",
        "{what}: {value} lies past corner `{corner}`, off wall `{wall}`",
        "leave the minus out: from a corner, places count into its wall, from either end",
    ),
    300: ("stops", "nothing says where wall `{wall}` is", "read a length to it"),
    301: ("stops", "nothing says how square corner `{corner}` is", "read it by three sides, gauge or square"),
    302: (
        "stops",
        "wall `{wall}` was not checked at {heights} over {span}",
        "hold a straightedge there and read the gaps",
    ),
    303: ("stops", "nothing says where the floor is", "read drops from the level line to the floor"),
    304: ("stops", "nothing says where `{name}` is", "read its position"),
    305: ("stops", "`{name}` has no {size}", "measure it and add it"),
    306: ("stops", "{what} is not said", "{do}"),
    400: ("doubt", "the readings do not agree: {why}", "{do}"),
    401: ("doubt", "{what} looks {slip}{asks}", "read it again"),
    402: ("doubt", "one of these is wrong: {what}", "{do}"),
    403: (
        "hint",
        "nothing checks {what}: a slip there would go unnoticed",
        "read it once more, or another way",
    ),
    500: ("stops", "`{piece}` is {size} high; the room there is {room}", "make it lower, or read again"),
    501: ("stops", "`{piece}` is {size} wide; there are {room} between the walls", "make it {less} narrower"),
    502: ("stops", "`{piece}` cannot be made: {why}", "{do}"),
    503: ("hint", "`{piece}` cannot go in oversize between walls at both ends", "it is cut net at {which}"),
    504: (
        "hint",
        "the gap at {edge} of `{piece}` is {gap}, not {asked}: the wall is not known better",
        "{do}",
    ),
    505: (
        "doubt",
        "the place for `{piece}` is {less} narrower at the front than behind",
        "it does not slide in from the front; let it down from above, or cut it to the narrowest",
    ),
    506: ("doubt", "`{piece}` runs into `{obstacle}`", "{do}"),
    507: ("hint", "`{piece}` is listed at the size typed; nothing of it is computed", "check it by hand"),
    508: (
        "stops",
        "`{obstacle}` divides `{piece}` in two: {off} of it would fall off, {size}",
        "make it in two parts, take the trim off, or {least}",
    ),
    509: (
        "doubt",
        "less than 1/8 in of `{piece}` stays beside {obstacle}",
        "let the notch run through, or leave more wood there: it breaks",
    ),
    510: (
        "doubt",
        "the gap at {edge} of `{piece}` comes out at {gap}, not at the {asked} asked for",
        "leave one of the two gaps out, or change its width",
    ),
    511: (
        "doubt",
        "`{name}` opens toward corner `{corner}`, which is only {room} away",
        "look whether it opens the other way: facing the wall, `toward` says where its opening is",
    ),
    512: (
        "doubt",
        "`{obstacle}` on wall `{wall}` is not worked around by what meets that wall",
        "look whether it is in the way; only casing, sills and baseboards are worked out so far",
    ),
    513: (
        "hint",
        "`{obstacle}` stands at wall `{wall}`; whether what meets that wall clears it is not worked out",
        "check it by hand",
    ),
    514: ("doubt", "`{piece}` goes in with a chance of {chance} only", "{do}"),
    515: ("hint", "how likely `{piece}` fits cannot be worked out: {why}", "look at its gaps and its walls"),
    516: ("stops", "`{piece}` cannot be kept where its pins ask: {which}", "{do}"),
    517: (
        "stops",
        "`{piece}` ends a run {size} wide in all ({names}); there are {room} for it",
        "take {less} off one of them, or off a gap between them",
    ),
    518: (
        "stops",
        "nothing holds `{piece}`: {why}",
        "say where one of them stands: a wall at its side, or `along`",
    ),
    519: (
        "doubt",
        "`{piece}` and `{other}` overlap by {by} along wall `{wall}`",
        "move one of them by that, or make it narrower",
    ),
    520: ("doubt", "`{piece}` and `{other}` both lie on `{cabinet}`", "withdraw one, or say another cabinet"),
    521: (
        "stops",
        "in line with `{line}`, `{piece}` stands {by} into {what}",
        "put it that much to the {way} of the line (`off`), or make it narrower",
    ),
    522: (
        "stops",
        "`{piece}` cannot come even with the front of `{other}`: its back is {by} too deep for its wall",
        "make it that much less deep, or bring `{other}` forward",
    ),
    524: (
        "doubt",
        "`{piece}` opens to {reached} only, not to {asked}: it strikes {obstacle}",
        "{do}",
    ),
    525: (
        "doubt",
        "`{piece}` does not slide out past {obstacle}: {lacking} are lacking at its {side}",
        "{do}",
    ),
    526: (
        "doubt",
        "`{piece}` does not roll out past `{door}`, open to {asked}: {lacking} are lacking at its {side}",
        "pack its slides out from the side by that, make it so much narrower, or open the door further",
    ),
    527: (
        "stops",
        "`{piece}` is {size} wide at its narrowest, less than a saw kerf of {kerf}",
        "leave {more} more there, or set the cabinet close to it with no strip",
    ),
    528: (
        "hint",
        "`{piece}` is {size} wide at its narrowest; under {narrowest} a strip splits (common practice)",
        "leave {more} more there, if the cabinet can be moved or made narrower",
    ),
    529: (
        "hint",
        "`{piece}` is {size} wide at its widest; over {widest} it looks like a patch (common practice)",
        "{do}",
    ),
    530: (
        "doubt",
        "the gap {where} of `{piece}` is {gap}: it needs {needs}",
        "{do}",
    ),
    531: ("doubt", "`{piece}` cannot run on from `{other}`: {why}", "{do}"),
    532: (
        "doubt",
        "`{cut_out}` leaves {left} of `{piece}` at its {side}, less than the {least} it needs there",
        "{do}",
    ),
    533: ("stops", "`{cut_out}` breaks through the {side} of `{piece}`, by {by}", "{do}"),
    534: (
        "doubt",
        "`{cut_out}` and `{other}` leave {left} of `{piece}` between them, less than {least}",
        "move one of them {by} away from the other",
    ),
    535: ("hint", "`{cut_out}` is not cut in `{piece}`: {why}", "mark it out by hand"),
    536: (
        "hint",
        "the {end} front corner of `{piece}` stays square: that end meets {meets}",
        "shape only corners at open ends",
    ),
    537: (
        "stops",
        "the {shape} of {size} at the {end} front corner of `{piece}` is more than its edges have room for",
        "make it {most} or less",
    ),
    538: (
        "doubt",
        "the {type} `{seam}` of `{piece}` falls {where} `{cut_out}`",
        "move it {moves}",
    ),
    539: (
        "doubt",
        "the gap behind `{piece}` at its {edge} opens to {gap}, and its cover hides {hides}",
        "let the cover be {more} thicker, or scribe that edge",
    ),
    540: (
        "doubt",
        "`{piece}` has {gap} at its {edge}: solid surface wants {least} at the least to move",
        "leave {more} more there ({source})",
    ),
    541: (
        "doubt",
        "`{piece}` stands {out} past its cabinet at its {edge}: {most} is the most at {thickness} thick",
        "take {less} off, or put a bracket under it ({source})",
    ),
    542: (
        "hint",
        "`{piece}` goes in by two motions only, one after the other: {obstacle} bars a straight one",
        "keep the floor before it free, and fit it before what stands in the first motion",
    ),
    543: (
        "doubt",
        "`{piece}` cannot be moved straight into its place: {obstacle} bars it",
        "bring it in square to its face, open its notch to the edge it comes from, or make it in two",
    ),
    544: ("hint", "the cuts of `{piece}` are given for a saw: {why}", "saw that notch, or make it wider"),
    546: (
        "hint",
        "`{trim}` comes later: the end of `{piece}` is cut to where its near edge was read",
        "set the trim to `{piece}`, or strike its line on the wall before you cut",
    ),
    547: ("doubt", "`{piece}` can only be let down from above, and that is barred: {why}", "{do}"),
    548: (
        "doubt",
        "`{piece}` crosses `{pipe}`, and its {size} is not known: no notch is made for it",
        "measure it and add it",
    ),
    549: (
        "doubt",
        "`{piece}` reaches {over} up past the underside of `{crown}`",
        "make it {over} lower, or cut `{crown}` off there",
    ),
    550: (
        "doubt",
        "the wall leaves a gap of {gap} behind the upper edge of `{piece}`, more than caulk closes",
        "plane its back to the wall: leave it {more} thicker; or let a thin one follow the wall",
    ),
    551: (
        "doubt",
        "`{top}` reaches only {bearing} under `{piece}`, and {least} is needed: the gap behind it shows",
        "make `{piece}` {more} thicker, or scribe that edge of `{top}`",
    ),
    552: (
        "hint",
        "`{piece}` cannot be turned level between the walls: its diagonal is {lacking} too long",
        "leave {gap} more gap in all, make it in two parts, or slide it in level from the front",
    ),
    553: (
        "hint",
        "{what} is {height} above the floor; {rule}",
        "check if asked: a house is seldom bound by it",
    ),
    554: (
        "doubt",
        "the place of `{name}` is known to {unsure} only; its plate covers {covers} around a cut-out",
        "read its position again, or hold the board up and mark the box on its back",
    ),
    555: (
        "doubt",
        "no stock of {material} on hand is right for `{piece}`: it needs {needs}, the nearest is {has}",
        "{do}",
    ),
    556: ("doubt", "`{piece}` does not come out of the stock on hand: {why}", "{do}"),
    557: (
        "doubt",
        "whether `{piece}` comes out of the stock on hand is not known: {why}",
        "lay it out by hand, or get one more",
    ),
    558: (
        "doubt",
        "{what} of `{piece}` is too large for the bed of `{machine}`: {over}",
        "cut it smaller first, or work it by hand",
    ),
    559: (
        "hint",
        "`{stock}` is {real} thick, not {nominal} as `{piece}` has it",
        "plough grooves and set gaps to {real}: cut to the nominal size they are {by}{source}",
    ),
    560: ("doubt", "`{piece}` waits for `{item}`, whose size is promised and not measured", "{do}"),
    561: (
        "hint",
        "stock is put down, and none of {material}, which `{piece}` is made of",
        "put down what is on hand of it, or get it: {known}",
    ),
    562: ("doubt", "drawer `{piece}` does not go in: {why}", "{do}"),
    563: (
        "doubt",
        "`{piece}` is typed {typed} long; between the sides of `{box}` there are {inside}",
        "it is listed at {inside}: correct its length, or the thickness of the sides",
    ),
    564: ("doubt", "{why}", "{do}"),
    565: (
        "hint",
        "`{item}` measures {size} {measured}, and was promised at {promised}: {by} {more}",
        "what of `{piece}` was made to the promise must be made to the measure",
    ),
    570: ("doubt", "`{piece}` does not go {where}: {room}", "{do}"),
    571: (
        "doubt",
        "whether `{piece}` goes {where} is too tight to call: {room}, and that is known to {known}",
        "measure both once more, or {do}",
    ),
    572: (
        "doubt",
        "`{name}` on the way in has no {what}, so nobody can say what goes past it",
        "measure it and add it",
    ),
    573: ("hint", "the way in of `{piece}` cannot be worked out: {why}", "look at its sizes and the way"),
    575: ("hint", "`{piece}` weighs about {weight}: more than one person should lift", "{do}"),
    585: (
        "doubt",
        "the order of work goes round in a circle: {which} wait for one another",
        "change what one of them meets or goes with; it would be undone without this: {ties}",
    ),
    586: ("doubt", "`{piece}` catches one stud only (`{stud}`)", "{do}"),
    587: (
        "hint",
        "{studs} behind `{piece}` are only supposed to be there by their spacing",
        "prove them with a nail or a magnet where the rail hides the hole",
    ),
    588: (
        "doubt",
        "no screw of `{piece}` is sure to meet stud `{stud}`: it is not known well enough where that is",
        "read both of its edges, near the height of the rail",
    ),
    589: ("hint", "no stud is recorded behind `{piece}`, which must be fastened to the wall", "{do}"),
    610: (
        "doubt",
        "what was put down as installed names {what}, and there is none such",
        "correct it: {known}",
    ),
    611: (
        "doubt",
        "`{piece}` was planed off at {at} of its {edge} edge, which is {long} long",
        "correct the place, or leave it out if it is the deepest",
    ),
    612: (
        "hint",
        "`{piece}` came out {off} off at its {edge} edge, {times} times what was to be expected",
        "look for a slip: it is not counted among the shop's own figures",
    ),
    613: (
        "hint",
        "readings are taken {how}, as {jobs} jobs of this shop came out",
        "take the record back to go by the usual figures",
    ),
    600: ("hint", "{what} is assumed, not measured", "measure it if it matters"),
    601: (
        "doubt",
        "{what} of `{name}` is still to come: {thickness} thick, taken to be good to {sd}",
        "take {repeat} once more when it is done, before cutting",
    ),
    602: ("hint", "{what}", "{do}"),
}


def finding(number: int, records: Iterable[str] = (), pieces: Iterable[str] = (), **words: object) -> Finding:
    """Make a finding of a known number.

    >>> finding(300, wall="right").says
    'nothing says where wall `right` is'
    """
    severity, says, do = NUMBERS[number]
    return Finding(number, severity, says.format(**words), do.format(**words), tuple(records), tuple(pieces))


def about(piece: str, found: Finding) -> Finding:
    """Return a finding that names a piece among those it concerns.

    >>> about("top", finding(300, pieces=["box"], wall="right")).pieces
    ('box', 'top')
    """
    return structs.replace(found, pieces=tuple(dict.fromkeys((*found.pieces, piece))))


def merged(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings that say the same once, with all pieces that they concern.

    >>> said = [finding(300, pieces=[name], wall="right") for name in ("box", "top")]
    >>> [one.pieces for one in merged(said)]
    [('box', 'top')]
    """
    kept: dict[Finding, dict[str, None]] = {}
    for one in findings:
        kept.setdefault(structs.replace(one, pieces=()), {}).update(dict.fromkeys(one.pieces))
    return tuple(structs.replace(one, pieces=tuple(pieces)) for one, pieces in kept.items())
