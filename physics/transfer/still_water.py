"""Heat between still water and a sphere in it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from physics.constants import STANDARD_GRAVITY_M_S2, ZERO_CELSIUS_K
from physics.number import FloatArray
from physics.transfer.convection import free_nusselt
from physics.transfer.lookup import Lookup, read_off, tabled

_STEPS = 10
_EXPANSION_PER_K = 1e-4 * np.array(
    [-0.676, 0.879, 2.068, 3.034, 3.855, 4.578, 5.233, 5.840, 6.414, 6.966, 7.504]
)
_KINEMATIC_M2_S = 1e-6 * np.array(
    [1.7914, 1.3063, 1.0034, 0.8007, 0.6578, 0.5531, 0.4740, 0.4127, 0.3643, 0.3255, 0.2940]
)
_CONDUCTIVITY_W_M_K = np.array(
    [0.5557, 0.5788, 0.5980, 0.6144, 0.6285, 0.6406, 0.6510, 0.6598, 0.6670, 0.6728, 0.6772]
)
_PRANDTL = np.array([13.60, 9.466, 7.008, 5.424, 4.341, 3.567, 2.996, 2.563, 2.228, 1.964, 1.754])
"""Of water at 0 °C to 100 °C by tens: CoolProp 8.0.0 at 101 325 Pa."""


def film_flux_w_m2(diameter_m: float, surface_k: FloatArray, water_k: FloatArray) -> FloatArray:
    """Heat flux from a sphere into still water about it, W/m². Any shapes that broadcast.

    h (T_s − T_w) with h by `physics.transfer.convection.free_nusselt`, properties at the mean of
    the two temperatures, 0 °C to 100 °C. A ball of 40 mm in water of 60 °C has 780 W/(m² K) where
    it is 20 K colder and 415 where it is 1 K colder.
    """
    apart_k = surface_k - water_k
    stirred = read_off(_stirred(diameter_m), 0.5 * (surface_k + water_k))
    quarter_root = np.sqrt(np.sqrt(np.abs(apart_k)))
    still_w_m2_k = 2.0 * float(_CONDUCTIVITY_W_M_K.mean()) / diameter_m
    flux: FloatArray = apart_k * (still_w_m2_k + stirred * quarter_root)
    return flux


@lru_cache(maxsize=64)
def _stirred(diameter_m: float) -> Lookup:
    """What convection adds to the coefficient at 1 K, W/(m² K): it goes with the fourth root."""

    def law(_: FloatArray) -> FloatArray:
        grashof = (
            STANDARD_GRAVITY_M_S2 * np.abs(_EXPANSION_PER_K) * diameter_m**3 / _KINEMATIC_M2_S**2
        )
        nusselt = free_nusselt(grashof, _PRANDTL)
        return (nusselt - 2.0) * _CONDUCTIVITY_W_M_K / diameter_m

    return tabled(law, ZERO_CELSIUS_K, ZERO_CELSIUS_K + 100.0, _STEPS)
