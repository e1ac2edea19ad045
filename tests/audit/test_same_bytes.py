"""The same notes give the same bytes, whoever builds them, where, when and in how many processes.

Each build runs in a process of its own, on its own copy of the notes.  The links' addresses come
from dice, so that all builds begin with the same private state.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

import pytest

from tests.conftest import DEMO_TODAY
from tests.publish.shop import files

pytestmark = [pytest.mark.audit, pytest.mark.slow]

# Lists folders in another order than the disk's; a child process of Python runs it by itself.
SHUFFLED = """
import os, random

class Shuffled:
    def __init__(self, entries, dice):
        self.entries, self.dice = entries, dice

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.entries.close()

    def __iter__(self):
        found = sorted(self.entries, key=lambda entry: entry.name)
        self.dice.shuffle(found)
        return iter(found)

    def close(self):
        self.entries.close()

scandir, listdir = os.scandir, os.listdir
order = random.Random(int(os.environ["FILE_ORDER"]))

def other_scandir(path="."):
    return Shuffled(scandir(path), order)

def other_listdir(path="."):
    found = sorted(listdir(path))
    order.shuffle(found)
    return found

os.scandir, os.listdir = other_scandir, other_listdir
"""


@dataclass(frozen=True)
class Machine:
    """Where a build runs: its folder, zone, language, hashes, processes and order of files."""

    folder: str
    zone: str
    language: str
    hashes: int
    jobs: int
    order: int
    more: Mapping[str, str] = field(default_factory=dict)

    def run(self, root: Path, *command: str) -> None:
        known = {"TZ": self.zone, "LANG": self.language, "LC_ALL": self.language}
        lists = {"PYTHONPATH": str(root / "order"), "FILE_ORDER": str(self.order)}
        inherited = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
        subprocess.run(
            [sys.executable, "-m", "dossier", *command, "--today", DEMO_TODAY, "--quiet"],
            cwd=root,
            env={**inherited, **known, **lists, "PYTHONHASHSEED": str(self.hashes), **self.more},
            check=True,
            capture_output=True,
        )


MACHINES = (
    Machine("a", "UTC", "C.UTF-8", 0, 1, 1),
    Machine("elsewhere", "Asia/Tokyo", "de_DE.UTF-8", 1, 2, 2),
    Machine("far/below/in/a folder of another length", "America/Adak", "C", 2, 1, 3),
    Machine("Größe", "Pacific/Auckland", "tr_TR.UTF-8", 3, 2, 4, {"LC_NUMERIC": "fr_FR.UTF-8"}),
    Machine("b", "Asia/Kathmandu", "POSIX", 4_000_000_000, 1, 5, {"COLUMNS": "40"}),
    Machine("z" * 90, "Pacific/Kiritimati", "ar_EG.UTF-8", 77, 2, 6, {"TERM": "dumb"}),
)
Steps = tuple[tuple[str, ...], ...]


def copied(notes: Path, folder: Path, order: int) -> None:
    """Copies the notes file by file, each machine in an order of its own, with times of its own."""
    paths = sorted(path for path in notes.rglob("*") if path.is_file())
    key: Callable[[Path], bytes] = lambda path: sha256(f"{order} {path}".encode()).digest()  # noqa: E731
    for at, path in enumerate(sorted(paths, key=key)):
        copy = folder / path.relative_to(notes)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(path.read_bytes())
        os.utime(copy, (at * 1000 + order, at * 1000 + order))


def made(notes: Path, links: Path | None, machine: Machine, at: Path, steps: Steps) -> Path:
    """The folder in which a machine took all steps."""
    root = at / machine.folder
    copied(notes, root / "content", machine.order)
    (root / "order").mkdir()
    (root / "order" / "sitecustomize.py").write_text(SHUFFLED, encoding="utf-8")
    if links:
        shutil.copytree(links, root / ".dossier")
    for step in steps:
        jobs = ("--jobs", str(machine.jobs)) if step[0] == "build" else ()
        machine.run(root, *step, *jobs)
    return root


def differing(one: Mapping[str, bytes], other: Mapping[str, bytes]) -> list[str]:
    return sorted(path for path in one.keys() | other.keys() if one.get(path) != other.get(path))


def alike(notes: Path, at: Path, steps: Steps) -> dict[str, bytes]:
    """What all machines made, after each was compared with the first, byte by byte."""
    links, first = None, {}
    for machine in MACHINES:
        root = made(notes, links, machine, at, steps)
        if links is None:
            links, first = at / "links", files(root / "build")
            links.mkdir()
            shutil.copy(root / ".dossier" / "links.json", links)
        else:
            assert differing(files(root / "build"), first) == [], machine
            shutil.rmtree(root)
    return first


def some_of_the_demo(repo: Path, at: Path, *instruments: str) -> Path:
    notes = at / "notes"
    shutil.copytree(repo / "content", notes)
    for path in (notes / "rounds", notes / "inbox"):
        shutil.rmtree(path)
    for path in (notes / "instruments").iterdir():
        if path.name not in instruments:
            shutil.rmtree(path)
    return notes


def test_six_machines_write_the_same_pages_and_the_same_statement(
    repo: Path, tmp_path: Path
) -> None:
    """With photographs and a logger's file; the statement is the one document."""
    notes = some_of_the_demo(repo, tmp_path, "heron", "gannet")
    steps = (("build", "--no-pdf"), ("issue", "gannet", "--edition", "sale"))
    built = alike(notes, tmp_path, steps)
    assert [path.rpartition("/")[2] for path in built if path.endswith(".pdf")] == ["statement.pdf"]
    assert sum(path.endswith(".html") for path in built) > 6


@pytest.mark.long
def test_six_machines_write_the_same_shop_to_the_last_document(
    repo: Path, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    steps = (
        ("build",),
        ("issue", "heron", "--edition", "sale", "--bag"),
        ("issue", "gannet", "--edition", "appraisal", "--bag"),
    )
    built = alike(repo / "content", tmp_path, steps)
    documents = sum(path.endswith(".pdf") for path in built)
    assert documents > 20
    assert sum(path.endswith("bagit.txt") for path in built) == 2
    record_property("builds", len(MACHINES))
    record_property("files", len(built))
    record_property("documents", documents)
    record_property("size", sum(map(len, built.values())))
