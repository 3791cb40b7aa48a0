"""Arrays with gaps: NaN stands for a reading that was not taken.

Everything here works along the last axis and on all leading axes at once, without warnings.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.int64]


def ratio(above: ArrayLike, below: ArrayLike) -> FloatArray:
    """`above / below`, broadcast; NaN wherever `below` is zero or either is NaN."""
    top, bottom = np.broadcast_arrays(
        np.asarray(above, dtype=np.float64), np.asarray(below, dtype=np.float64)
    )
    answer = np.full(top.shape, np.nan)
    np.divide(top, bottom, out=answer, where=bottom != 0.0)
    return answer
