"""What a shop's instruments show together is written down, looked over, and only then read."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from dossier.analysis.findings import analyse
from dossier.analysis.priors import STARTING
from dossier.cli import main
from dossier.desk.learn import FILE, lesson
from dossier.read import read_notebook

TODAY = date(2026, 6, 1)
SHOP = "---\nname: Millrace Pianos\ntechnician: Ada Thorne\n---\n"
CLIENT = "---\nname: The Marshes of Eel Lane\n---\n"
YEARS = (
    ("2023-02-10", 32, "left: on pitch"),
    ("2023-08-20", 62, "found: 14 sharp\nleft: on pitch"),
    ("2024-02-12", 31, "found: 15 flat\nleft: on pitch"),
    ("2024-08-22", 63, "found: 15 sharp\nleft: on pitch"),
    ("2025-02-11", 30, "found: 16 flat\nleft: on pitch"),
)


def write(content: Path, instruments: int) -> Path:
    """A shop whose pianos all follow the seasons alike."""
    notes = {"shop.md": SHOP, "clients/marsh.md": CLIENT}
    for number in range(instruments):
        folder = f"instruments/piano-{number}"
        notes[f"{folder}/instrument.md"] = f"---\nclient: marsh\ntitle: Piano {number}\n---\n"
        for day, humidity, pitch in YEARS:
            notes[f"{folder}/visits/{day}.md"] = (
                f"---\nair: 20 °C, {humidity} %\n{pitch}\nwork: tuning\n---\n"
            )
    for path, text in notes.items():
        (content / path).parent.mkdir(parents=True, exist_ok=True)
        (content / path).write_text(text, "utf-8")
    return content


def learn(content: Path, *options: str) -> tuple[int, str]:
    run = CliRunner().invoke(
        main, ["learn", "--content", str(content), "--today", "2026-06-01", *options]
    )
    return run.exit_code, run.output


def test_few_instruments_teach_nothing(tmp_path: Path) -> None:
    code, told = learn(write(tmp_path, 2), "--yes")
    assert (code, told) == (
        0,
        ("2 of the shop's instruments can be compared from visit to visit; 3 are needed to learn "
        "from. The starting values stay.\n"),
    )
    assert not (tmp_path / FILE).exists()


def test_nothing_is_written_unasked(tmp_path: Path) -> None:
    code, told = learn(write(tmp_path, 4))
    assert code == 0
    assert told.startswith("From 4 instruments (mean, between instruments, between registers):\n")
    assert told.endswith("Nothing was written.\n")
    assert not (tmp_path / FILE).exists()


def test_what_was_learned_is_read_by_the_analysis_that_builds_use(tmp_path: Path) -> None:
    content = write(tmp_path, 4)
    before, _ = read_notebook(content, TODAY)
    assert before is not None
    assert analyse(before.history("piano-0")).drift.basis.instruments == 0
    code, _ = learn(content, "--yes")
    assert code == 0
    after, found = read_notebook(content, TODAY)
    assert after is not None
    assert [str(one) for one in found] == []
    assert after.shop.learned is not None
    assert float(after.shop.learned.humidity.mean) != STARTING.humidity.mean
    assert analyse(after.history("piano-0")).drift.basis.instruments == 4


def test_to_learn_twice_of_the_same_changes_nothing(tmp_path: Path) -> None:
    """The shop's values are learned from the tool's own, and not from themselves."""
    content = write(tmp_path, 4)
    learn(content, "--yes")
    first = (content / FILE).read_text("utf-8")
    learn(content, "--yes")
    assert (content / FILE).read_text("utf-8") == first


def test_a_file_of_another_kind_is_not_overwritten(tmp_path: Path) -> None:
    content = write(tmp_path, 4)
    (content / FILE).write_text("My own notes on drift.\n", "utf-8")
    code, told = learn(content, "--yes")
    assert (code, told) == (
        2,
        "dossier: No instrument can be read. Mend the notes first: dossier check.\n",
    )
    assert (content / FILE).read_text("utf-8") == "My own notes on drift.\n"


def test_the_lesson_for_machines(tmp_path: Path) -> None:
    _, told = learn(write(tmp_path, 4), "--json")
    data = json.loads(told)
    assert data["instruments"] == 4
    assert [one["name"] for one in data["changes"]] == [
        "humidity response",
        "slow fall",
        "settling share",
        "error",
    ]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        (
            "humidity response: 4.5, 2.0",
            ('learned.md:4:20: error: "4.5, 2.0" is not a mean and its two spreads. Write it like '
            "4.5, 2.0, 0.9, or let dossier learn write the file anew."),
        ),
        (
            "humidity response: 4.5, 0, 0.9",
            'learned.md:4:25: error: "0" is not above 0. Write 2.5.',
        ),
        (
            "humidity response: much, 2.0, 0.9",
            'learned.md:4:20: error: "much" is not a number. Write it like 10.',
        ),
    ],
)
def test_a_spoilt_line_stops_the_build_and_says_where(
    tmp_path: Path, line: str, message: str
) -> None:
    content = write(tmp_path, 1)
    (content / FILE).write_text(
        f"---\nlearned: 2026-05-01\ninstruments: 4\n{line}\nslow fall: -2, 1.5, 0.8\n"
        "settling share: 0.2, 0.09, 0.06\nerror: 2.5\n---\n",
        "utf-8",
    )
    notebook, found = read_notebook(content, TODAY)
    assert message in [str(one) for one in found]
    assert notebook is not None
    assert notebook.stopped == {"piano-0"}


def test_an_instrument_that_cannot_be_read_teaches_nothing(tmp_path: Path) -> None:
    content = write(tmp_path, 4)
    note = content / "instruments/piano-0/visits/2023-02-10.md"
    note.write_text("---\nfound: H4 +6\n---\n", "utf-8")
    notebook, _ = read_notebook(content, TODAY)
    assert notebook is not None
    assert lesson(notebook, TODAY).instruments == 3
