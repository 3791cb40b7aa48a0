"""Heat between a sphere and the air around it: the handbook's correlations.

All return the Nusselt number on the diameter, Nu = h D / k, which goes to 2 where the air
neither rises nor blows: pure conduction from a sphere.
"""

from __future__ import annotations

import numpy as np

from physics.number import Number
from physics.ranges import within


def free_nusselt(grashof: Number, prandtl: Number) -> Number:
    """Nusselt number of a sphere in still air or water, dimensionless.

    Nu = 2 + 0.589 Ra^¼ / [1 + (0.469/Pr)^(9/16)]^(4/9), Ra = Gr Pr. Any shape. Properties
    at the film temperature; Pr from 0.7 up, Ra to 1e11.

    Source: S. W. Churchill in Heat Exchanger Design Handbook, 1983, without the turbulent
    term, which adds 0.13 % at Gr = 1e6 and nothing that shows below (a squash ball in air
    has 2e5 at most).

    Raises:
        OutOfRange: outside those, naming the value.

    """
    within(prandtl, 0.69, 1e4, "Prandtl number")
    rayleigh = within(grashof * prandtl, 0.0, 1e11, "Rayleigh number")
    quarter_root = np.sqrt(np.sqrt(rayleigh))
    nusselt: Number = 2.0 + 0.589 * quarter_root / (1.0 + (0.469 / prandtl) ** (9 / 16)) ** (4 / 9)
    return nusselt


def forced_nusselt(reynolds: Number, prandtl: Number, viscosity_ratio: Number = 1.0) -> Number:
    """Nusselt number of a sphere in a stream, dimensionless.

    Nu = 2 + (0.4 Re^½ + 0.06 Re^⅔) Pr^0.4 (μ/μ_s)^¼. Any shape. Properties at the stream's
    temperature, μ_s at the surface's; used for Re up to 7.6e4, Pr from 0.69 to 380. Below
    Re = 3.5, the least that was measured, it goes over into conduction.

    Source: S. Whitaker, AIChE Journal 18 (1972) 361; two handbooks' worked examples stand
    in tests/published.

    Raises:
        OutOfRange: outside those, naming the value.

    """
    within(reynolds, 0.0, 7.6e4, "Reynolds number")
    within(prandtl, 0.69, 380.0, "Prandtl number")
    stirred = 0.4 * np.sqrt(reynolds) + 0.06 * np.cbrt(reynolds) ** 2
    nusselt: Number = 2.0 + stirred * prandtl**0.4 * np.sqrt(np.sqrt(viscosity_ratio))
    return nusselt


def mixed_nusselt(free: Number, forced: Number) -> Number:
    """Both at once: 2 + [(Nu_free − 2)³ + (Nu_forced − 2)³]^⅓, dimensionless.

    The cube rule for streams that help one another (S. W. Churchill, AIChE Journal 23
    (1977) 10, from memory). Either alone comes through unchanged.
    """
    mixed: Number = 2.0 + np.cbrt((free - 2.0) ** 3 + (forced - 2.0) ** 3)
    return mixed
