"""Adjust a room to its readings: planes, tools and lines as unknowns, unevenness as a Gaussian process."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np
from numpy.typing import NDArray

from fitting.adjust import Adjustment, adjust
from fitting.errors import BadInput
from fitting.site.known import KnownRoom
from fitting.site.linear import Linear
from fitting.site.plan import Plan
from fitting.site.prior import OLD_HOUSE, Prior
from fitting.site.readings import Observed
from fitting.site.scene import Places, Scene, room_unknowns
from fitting.site.unevenness import Unevenness, matrices
from fitting.site.unknowns import Unknowns

FloatArray = NDArray[np.float64]

MOST_NUMBERS = 2500
"""Numbers read that one adjustment takes: its covariance is dense, 50 MB at this size."""

MOST_LAYINGS = 4
"""How often places on the walls are laid down anew; usually twice."""
PLACES_MAY_MOVE = 1.0
"""mm along a wall that its corners and features may move against one another, far less than its finest
waves; on a wall that runs off by 1 in 100 this much is worth 0.01 mm."""

ROUGHLY, SETTLED = 0.1, 1e-6
"""Largest last step, in standard deviations: to lay the places of deviations, and in the end."""


def know_room(
    plan: Plan,
    readings: Sequence[Observed],
    prior: Prior = OLD_HOUSE,
    after: KnownRoom | None = None,
) -> KnownRoom:
    """Adjust a room to its readings.

    Parameters
    ----------
    plan
        Walls, corners, features, coverings.
    readings
        From `fitting.site.readings`; keys must differ.
    prior
        What is expected of walls of this age; `fitting.site.learn` fits its height to readings.
    after
        The room as it was before a reading was added or a prior learned: a start from which it takes a
        few steps less. The answer is the same to some thousandths of a millimetre.

    Raises
    ------
    BadInput
        More numbers than one adjustment takes, two readings of one key, names that do not exist.
    Unsolvable
        Readings so wrong that no room comes out.

    Examples
    --------
    Two walls and a length between them:

    >>> from fitting.site import Corner, Distance, Plan, know_room
    >>> plan = Plan("back", ("left", "back", "right"),
    ...             (Corner("a", "left", "back"), Corner("b", "back", "right")))
    >>> room = know_room(plan, [Distance("r1", 1500.0, 0.5, "a", "b", 800.0, 800.0)])
    >>> room.along("back", "b", 800.0).mean.round(3)
    array([1500.])
    >>> room.corner_read("b", 500.0, 800.0)
    False
    """
    count = sum(len(reading.read) for reading in readings)
    if count > MOST_NUMBERS:
        raise BadInput(
            f"{count} numbers were read, one room takes {MOST_NUMBERS} at the most: "
            "thin out the checks with many stations"
        )
    if len({reading.key for reading in readings}) != len(readings):
        raise BadInput("two readings have one key: expected a key of its own for each")
    unknowns = room_unknowns(plan, prior.square_sd, prior.tilt_sd)
    for reading in readings:
        reading.unknowns(unknowns)
    uneven = Unevenness(prior, plan.spacings)
    model = _Model(plan, unknowns, tuple(readings), uneven)
    if count == 0:
        return _nothing_read(model)
    state = model.start if after is None else _continued(model, after)
    model.lay_places(state)
    if after is None:
        state = model.settle(state, model.flat_covariance(), ROUGHLY).state
        model.lay_places(state)
    found = model.settle(state, model.covariance(), SETTLED)
    for _ in range(MOST_LAYINGS):
        slides, apart = model.moved(found.state)
        if apart < PLACES_MAY_MOVE:
            break
        model.lay_places(found.state)
        found = model.settle(found.state, model.covariance(), SETTLED)
    # A wall's places all slide alike as it turns: that changes no covariance among readings, but answers must
    # mean the same places.
    places = model.places.slid(slides)
    return KnownRoom(plan, found, uneven, tuple(readings), model.seen, unknowns, places, model.sensing)


class _Model:
    """The readings of a room as a function of its state."""

    def __init__(
        self, plan: Plan, unknowns: Unknowns, readings: tuple[Observed, ...], uneven: Unevenness
    ) -> None:
        self.plan = plan
        self.unknowns = unknowns
        self.readings = readings
        self.uneven = uneven
        self.start, self.prior_sd = unknowns.vectors()
        self.read = np.array([value for reading in readings for value in reading.read])
        self.noise = np.array([sd for reading in readings for sd in reading.sd])
        self.bent = [reading for reading in readings if not reading.straight]
        self.bent_rows = np.array(
            [not reading.straight for reading in readings for _ in reading.read], dtype=np.bool_
        )
        self.places = Places()
        self.sensing = np.zeros((0, 0))
        self.laid_at = self.start, np.zeros(0), np.zeros((0, 0))
        self.seen: dict[Hashable, frozenset[str]] = {}

    def lay_places(self, state: FloatArray) -> None:
        """Lay down where deviations are seen, and how each reading senses them."""
        self.places = Places()
        computed, design, self.sensing = self._observe(self.readings, state)
        self.places.laid = True
        self.laid_at = state, self.read - computed, design

    def moved(self, state: FloatArray) -> tuple[dict[str, float], float]:
        """Return by how many mm each wall's places slid since they were laid, and how far they parted."""
        here, there = (
            Scene(self.plan, self.unknowns, one, self.places).anchors() for one in (state, self.laid_at[0])
        )
        moves = {wall: along - there[wall] for wall, along in here.items()}
        slides = {wall: float(move.mean()) for wall, move in moves.items()}
        apart = max((float(np.ptp(move)) for move in moves.values()), default=0.0)
        return slides, apart

    def flat_covariance(self) -> FloatArray:
        """Return variances of the readings as if every place were uneven by itself."""
        uneven = self.uneven.prior.deviation_sd**2 * np.sum(self.sensing**2, axis=1)
        variances: FloatArray = self.noise**2 + uneven
        return variances

    def covariance(self) -> FloatArray:
        """Return B K B^T + R (m, m)."""
        process = self.uneven.sensed(self.sensing, self.places, self.sensing, self.places)
        return process + np.diag(self.noise**2)

    def settle(self, state: FloatArray, covariance: FloatArray, tolerance: float) -> Adjustment:
        """Adjust from a state."""
        return adjust(
            self.linearise,
            state,
            covariance,
            prior_sd=self.prior_sd,
            prior_mean=self.start,
            names=self.unknowns.names,
            tolerance=tolerance,
            max_iterations=50,
        )

    def linearise(self, state: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return observed minus computed, and the design.

        What is straight, most of the gaps, moves on from where it was laid; only the bent is observed anew.
        """
        laid, misclosure, design = self.laid_at
        if np.array_equal(state, laid):
            return misclosure, design
        misclosure, design, rows = misclosure - design @ (state - laid), design.copy(), self.bent_rows
        computed, design[rows], _ = self._observe(self.bent, state)
        misclosure[rows] = self.read[rows] - computed
        return misclosure, design

    def _observe(
        self, readings: Sequence[Observed], state: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return what readings would read at a state, and its derivatives by unknowns and by deviations."""
        scene = Scene(self.plan, self.unknowns, state, self.places)
        observed: list[Linear] = []
        for reading in readings:
            scene.seen = set()
            observed += reading.observe(scene)
            self.seen[reading.key] = frozenset(scene.seen)
        computed = np.array([quantity.value for quantity in observed])
        return computed, *matrices(observed, len(self.unknowns), len(self.places.walls))


def _continued(model: _Model, after: KnownRoom) -> FloatArray:
    """Start where an earlier room ended; unknowns that it had not start as ever."""
    state = model.start.copy()
    for name, index in after.unknowns.index.items():
        if name in model.unknowns.index:
            state[model.unknowns.index[name]] = after.adjustment.state[index]
    return state


def _nothing_read(model: _Model) -> KnownRoom:
    """Return a room of which only expectations are known."""
    start = model.start
    made = adjust(
        lambda state: (start - state, np.eye(start.size)),
        start,
        model.prior_sd**2,
        names=model.unknowns.names,
    )
    sensing = np.zeros((start.size, 0))
    return KnownRoom(model.plan, made, model.uneven, (), {}, model.unknowns, Places(), sensing)
