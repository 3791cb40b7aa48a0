"""What an impact leaves of the ball's speed, from the rubber's temperature and the impact's speed.

The contact is taken as a damped half-swing: e = exp(−π λ) with λ = ζ / √(1 − ζ²) the loss
ratio. λ falls with temperature as λ₄₀ exp(−b (T − 40 °C)): taken from published rebound
heights, ln λ lies on a straight line in temperature, with one slope for every ball
measured (root mean square misfit 1.5 % of the drop height). An Arrhenius law in 1/T fits worse,
2.4 %. An e that rises in a straight line fits as well (1.54 % against 1.46 %): the two are not
told apart, and this one is taken because it keeps e between 0 and 1.

λ rises a little with the impact's speed v, as (v / v₀)^m, so a harder impact leaves a smaller
share, and the warmer the ball the less it matters: of e ∝ v^(−n) the n is π λ m.

The gas inside is lumped in λ. Sealed in, its pressure rises by about a seventh from 20 °C to 60 °C
(333 K / 293 K), and what is pressed into it comes back whole. Own estimate of what that adds: a
contact of 4 ms dents a ball dropped from one metre by 5 to 6 mm, which takes 5 % to 9 % from the
hollow; the extra pressure then stores 4 % to 8 % of the impact's energy, and without it a ball of
60 °C would come 1 cm to 3 cm less high, of the 26 cm or so that it gains on one of 20 °C. Contacts
of 3 ms and 5 ms would give 1 cm and 5 cm. No measurement of a squash ball was found. The rest of
the gain is the rubber's.
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
"""Speed after a fall of one metre without air, v₀: where the speed law has no say."""

LOSS_SPEED_EXPONENT = 0.04
"""m, dimensionless: an order of magnitude by argument, no measurement of a squash ball was found.

Rubber does not tell a faster deformation from a colder one (time-temperature superposition): f
times as fast is as much as ln f / s kelvin colder, with s the slope of the shift factor's
logarithm. For natural rubber at 0 °C to 40 °C the Williams-Landel-Ferry law has s from 0.14 1/K to
0.08 1/K (its usual constants and a glass transition at -70 °C, from memory). A faster impact is
over sooner, by v^(1/5) for a solid body (Hertz), less for a thin shell. So m is b / (5 s) at most:
0.03 to 0.05.
"""

SLOWEST_M_S = 0.05
FASTEST_M_S = 10.0
"""Impact speeds that the speed law is used for: a fall of 0.13 mm to one of 5 m."""


def loss_ratio(ball: Ball, temperature_k: Number, impact_speed_m_s: Number) -> Number:
    """Loss ratio λ of the rubber, dimensionless: λ₄₀ exp(−b (T − 40 °C)) (v / v₀)^m.

    Takes the temperature of the wall in kelvin, 0 °C to 100 °C, and the impact speed in m/s,
    0.05 to 10, any shapes; they broadcast against the ball's own loss ratio.

    Raises:
        OutOfRange: outside these, naming the value.

    """
    within(temperature_k, COLDEST_K, HOTTEST_K, "ball temperature", "K")
    within(impact_speed_m_s, SLOWEST_M_S, FASTEST_M_S, "impact speed", "m/s")
    cooler = -ball.loss_slope_per_k * (temperature_k - REFERENCE_K)
    faster = LOSS_SPEED_EXPONENT * np.log(impact_speed_m_s / REFERENCE_SPEED_M_S)
    ratio: Number = ball.loss_ratio_40 * np.exp(cooler + faster)
    return ratio


def restitution(ball: Ball, temperature_k: Number, impact_speed_m_s: Number) -> Number:
    """Coefficient of restitution against a hard floor, dimensionless, above 0 and below 1.

    e = exp(−π λ). Takes and raises what `loss_ratio` does; the shapes broadcast.
    """
    left: Number = np.exp(-math.pi * loss_ratio(ball, temperature_k, impact_speed_m_s))
    return left
