"""The step that heights were read to, which may be coarser than their last decimal place.

A student who reads to half a centimetre writes 23.0 and 23.5: the last place is a tenth, the
step five of them. Taken for tenths, four readings of 23.0 and one of 23.5 would look like an
anomaly.
"""

import numpy as np
from numpy.typing import ArrayLike

COARSER = 5
"""A scale between its marks is read to halves: common practice, no source."""
LEAST_READINGS = 8
"""So many readings in tenths would all fall on halves once in 5^8, some 400,000, by luck."""


def resolution_m(heights_m: ArrayLike, decimal_places: int) -> float:
    """The step of readings of any shape, in metres; NaN is a missing one.

    One unit of the last decimal place (in centimetres) that they were written to, or five
    where all of eight readings or more are multiples of five and not all are the same.
    """
    heights = np.asarray(heights_m, dtype=np.float64)
    heights = heights[np.isfinite(heights)]
    step_m = 10.0**-decimal_places / 100.0
    if heights.size < LEAST_READINGS or np.ptp(heights) == 0.0:
        return step_m
    coarse = heights / (COARSER * step_m)
    return COARSER * step_m if np.allclose(coarse, np.rint(coarse), rtol=0.0, atol=1e-6) else step_m
