"""A shop of one's own: it reads without a word against it, and every line of it is explained."""

import re
from datetime import date
from pathlib import Path

import pytest

from dossier.checks import run_checks
from dossier.desk.files import DeskError
from dossier.desk.start import first_files, start
from dossier.read import read_notebook

TODAY = date(2026, 3, 14)


def test_the_first_shop_is_read_without_any_finding(tmp_path: Path) -> None:
    start(tmp_path / "shop", TODAY)
    notebook, found = read_notebook(tmp_path / "shop/content", TODAY)
    assert notebook is not None
    assert [str(one) for one in (*found, *run_checks(notebook, TODAY))] == []
    assert (list(notebook.clients), list(notebook.instruments), list(notebook.rooms)) == (
        ["moorings"],
        ["blackbird"],
        ["moorings-parlour"],
    )
    assert [visit.date for visit in notebook.visits["blackbird"]] == [TODAY]
    assert notebook.history("blackbird").rooms.keys() == {"moorings-parlour"}


def test_every_file_explains_its_keys() -> None:
    looked = 0
    for path, text in first_files(TODAY):
        front = text.split("---\n")[1].split("\n")
        told = False
        for line in front:
            if line.startswith("#"):
                told = True
            elif re.match(r"[a-z]", line):
                looked += 1
                assert told, f"{path}: {line}"
            elif not line.strip():
                told = False
    assert looked > 30


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", "utf-8")
    with pytest.raises(DeskError) as refused:
        start(tmp_path, TODAY)
    assert str(refused.value) == (
        f"{tmp_path} is not empty, and nothing in it is touched. "
        "Name a folder that is empty or not there yet."
    )
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
    with pytest.raises(DeskError, match="is a file"):
        start(tmp_path / "mine.txt", TODAY)


def test_an_empty_folder_will_do(tmp_path: Path) -> None:
    written = start(tmp_path, TODAY)
    assert sorted(path.relative_to(tmp_path).as_posix() for path in written) == [
        "content/clients/moorings.md",
        "content/instruments/blackbird/instrument.md",
        "content/instruments/blackbird/visits/2026-03-14.md",
        "content/rooms/moorings-parlour.md",
        "content/shop.md",
    ]
