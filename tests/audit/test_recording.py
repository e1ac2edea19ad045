"""The record of audits: a row a part, the last run's, with what its tests counted."""

from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from tests.audit.recording import HEAD, Recorder


def report(outcome: str, when: str = "call", **counted: int) -> pytest.TestReport:
    told = SimpleNamespace(outcome=outcome, when=when, user_properties=tuple(counted.items()))
    return cast("pytest.TestReport", told)


def run(part: str, place: Path, *reports: pytest.TestReport) -> str:
    recorder = Recorder(part, place)
    for one in reports:
        recorder.pytest_runtest_logreport(one)
    recorder.pytest_sessionfinish()
    return place.read_text()


def cells(text: str) -> list[list[str]]:
    """The rows without their day, which is today's."""
    rows = text.removeprefix(HEAD).splitlines()
    return [[cell for n, cell in enumerate(row.strip("| ").split(" | ")) if n != 1] for row in rows]


def test_each_part_has_the_row_of_its_last_run(tmp_path: Path) -> None:
    place = tmp_path / "record.md"
    run("kills", place, report("failed", kills=3))
    run("cache", place, report("passed", edits=100), report("passed", edits=20, seed=7))
    text = run("kills", place, report("passed", "setup"), report("passed", kills=200, seed=5))
    assert text.startswith(HEAD)
    assert cells(text) == [
        ["cache", "passed", "2", "0.0", "edits 120, seed 7"],
        ["kills", "passed", "1", "0.0", "kills 200, seed 5"],
    ]


def test_a_part_that_failed_says_so(tmp_path: Path) -> None:
    text = run("kills", tmp_path / "record.md", report("passed"), report("failed"))
    assert cells(text)[0][:4] == ["kills", "1 failed", "2", "0.0"]


def test_each_proof_is_part_of_an_audit(repo: Path) -> None:
    parts = (repo / "Makefile").read_text("utf-8")
    proofs = [
        path.relative_to(repo).as_posix()
        for path in sorted((repo / "tests").rglob("test_*.py"))
        if "pytest.mark." + "long" in path.read_text("utf-8")
    ]
    assert len(proofs) > 8
    assert [path for path in proofs if path not in parts] == []
