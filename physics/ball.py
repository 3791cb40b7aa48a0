"""The squash ball: a hollow sphere of filled rubber, and the four playing speeds of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from physics import USUAL_SPEED
from physics.number import Number
from physics.ranges import OutOfRange, within

LOSS_RATIO_SPREAD = 0.03
"""Relative standard deviation of the loss ratio among balls of one model. Stated
assumption: two balls from one box then differ by a centimetre or so at one metre."""

LOSS_SLOPE_PER_K = 0.0195
LOSS_SLOPE_SD_PER_K = 0.0025
"""How fast ln λ falls with temperature, 1/K, and its standard uncertainty. Fitted in common to two
published tables of student readings, 6 °C to 94 °C. They give the water's temperature and not how
the ball was warmed in it: 0.0179 if the ball was as warm as the water; after five minutes in a bath
kept hot 0.0197 put back before each drop, 0.0207 for three drops off one soak; 0.0240 for three
drops off two minutes in a beaker that cools. The value is the mean of the first three, rounded; the
uncertainty covers them, and the taught range alone, which gives 0.0010 less
(tests/published/test_student_tables_slope.py)."""


@dataclass(frozen=True, kw_only=True)
class Ball:
    """A hollow rubber ball. All in SI units.

    `loss_ratio_40` may be an array, one ball a student; everything else is one number.
    The lowest point of the ball is what heights mean throughout.

    Attributes:
        name: what it is called.
        diameter_m: outside diameter. The sport's standard ball: 39.5 mm to 40.5 mm.
        mass_kg: mass. The sport's standard ball: 23 g to 25 g.
        loss_ratio_40: loss ratio λ of the rubber at 40 °C, dimensionless; see
            `physics.restitution`.
        loss_slope_per_k: how fast ln λ falls with temperature, 1/K.
        rubber_density_kg_m3: of the wall. 1150 to 1300 for a filled compound (estimate).
        rubber_specific_heat_j_kg_k: of the wall. 1300 to 1700 (estimate).
        rubber_conductivity_w_m_k: of the wall. 0.15 to 0.25 for a filled compound (estimate;
            unfilled natural rubber has 0.14).
        emissivity: of the matt black surface in the infrared. Black rubber 0.86 to 0.95.
        cooling_factor: multiplies the heat that still or moving air takes; 1 for the
            handbook's correlations, another value for a ball fitted to a school's readings.
        loss_ratio_spread: relative standard deviation of the loss ratio among balls of this
            model; 0 for a ball that is one certain ball, such as a school's own.

    Raises:
        OutOfRange: for a size, mass or loss that no ball has, naming the value.

    """

    name: str
    diameter_m: float = 0.040
    mass_kg: float = 0.024
    loss_ratio_40: Number
    loss_slope_per_k: float = LOSS_SLOPE_PER_K
    rubber_density_kg_m3: float = 1200.0
    rubber_specific_heat_j_kg_k: float = 1500.0
    rubber_conductivity_w_m_k: float = 0.16
    emissivity: float = 0.94
    cooling_factor: float = 1.0
    loss_ratio_spread: float = LOSS_RATIO_SPREAD

    def __post_init__(self) -> None:
        """Refuse what is no ball."""
        within(self.diameter_m, 0.01, 0.2, "ball diameter", "m")
        within(self.mass_kg, 1e-3, 1.0, "ball mass", "kg")
        within(self.loss_ratio_40, 0.01, 2.0, "loss ratio at 40 °C")
        within(self.loss_slope_per_k, 0.0, 0.1, "slope of the loss ratio", "1/K")
        within(self.rubber_density_kg_m3, 500.0, 5000.0, "rubber density", "kg/m³")
        within(self.rubber_conductivity_w_m_k, 0.01, 10.0, "rubber conductivity", "W/(m K)")
        within(self.rubber_specific_heat_j_kg_k, 100.0, 5000.0, "rubber specific heat", "J/(kg K)")
        within(self.emissivity, 0.0, 1.0, "emissivity")
        within(self.cooling_factor, 0.05, 20.0, "cooling factor")
        within(self.loss_ratio_spread, 0.0, 0.1, "spread of the loss ratio")
        if self.rubber_volume_m3 > self.volume_m3:
            raise OutOfRange(
                f"ball mass {self.mass_kg:g} kg does not fit into a ball of diameter "
                f"{self.diameter_m:g} m at a rubber density of {self.rubber_density_kg_m3:g} kg/m³"
            )

    @property
    def volume_m3(self) -> float:
        """Volume of the whole ball, hollow included, m³."""
        return math.pi * self.diameter_m**3 / 6.0

    @property
    def rubber_volume_m3(self) -> float:
        """Volume of the wall alone, m³."""
        return self.mass_kg / self.rubber_density_kg_m3

    @property
    def density_kg_m3(self) -> float:
        """Density of the whole ball, kg/m³: what buoyancy goes by."""
        return self.mass_kg / self.volume_m3

    @property
    def area_m2(self) -> float:
        """Outer surface, m²."""
        return math.pi * self.diameter_m**2

    @property
    def inner_radius_m(self) -> float:
        """Radius of the hollow, m, from mass, diameter and the rubber's density.

        The wall about it is 5.2 mm thick for 24 g, 40 mm and 1200 kg/m³.
        """
        hollow_m3 = self.volume_m3 - self.rubber_volume_m3
        return float(np.cbrt(3.0 * hollow_m3 / (4.0 * math.pi)))

    @property
    def heat_capacity_j_k(self) -> float:
        """Heat capacity of the wall, J/K. The air inside adds less than a thousandth."""
        return self.mass_kg * self.rubber_specific_heat_j_kg_k


EXTRA_SLOW = Ball(name="extra slow", loss_ratio_40=0.222)
SLOW = Ball(name="slow", loss_ratio_40=0.219)
MEDIUM = Ball(name="medium", loss_ratio_40=0.199)
FAST = Ball(name="fast", loss_ratio_40=0.177)

PLAYING_SPEEDS: Mapping[str, Ball] = MappingProxyType(
    {"extra_slow": EXTRA_SLOW, "slow": SLOW, "medium": MEDIUM, "fast": FAST}
)
"""The four playing speeds. All lie among the loss ratios worked from published rebounds, 0.174 to
0.266. The slowest is the sport's slowest competition ball (its limits for the rebound from 254 cm,
from memory); the others follow from how much longer than that one they hang in the air after the
bounce, 1 %, 7 % and 14 %, as measured with a hot ball (tests/published)."""

USUAL_BALL = PLAYING_SPEEDS[USUAL_SPEED]
"""What is taken where nobody says which: a ball amid the published ones, as lively as table S's
(0.202) and livelier than table A's (0.266)."""


def individual(ball: Ball, z: Number) -> Ball:
    """One ball out of the box: its loss ratio differs a little from its model's.

    λ₄₀ (1 + s z), with s the model's loss_ratio_spread and z a standard normal of any
    shape. z beyond ±9 is no chance and is refused.

    Raises:
        OutOfRange: naming the offending z.

    """
    within(z, -9.0, 9.0, "ball-to-ball variation")
    return replace(ball, loss_ratio_40=ball.loss_ratio_40 * (1.0 + ball.loss_ratio_spread * z))
