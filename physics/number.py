"""The one type that every formula takes and returns: one number, or an array of them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Number = float | FloatArray
