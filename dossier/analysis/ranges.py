"""The range in which a formula holds, and results that come back in the shape they went in."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Column = NDArray[np.float64]
Values = float | Column


def within(value: ArrayLike, what: str, low: float, high: float, unit: str) -> Column:
    """Return `value` as float64, of any shape, if all of it lies in `low` to `high`, both included.

    A formula used beyond the range its source gives still returns a figure, and nobody would
    notice. NaN in an array is a missing reading of a logger and passes; a single NaN is no number.

    `unit` may be empty. Raises ValueError that names the first offending value and the range.
    """
    numbers = np.asarray(value, dtype=np.float64)
    outside = ~((numbers >= low) & (numbers <= high))
    if numbers.ndim:
        outside &= ~np.isnan(numbers)
    if outside.any():
        first = numbers[outside][0]
        suffix = f" {unit}" if unit else ""
        raise ValueError(f"{what} {first:g}{suffix} is outside {low:.5g} to {high:.5g}{suffix}")
    return numbers


def positive(value: ArrayLike, what: str, unit: str) -> Column:
    """Return `value` as float64 if all of it is above zero and finite; NaN as in `within`.

    Raises ValueError that names the first offending value.
    """
    numbers = np.asarray(value, dtype=np.float64)
    outside = ~((numbers > 0) & np.isfinite(numbers))
    if numbers.ndim:
        outside &= ~np.isnan(numbers)
    if outside.any():
        raise ValueError(
            f"{what} {numbers[outside][0]:g} {unit} is outside the range above 0 {unit}"
        )
    return numbers


def shaped(result: Column) -> Values:
    """Give a float for a single figure and the array for an array, as the formula was asked."""
    return result if result.ndim else float(result)
