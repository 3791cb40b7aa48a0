"""The conduction equation in the ball's wall, solved shell by shell: a reference for tests."""

from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import diags_array

from physics.wall import shell, wall

SHELLS = 40


def mean_k(ball, profile_k):
    """The mean temperature of the rubber by the model's nodes, (..., balls), kelvin."""
    heat_j_k = wall(shell(ball)).heat_j_k
    return (heat_j_k / heat_j_k.sum()) @ profile_k


@dataclass(frozen=True)
class Cooled:
    """The wall's mean temperature, its surface's and its shells' at the times asked for, kelvin."""

    mean_k: np.ndarray
    surface_k: np.ndarray
    shells_k: np.ndarray


def cooled(ball, start_k, flux_w_m2, times_s):
    """The wall from a beginning on, losing `flux_w_m2(surface_k)` at its surface.

    Finite volumes in spherical shells of equal thickness, the gas inside at the inmost one's
    temperature. `start_k` is one number, or (SHELLS,) from a run before.
    """
    edges = np.linspace(ball.inner_radius_m, ball.diameter_m / 2.0, SHELLS + 1)
    rubber_j_k = (
        np.diff(edges**3)
        * (4.0 / 3.0 * np.pi)
        * ball.rubber_density_kg_m3
        * ball.rubber_specific_heat_j_kg_k
    )
    gas_j_k = 4.0 / 3.0 * np.pi * edges[0] ** 3 * 1.2 * 718.0
    heat_j_k = rubber_j_k + np.eye(SHELLS)[0] * gas_j_k
    step_m = edges[1] - edges[0]
    between_w_k = ball.rubber_conductivity_w_m_k * 4.0 * np.pi * edges[1:-1] ** 2 / step_m
    half_shell_w_m2_k = ball.rubber_conductivity_w_m_k / (step_m / 2.0)

    def surface_k(outermost_k):
        # The flux that leaves the surface is the flux that reaches it: Newton's method.
        at_k = outermost_k
        for _ in range(6):
            off = half_shell_w_m2_k * (outermost_k - at_k) - flux_w_m2(at_k)
            growth = (flux_w_m2(at_k + 0.01) - flux_w_m2(at_k - 0.01)) / 0.02
            at_k = at_k + off / (half_shell_w_m2_k + growth)
        return at_k

    def law(_, shells_k):
        gains_w = np.zeros(SHELLS)
        flow_w = between_w_k * np.diff(shells_k)
        gains_w[:-1] += flow_w
        gains_w[1:] -= flow_w
        gains_w[-1] -= flux_w_m2(surface_k(shells_k[-1])) * ball.area_m2
        return gains_w / heat_j_k

    beside = diags_array([np.ones(SHELLS)] * 3, offsets=[-1, 0, 1], shape=(SHELLS, SHELLS))
    # Its table of differences begins as memory was left, and is subtracted from before it is used:
    # now and then that is no number, which nothing of the result is made of.
    with np.errstate(invalid="ignore", over="ignore"):
        found = solve_ivp(
            law,
            (0.0, times_s[-1]),
            np.full(SHELLS, start_k),
            "BDF",
            t_eval=times_s,
            rtol=1e-7,
            atol=1e-7,
            jac_sparsity=beside,
        )
    mean_k = rubber_j_k @ found.y / rubber_j_k.sum()
    surfaces_k = np.array([surface_k(outermost) for outermost in found.y[-1]])
    return Cooled(mean_k, surfaces_k, found.y)
