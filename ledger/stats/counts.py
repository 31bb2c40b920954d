"""Counts and shares as arrays: what every module of this room takes and checks.

Counts are "made of attempts" or "focus of tagged": 0 <= made <= attempts, finite. They may be
fractions, since an effective size is one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
Scalar: TypeAlias = float | np.integer[Any] | np.floating[Any]
Vector: TypeAlias = NDArray[Any] | Sequence[Any]
Values: TypeAlias = Scalar | Vector


def as_floats(values: Values, name: str) -> FloatArray:
    """Turn one number or a row of numbers into a float64 array of at most one dimension.

    Raises:
        ValueError: more than one dimension.

    >>> as_floats([1, 2], "made")
    array([1., 2.])
    """
    array = np.asarray(values, dtype=np.float64)
    if array.ndim > 1:
        raise ValueError(f"{name} has {array.ndim} dimensions, at most one is possible")
    return array


def as_counts(made: Values, attempts: Values) -> tuple[FloatArray, FloatArray]:
    """Check made and attempts and bring them to one shape.

    Raises:
        ValueError: lengths differ, a count is not finite, below 0, or made above attempts.

    >>> as_counts([3, 0], 5)
    (array([3., 0.]), array([5., 5.]))
    """
    first, second = as_floats(made, "made"), as_floats(attempts, "attempts")
    if first.ndim == second.ndim == 1 and first.shape != second.shape:
        raise ValueError(f"{first.size} counts made but {second.size} attempts")
    k, n = np.broadcast_arrays(first, second)
    if not (np.isfinite(k).all() and np.isfinite(n).all()):
        raise ValueError("a count is missing or not finite")
    if (k < 0).any() or (k > n).any():
        raise ValueError("a count made is below 0 or above its attempts")
    return k, n


def same_length(**columns: FloatArray | BoolArray | IntArray) -> int:
    """Length that all columns share.

    Raises:
        ValueError: two columns differ; both are named.

    >>> same_length(attempts=np.zeros(3), tagged=np.ones(3))
    3
    """
    sizes = {name: column.size for name, column in columns.items()}
    if len(set(sizes.values())) > 1:
        raise ValueError(
            "columns differ in length: " + ", ".join(f"{k} {v}" for k, v in sizes.items())
        )
    return next(iter(sizes.values()), 0)
