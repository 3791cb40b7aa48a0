"""Conduction inside the ball's wall: how far its mean lags behind its surface.

The wall is a hollow sphere, closed to heat inside. The lumped law used for the ball gives
its mean temperature one time constant, m c / (h A) + lag. That is the mean action time of
the true conduction problem: the area under the mean's approach to its surroundings is
exactly right, for any wall and any film coefficient h.
"""

from __future__ import annotations

from physics.ball import Ball


def lag_s(ball: Ball) -> float:
    """How much the wall's own conduction adds to the ball's time constant, s.

    With inner radius a, outer radius b and thermal diffusivity α = k / (ρ c):
    [(b⁵ − a⁵)/5 − a³ (b² − a²) + a⁶ (1/a − 1/b)] / [3 α (b³ − a³)]. A thin wall of
    thickness L has L² / (3 α). The standard ball has 76 s.
    """
    a, b = ball.inner_radius_m, ball.diameter_m / 2.0
    diffusivity_m2_s = ball.rubber_conductivity_w_m_k / (
        ball.rubber_density_kg_m3 * ball.rubber_specific_heat_j_kg_k
    )
    moments = (b**5 - a**5) / 5.0 - a**3 * (b**2 - a**2)
    if a > 0.0:
        moments += a**6 * (1.0 / a - 1.0 / b)
    return moments / (3.0 * diffusivity_m2_s * (b**3 - a**3))
