"""Generic least squares with priors: rooms and point networks are two parametrisations of it.

Readings y = f(x) + d + e have a state x, deviations d from it (a Gaussian process seen at the
readings: covariance B K Bᵀ) and errors e (covariance R). `adjust` takes Σ = B K Bᵀ + R, so the
process has no nodes and costs no unknowns; `Adjustment.predict` brings it back where it is wanted.
"""

from fitting.adjust.adjustment import Adjustment
from fitting.adjust.solve import Linearise, adjust

__all__ = ["Adjustment", "Linearise", "adjust"]
