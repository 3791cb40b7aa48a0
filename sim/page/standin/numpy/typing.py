"""Names for annotations."""

from ._array import ndarray


class ArrayLike:
    """Whatever can be made an array of."""


class NDArray:
    """An array, of whatever kind of number."""

    def __class_getitem__(cls, kind):
        """Give the one kind of array that there is."""
        return ndarray
