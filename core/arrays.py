"""Names for the arrays that pass between modules.

``Points`` is (n, 3) in metres, east, north, up above the site datum. ``Floats`` is any float array;
shapes are given in the docstrings.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.floating[Any]]
Complexes = NDArray[np.complexfloating[Any, Any]]
Bools = NDArray[np.bool_]
Codes = NDArray[np.int8]
Points = NDArray[np.floating[Any]]


def frozen(values: ArrayLike) -> NDArray[np.float64]:
    """Return a read-only float64 copy, for fields of frozen dataclasses.

    Parameters
    ----------
    values : array_like
        Values.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    array = np.array(values, dtype=np.float64)
    array.setflags(write=False)
    return array


def highest(values: Floats) -> Floats:
    """Return the largest values over the last axis; quicker than a reduction where it is short.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    out: Floats = values[..., 0]
    for i in range(1, values.shape[-1]):
        out = np.maximum(out, values[..., i])
    return out


def lowest(values: Floats) -> Floats:
    """Return the smallest values over the last axis.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    out: Floats = values[..., 0]
    for i in range(1, values.shape[-1]):
        out = np.minimum(out, values[..., i])
    return out


def cross(a: NDArray[Any], b: NDArray[Any]) -> NDArray[Any]:
    """Return the cross products (n, 3) of vectors along the last axis; quicker than numpy's on few of them.

    Parameters
    ----------
    a : NDArray[Any]
        The one.
    b : NDArray[Any]
        The other.
    """
    a0, a1, a2 = a[..., 0], a[..., 1], a[..., 2]
    b0, b1, b2 = b[..., 0], b[..., 1], b[..., 2]
    return np.stack([a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0], axis=-1)
