"""Writes record.md: of each part of `make audit`, the last run, its counts and how long it took.

A plugin of pytest, named by the Makefile with the part; no line of record.md is written by hand.
A test tells its counts and its seed by `record_property`.
"""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

PART = "DOSSIER_AUDIT"
PLACE = Path(__file__).parent / "record.md"
HEAD = (
    "# The last run of each part of `make audit`\n\n"
    "Written by tests/audit/recording.py after a run; not edited by hand.\n\n"
    "| part | day | outcome | tests | minutes | counted |\n|---|---|---|---|---|---|\n"
)


class Recorder:
    """Counts what the tests of one run say."""

    def __init__(self, part: str, place: Path) -> None:
        self.part, self.place = part, place
        self.began = time.monotonic()
        self.outcomes = {"passed": 0, "failed": 0, "skipped": 0}
        self.counted: dict[str, object] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call" or report.outcome != "passed":
            self.outcomes[report.outcome] += 1
        for name, value in report.user_properties if report.when == "call" else ():
            known = self.counted.get(name, 0)
            if name != "seed" and isinstance(value, int) and isinstance(known, int):
                self.counted[name] = known + value
            else:
                self.counted[name] = value

    def pytest_sessionfinish(self) -> None:
        rows = rows_of(self.place)
        rows[self.part] = self.row()
        text = HEAD + "".join(f"{rows[part]}\n" for part in sorted(rows))
        self.place.write_text(text, encoding="utf-8")

    def row(self) -> str:
        minutes = (time.monotonic() - self.began) / 60
        bad = self.outcomes["failed"]
        cells = (
            self.part,
            datetime.now(UTC).date().isoformat(),
            f"{bad} failed" if bad else "passed",
            str(sum(self.outcomes.values()) - self.outcomes["skipped"]),
            f"{minutes:.1f}",
            ", ".join(f"{name} {value}" for name, value in sorted(self.counted.items())),
        )
        return f"| {' | '.join(cells)} |"


def rows_of(place: Path) -> dict[str, str]:
    """The rows of a record, by part; none where there is no record yet."""
    lines = place.read_text("utf-8").splitlines() if place.exists() else []
    rows = [line for line in lines if line.startswith("| ") and not line.startswith("| part ")]
    return {row.split(" | ")[0].removeprefix("| "): row for row in rows}


def pytest_configure(config: pytest.Config) -> None:
    """Only the run as a whole writes, and not each of its workers."""
    part = os.environ.get(PART, "")
    if part and not hasattr(config, "workerinput"):
        config.pluginmanager.register(Recorder(part, PLACE), "dossier-recorder")
