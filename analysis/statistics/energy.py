"""Gravitational potential energy before and after the bounce, and what the bounce took.

E = m g h, with g = 9.81 N/kg as taught in schools (standard gravity is 9.80665 N/kg exactly, CGPM
1901; taught value from memory). What is missing after the bounce has been transferred to the
surroundings and the ball by heating and, a little, by sound. Air resistance is left out, as a
student does.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from analysis.quantity.units import FloatArray, centimetres, plain
from analysis.refusal import Refused

GRAVITY_N_PER_KG = 9.81
USUAL_MASSES_KG = (0.023, 0.025)
"""The sport's limits for a ball (encyclopaedia, "Squash (sport)")."""
USUAL_MASS_KG = 0.024
"""Their middle, for a ball that nobody weighed."""


@dataclass(frozen=True)
class Energies:
    """Energies in joules; arrays as the rebound heights, NaN where these are."""

    mass_kg: float | None  # None when the weight was given
    gravity_n_per_kg: float | None
    weight_n: float
    drop_height_m: float
    rebound_height_m: FloatArray
    before_j: float
    after_j: FloatArray
    transferred_j: FloatArray  # to the surroundings
    fraction: FloatArray  # after / before (efficiency, 0 to 1)
    restitution: FloatArray  # sqrt(rebound height / drop height)


def energies(mass_kg: float, drop_height_m: float, rebound_height_m: ArrayLike) -> Energies:
    """Energies from the mass in kilograms.

    Raises Refused for a mass or drop height that is not above zero, or a rebound height below zero
    or above the drop height.
    """
    _positive("mass of the ball", mass_kg, "kg")
    found = energies_from_weight(mass_kg * GRAVITY_N_PER_KG, drop_height_m, rebound_height_m)
    return replace(found, mass_kg=mass_kg, gravity_n_per_kg=GRAVITY_N_PER_KG)


def energies_from_weight(
    weight_n: float, drop_height_m: float, rebound_height_m: ArrayLike
) -> Energies:
    """Find the same from a weight read in newtons."""
    _positive("weight of the ball", weight_n, "N")
    _positive("drop height", drop_height_m, "m")
    height = np.asarray(rebound_height_m, dtype=np.float64)
    _possible(height, drop_height_m)
    before, after = weight_n * drop_height_m, weight_n * height
    fraction = height / drop_height_m
    return Energies(
        mass_kg=None,
        gravity_n_per_kg=None,
        weight_n=weight_n,
        drop_height_m=drop_height_m,
        rebound_height_m=height,
        before_j=before,
        after_j=after,
        transferred_j=before - after,
        fraction=fraction,
        restitution=np.sqrt(fraction),
    )


def _positive(what: str, value: float, unit: str) -> None:
    if not (np.isfinite(value) and value > 0.0):
        raise Refused(f"The {what} is {value:g} {unit}; it must be more than 0 {unit}.")


def _possible(height_m: FloatArray, drop_height_m: float) -> None:
    impossible = (height_m < 0.0) | (height_m > drop_height_m)
    if impossible.any():
        value = float(centimetres(height_m[impossible][0]))
        raise Refused(
            f"A rebound height of {plain(value)} cm is impossible; it must lie between 0 cm and "
            f"the drop height of {plain(float(centimetres(drop_height_m)))} cm."
        )
