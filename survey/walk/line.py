"""A line of the walk: one reading to take, why, and the mistake that is usual there."""

from __future__ import annotations

from dataclasses import dataclass

from survey.records import Reading, Survey
from survey.walk.place import place_of
from survey.walk.same import satisfies


@dataclass(frozen=True)
class Line:
    """One reading to take.

    Attributes
    ----------
    name
        What it is, in plain words.
    wall
        The wall that it is listed under.
    reading
        The reading as it will be put down, all of it set; values still to be read are nominal.
    why
        What it is for.
    mistake
        What to mind, at the moment it can happen.
    minutes
        How long it takes, about (common practice, no source).
    numbers
        How many numbers are typed.
    needs
        Names of the pieces that need it; empty for a place without pieces.
    priority
        1 what pieces cannot be worked out without, 2 what makes them surer, 3 what shows slips.
    times
        Which reading of the same thing this is: 2 asks for it once again.
    """

    name: str
    wall: str
    reading: Reading
    why: str
    mistake: str
    minutes: float
    numbers: int
    needs: tuple[str, ...] = ()
    priority: int = 1
    times: int = 1


def done(line: Line, survey: Survey) -> tuple[Reading, ...]:
    """Return the current readings that satisfy a line; none while it is to be taken.

    A reading satisfies it when it is of the same kind, at the same walls, and nearly at the same places
    (`survey.walk.same.NEAR`). More than one means that it was repeated. A line that asks for a second
    reading is satisfied by all but the first.

    Raises
    ------
    RecordError
        Where the survey has no room or no back wall.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.walk import walk
    >>> alcove = ["job V in mm to 1 mm level line 1000", "room r", "wall a", "wall back", "wall b"]
    >>> alcove += ["corner a and back", "corner back and b"]
    >>> survey = Survey(dictate(alcove, Survey([])))
    >>> width = walk(place_of(survey), survey)[0]
    >>> done(width, survey)
    ()
    >>> read = dictate(["length a-back to back-b up 850 reads 1498"], survey)
    >>> done(width, survey.plus(*read)) == read
    True
    """
    place = place_of(survey)
    found = [one for one in survey.of(type(line.reading)) if satisfies(one, line.reading, place, survey)]
    return tuple(found[line.times - 1 :])
