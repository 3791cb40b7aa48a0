"""Nodes that hold heat and exchange it, with a law at the surface that is not linear.

The linear part of the exchange is taken in its modes, each of which fades exactly. What the
surface gives off beyond a fixed film coefficient comes to it step by step, by the exponential
Runge-Kutta method of second order (S. M. Cox and P. C. Matthews, Journal of Computational Physics
176 (2002) 430). The steps grow from the moment when the surroundings changed: there the
temperatures change fast, later ever more slowly. They are laid from that moment, not from where a
wait happens to be cut, so how it is cut makes no difference to whoever asks with the time since.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from physics.number import FloatArray, Number

GROWTH, LONGEST_STEP_S = 3.0, 300.0
"""By how much each step is longer than the one before, and how long one may be."""


class Conduction(NamedTuple):
    """A linear exchange of heat in the shapes that fade each at a rate of its own.

    All arrays may have further axes in front: an exchange for each of many balls.
    """

    fading_per_s: FloatArray
    """(n, 1), all above 0."""
    shapes: FloatArray
    """Temperatures of the nodes from amounts of the modes, (n, n)."""
    amounts: FloatArray
    """Amounts of the modes from temperatures of the nodes, (n, n)."""
    seen: FloatArray
    """The rows of `shapes` at the nodes where something is lost by another law, (losing, n)."""
    taken: FloatArray
    """What a watt lost there takes from each mode in the end, (n, losing)."""

    def amounts_of(self, temperatures_k: FloatArray, rest_k: Number) -> FloatArray:
        """Amounts of the modes of nodes that would come to rest at one temperature, (n, balls)."""
        amounts: FloatArray = self.amounts @ (temperatures_k - rest_k)
        return amounts

    def temperatures_k(self, amounts: FloatArray, rest_k: Number) -> FloatArray:
        """Temperatures of the nodes, (n, balls), kelvin."""
        temperatures_k: FloatArray = self.shapes @ amounts
        temperatures_k += rest_k
        return temperatures_k


def conduction_of(heat_j_k: FloatArray, conductance_w_k: FloatArray, losing: slice) -> Conduction:
    """An exchange from what the nodes hold and conduct.

    Args:
        heat_j_k: heat capacities, (..., n).
        conductance_w_k: what flows out of each node per kelvin of every node, (..., n, n),
            symmetric; with something that leaves altogether, so that every mode fades.
        losing: the nodes where something is lost by a law that is not linear.

    """
    root = np.sqrt(heat_j_k)
    outer = root[..., :, None] * root[..., None, :]
    fading_per_s, vectors = np.linalg.eigh(conductance_w_k / outer)
    shapes = vectors / root[..., :, None]
    seen = shapes[..., losing, :]
    return Conduction(
        fading_per_s[..., None],
        shapes,
        np.swapaxes(vectors * root[..., :, None], -1, -2),
        seen,
        np.swapaxes(seen, -1, -2) / fading_per_s[..., None],
    )


def stepped(
    exchange: Conduction,
    amounts: FloatArray,
    beyond_w: Callable[[FloatArray], FloatArray],
    time_s: Number,
) -> FloatArray:
    """The amounts of the modes after one step.

    Args:
        exchange: the linear part.
        amounts: at the beginning, (..., n, balls).
        beyond_w: what the losing nodes lose beyond the linear part, W, from their temperatures;
            both (..., losing, balls).
        time_s: one number, or of shape (balls,); 0 changes nothing.

    """
    faded = np.maximum(exchange.fading_per_s * time_s, 1e-12)
    gone = -np.expm1(-faded)
    first_w = beyond_w(exchange.seen @ amounts)
    ahead = amounts - gone * amounts
    ahead -= _taken(gone, exchange, first_w)
    late_w = beyond_w(exchange.seen @ ahead) - first_w
    ahead -= _taken(1.0 - gone / faded, exchange, late_w)
    return ahead


def _taken(share: FloatArray, exchange: Conduction, lost_w: FloatArray) -> FloatArray:
    """A share of what is lost in the end, by modes.

    A product of matrices of which one has hardly any columns, so by hand.
    """
    taken = (share * exchange.taken[..., :1]) * lost_w[..., :1, :]
    for node in range(1, lost_w.shape[-2]):
        taken += (share * exchange.taken[..., node : node + 1]) * lost_w[..., node : node + 1, :]
    return taken


def run(
    exchange: Conduction,
    amounts: FloatArray,
    beyond_w: Callable[[FloatArray], FloatArray],
    time_s: float,
    first_s: float,
) -> FloatArray:
    """The amounts of the modes after one time of any length; arguments as for `stepped`."""
    step_s = first_s
    while time_s > 0.0:
        amounts = stepped(exchange, amounts, beyond_w, min(step_s, time_s))
        time_s, step_s = time_s - step_s, min(step_s * GROWTH, LONGEST_STEP_S)
    return amounts
