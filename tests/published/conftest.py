"""The tables in data/: each names its sources in its first lines."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

DATA = Path(__file__).parent / "data"

Table = list[dict[str, str]]
ReadTable = Callable[[str], Table]


@pytest.fixture(scope="session")
def table() -> ReadTable:
    """Reads a table by its name; one without a source or without rows is refused."""

    def read(name: str) -> Table:
        lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
        assert lines[0].startswith("# "), f"{name}.csv does not name its source"
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
        assert rows, f"{name}.csv has no rows"
        return rows

    return read
