"""What an impact leaves of the ball's speed, from the rubber's temperature.

The contact is taken as a damped half-swing: e = exp(−π λ) with λ = ζ / √(1 − ζ²) the loss
ratio. λ falls with temperature as λ₄₀ exp(−b (T − 40 °C)): taken from published rebound
heights, ln λ lies on a straight line in temperature, with one slope for every ball
measured (root mean square misfit 1.5 % of the drop height; an Arrhenius law in 1/T fits
worse, 2.4 %).
"""

from __future__ import annotations

import math

import numpy as np

from physics.ball import Ball
from physics.constants import STANDARD_GRAVITY_M_S2, ZERO_CELSIUS_K
from physics.number import Number
from physics.ranges import within

COLDEST_K = ZERO_CELSIUS_K
HOTTEST_K = ZERO_CELSIUS_K + 100.0
REFERENCE_K = ZERO_CELSIUS_K + 40.0

REFERENCE_SPEED_M_S = math.sqrt(2.0 * STANDARD_GRAVITY_M_S2 * 1.0)
"""Speed after a fall of one metre without air: where the speed law has no say."""

SLOWEST_M_S = 0.05
FASTEST_M_S = 10.0
"""Impact speeds that the speed law is used for: a fall of 0.13 mm to one of 5 m."""


def loss_ratio(ball: Ball, temperature_k: Number) -> Number:
    """Loss ratio λ of the rubber, dimensionless: λ₄₀ exp(−b (T − 40 °C)).

    Takes the temperature of the wall in kelvin, 0 °C to 100 °C, any shape; broadcasts
    against the ball's own loss ratio.

    Raises:
        OutOfRange: outside 0 °C to 100 °C, naming the temperature.

    """
    within(temperature_k, COLDEST_K, HOTTEST_K, "ball temperature", "K")
    ratio: Number = ball.loss_ratio_40 * np.exp(
        -ball.loss_slope_per_k * (temperature_k - REFERENCE_K)
    )
    return ratio


def restitution(ball: Ball, temperature_k: Number, impact_speed_m_s: Number) -> Number:
    """Coefficient of restitution against a hard floor, dimensionless, above 0 and below 1.

    e = exp(−π λ) (v / v₀)^(−n), with v₀ the speed of a 1 m fall without air and n the
    ball's speed exponent, a stated assumption. Temperature in kelvin, 0 °C to 100 °C,
    speed in m/s, 0.05 to 10; the shapes broadcast.

    Raises:
        OutOfRange: outside these, or where a very lossless ball at a very low speed would
            come up faster than it came down; each names the value.

    """
    within(impact_speed_m_s, SLOWEST_M_S, FASTEST_M_S, "impact speed", "m/s")
    speed_term = ball.speed_exponent * np.log(impact_speed_m_s / REFERENCE_SPEED_M_S)
    left: Number = np.exp(-(math.pi * loss_ratio(ball, temperature_k) + speed_term))
    return within(left, 0.0, 1.0, "coefficient of restitution")
