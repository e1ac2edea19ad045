"""The regression core against NIST's Statistical Reference Datasets for linear regression.

Source: NIST StRD, Linear Least Squares Regression, Norris (lower difficulty) and Longley (higher
difficulty), certified values as in the first line of each table.
"""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from dossier.analysis.ranges import Column
from dossier.analysis.regression import Posterior, regress

ReadTable = Callable[[str], list[dict[str, str]]]
DATA = Path(__file__).parent / "data"

RESIDUAL_DEVIATION = {"nist_norris": 0.884796396144373, "nist_longley": 304.854073561965}
"""Certified residual standard deviations; NIST StRD, from memory."""


def certified(name: str) -> Column:
    first = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()[0]
    return np.array([float(value) for value in re.findall(r"B\d = (-?[\d.]+\d)", first)])


def fitted(table: ReadTable, name: str) -> Posterior:
    rows = table(name)
    causes = [column for column in rows[0] if column != "y"]
    design = np.array([[1.0, *(float(row[cause]) for cause in causes)] for row in rows])
    return regress(design, np.array([float(row["y"]) for row in rows]))


def digits(got: Column, expected: Column) -> Column:
    return np.asarray(-np.log10(np.abs(got / expected - 1.0) + 1e-16))


@pytest.mark.parametrize(("name", "count"), [("nist_norris", 2), ("nist_longley", 7)])
def test_certified_coefficients_to_ten_digits(table: ReadTable, name: str, count: int) -> None:
    expected = certified(name)
    assert len(expected) == count
    assert digits(fitted(table, name).mean, expected).min() >= 10.0


@pytest.mark.parametrize("name", ["nist_norris", "nist_longley"])
def test_certified_residual_deviation(table: ReadTable, name: str) -> None:
    found = fitted(table, name)
    deviation = np.sqrt(found.rate / found.shape)
    assert digits(deviation, np.array(RESIDUAL_DEVIATION[name])) >= 8.0
