"""What is told of each reading after the adjustment."""

from fitting.site import Corner, Leaning, Plan, know_room


def test_a_lone_reading_is_not_said_to_be_wrong_for_what_the_wall_may_do():
    """One lean, shared between a tilt and a wave: the room keeps nearly all of it, and says so."""
    plan = Plan("back", ("left", "back"), (Corner("c", "left", "back"),))
    known = know_room(plan, [Leaning("lean", 3.2, 0.3, "left", 400.0, "c", 100.0, 860.0)])
    (residual,) = known.residuals()
    assert -0.3 < residual.adjusted_minus_read < 0.0
