"""Issued statements: written once, with their sums, as a folder or as a bag, and never again."""

from __future__ import annotations

import hashlib
import json
import stat
from datetime import date
from pathlib import Path

import bagit
import pytest

from dossier.publish.issued import (
    IssuedManifest,
    bag,
    earlier,
    free_name,
    sealed,
    write_issued,
)
from dossier.publish.seal import opened
from dossier.publish.trouble import PublishError
from tests.publish.shop import files

DAY = date(2026, 11, 25)
FILES = {
    "statement.pdf": b"%PDF-1.7",
    "index.html": b"<!doctype html>",
    "history.json": b'{"said": "Four pins were loose."}\n',
    "assets/site-1.css": b"p{}",
}


def manifest(number: int = 1, instrument: str = "heron", edition: str = "sale") -> IssuedManifest:
    return IssuedManifest(
        instrument=instrument,
        edition=edition,
        issued=DAY.isoformat(),
        number=number,
        program="dossier 0.1.0",
        files={},
    )


def test_the_manifest_has_the_sum_of_each_file_but_its_own_and_a_seal() -> None:
    data = sealed(manifest(), FILES)["manifest.json"]
    assert json.loads(data) == {
        "version": 1,
        "instrument": "heron",
        "edition": "sale",
        "issued": "2026-11-25",
        "number": 1,
        "program": "dossier 0.1.0",
        "files": {path: hashlib.sha256(data).hexdigest() for path, data in FILES.items()},
        "seal": opened(data).seal,
    }


def test_a_folder_is_written_whole_and_closed_to_writing(tmp_path: Path) -> None:
    whole = sealed(manifest(), FILES)
    folder = write_issued(tmp_path, "heron-sale-2026-11-25", whole)
    assert folder == tmp_path / "issued" / "heron-sale-2026-11-25"
    assert files(folder) == {**whole, "assets": b"(folder)"}
    modes = {stat.S_IMODE((folder / path).stat().st_mode) for path in whole}
    assert modes == {0o444}
    assert stat.S_IMODE(folder.parent.stat().st_mode) == 0o700
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]


def test_what_was_issued_is_never_written_again(tmp_path: Path) -> None:
    write_issued(tmp_path, "heron-sale-2026-11-25", sealed(manifest(), FILES))
    before = files(tmp_path)
    with pytest.raises(PublishError) as error:
        write_issued(tmp_path, "heron-sale-2026-11-25", {"index.html": b"another"})
    assert str(error.value) == (
        f"{tmp_path}/issued/heron-sale-2026-11-25 stands already. "
        "An issued statement is never written again."
    )
    assert files(tmp_path) == before


def test_a_second_one_of_the_day_gets_a_number(tmp_path: Path) -> None:
    names = []
    for _ in range(3):
        names.append(free_name(tmp_path, "heron", "sale", DAY))
        write_issued(tmp_path, names[-1], {"index.html": b""})
    assert names == [
        "heron-sale-2026-11-25", "heron-sale-2026-11-25-2", "heron-sale-2026-11-25-3",
    ]  # fmt: skip


def test_what_a_crash_left_behind_is_no_hindrance(tmp_path: Path) -> None:
    left = tmp_path / "issued" / ".staging-heron-sale-2026-11-25"
    left.mkdir(parents=True)
    (left / "index.html").write_text("half")
    folder = write_issued(tmp_path, "heron-sale-2026-11-25", FILES)
    assert (folder / "index.html").read_bytes() == FILES["index.html"]
    assert not left.exists()


def test_earlier_ones_are_told_apart_and_counted(tmp_path: Path) -> None:
    def issue(number: int, instrument: str, edition: str, *, bagged: bool = False) -> None:
        whole = sealed(manifest(number, instrument, edition), FILES)
        name = free_name(tmp_path, instrument, edition, DAY)
        write_issued(tmp_path, name, bag(whole, name, DAY, "x", "x") if bagged else whole)

    for number in range(1, 12):
        issue(number, "heron", "sale", bagged=number % 2 == 0)
    issue(1, "heron", "appraisal")
    issue(1, "heron-sale", "sale")
    found = earlier(tmp_path, "heron", "sale")
    assert [one.manifest.number for one in found] == list(range(1, 12))
    assert {one.history for one in found} == {FILES["history.json"]}
    assert len(earlier(tmp_path, "heron", "appraisal")) == 1
    assert earlier(tmp_path, "wren", "sale") == ()


@pytest.mark.parametrize("damage", ["history.json", "manifest.json"])
def test_one_that_was_changed_stops_the_next(tmp_path: Path, damage: str) -> None:
    folder = write_issued(tmp_path, "heron-sale-2026-11-25", sealed(manifest(), FILES))
    (folder / damage).chmod(0o644)
    (folder / damage).write_bytes(b'{"said": "No pin was loose."}\n')
    with pytest.raises(PublishError) as error:
        earlier(tmp_path, "heron", "sale")
    assert str(error.value) == (
        f"{folder} is no longer what was issued, so that a later statement can't say what differs "
        "from it. Put it back from a copy, or move it away; then it counts as never issued."
    )


def test_a_bag_is_one_to_another_program(tmp_path: Path) -> None:
    """Checked by the bagit package, which reads BagIt 1.0."""
    whole = sealed(manifest(), FILES)
    folder = write_issued(
        tmp_path, "heron", bag(whole, "heron", DAY, "Alder\n& Reed", "dossier 0.1.0")
    )
    read = bagit.Bag(str(folder))
    read.validate()
    assert read.version_info == (1, 0)
    assert read.info == {
        "Source-Organization": "Alder & Reed",
        "External-Identifier": "heron",
        "Bagging-Date": "2026-11-25",
        "Bag-Software-Agent": "dossier 0.1.0",
        "Payload-Oxum": f"{sum(map(len, whole.values()))}.5",
    }
    assert sorted(read.payload_files()) == sorted(f"data/{path}" for path in whole)


@pytest.mark.parametrize("path", ["data/index.html", "bag-info.txt"])
def test_another_program_sees_a_changed_bag(tmp_path: Path, path: str) -> None:
    folder = write_issued(tmp_path, "heron", bag(FILES, "heron", DAY, "x", "x"))
    (folder / path).chmod(0o644)
    (folder / path).write_bytes((folder / path).read_bytes() + b"x")
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(folder)).validate()
