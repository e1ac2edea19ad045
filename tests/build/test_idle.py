"""A build that would change nothing is known from the bytes, and anything that changed is seen."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from dossier import untouched
from dossier.build import Request, run
from dossier.sites import idle
from dossier.sites.idle import FOLDER, RECORD, look
from dossier.sites.outcome import Outcome
from tests.build.small_shop import TODAY, VISIT, Shop
from tests.test_house import HEAVY, REPO


def request(shop: Shop) -> Request:
    return Request(shop.content, shop.out, shop.state, TODAY, (), 1, pdf=False)


def unchanged(asked: Request) -> Outcome | None:
    """As the next process would see it."""
    return idle.unchanged(asked, look(asked))


def files_below(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def flip(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))


def dated(path: Path) -> None:
    """A byte changed as by somebody who sets the file's date back."""
    before = path.stat()
    flip(path)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def issue(shop: Shop, text: bytes) -> None:
    path = shop.out / "issued" / "wren-sale-2026-06-01" / "index.html"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text)


CHANGES: dict[str, Callable[[Shop], object]] = {
    "a note": lambda shop: shop.says(VISIT, "air: 19 °C", "air: 18 °C"),
    "a new file": lambda shop: shop.write("rooms/parlour.md", "---\nname: Parlour\n---\n"),
    "a file less": lambda shop: (shop.content / VISIT).unlink(),
    "a renamed note": lambda shop: (shop.content / VISIT).rename(
        shop.content / VISIT.replace("03-14", "03-15")
    ),
    "the shop's own theme": lambda shop: shop.write("theme/screen/own.css", "p{}"),
    "the links": lambda shop: flip(shop.state / "links.json"),
    "what is kept": lambda shop: files_below(shop.state / "kept")[0].unlink(),
    "a published page": lambda shop: flip(files_below(shop.out / "public")[-1]),
    "a stranger among the pages": lambda shop: (shop.out / "public" / "own.html").write_text("x"),
    "a page that others may no longer read": lambda shop: files_below(shop.out / "public")[
        -1
    ].chmod(0o600),
    "a page of the same length and date": lambda shop: dated(files_below(shop.out / "bench")[-1]),
    "a note of the same length and date": lambda shop: dated(shop.content / VISIT),
    "the whole bench": lambda shop: shutil.rmtree(shop.out / "bench"),
    "an issued statement": lambda shop: issue(shop, b"2"),
    "the record": lambda shop: flip(shop.state / FOLDER / RECORD),
    "the cache": lambda shop: shutil.rmtree(shop.state / FOLDER),
}


def test_an_idle_build_says_what_the_one_before_said(shop: Shop) -> None:
    shop.says(VISIT, "air: 19 °C, 44 %", "air: 19 °C, 4 %")
    assert unchanged(request(shop)) is None
    first = shop.good()
    assert [one.code for one in first.findings if one.code == "air-unlikely"] == ["air-unlikely"]
    known = unchanged(request(shop))
    assert known == replace(first, minted=(), changes=())
    assert known == shop.good()


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_changed_is_seen(shop: Shop, change: str) -> None:
    issue(shop, b"1")
    shop.good()
    assert unchanged(request(shop)) is not None
    CHANGES[change](shop)
    assert unchanged(request(shop)) is None


def test_what_nobody_touched_is_not_read_again(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    reading = untouched._reading

    def noted(path: str) -> Callable[[], bytes]:
        read.append(path)
        return reading(path)

    monkeypatch.setattr(untouched, "_reading", noted)
    shop.good()
    time.sleep(0.05)  # until no two changes can bear the same time
    assert unchanged(request(shop)) is not None
    read.clear()
    assert unchanged(request(shop)) is not None
    assert read == []
    shop.says(VISIT, "air: 19 °C", "air: 18 °C")
    shop.good()
    assert [path for path in read if path.startswith(os.fspath(shop.out))] == []


def test_another_request_is_another_build(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.good()
    asked = request(shop)
    others = (
        replace(asked, today=TODAY.replace(day=2)),
        replace(asked, pdf=True),
        replace(asked, clients=("marsh",)),
        replace(asked, out=shop.root / "elsewhere"),
    )
    assert [unchanged(other) for other in others] == [None] * len(others)
    monkeypatch.setattr(idle, "program", lambda: "another version")
    assert unchanged(asked) is None


def test_a_build_with_an_error_is_never_idle(shop: Shop) -> None:
    shop.write("instruments/robin/visits/2026-02-02.md", "---\nwork: [\n---\n")
    shop.build()
    assert unchanged(request(shop)) is None


def test_a_note_changed_during_a_build_is_not_taken_for_read(shop: Shop) -> None:
    def approve(_: object) -> bool:
        shop.says(VISIT, "air: 19 °C", "air: 18 °C")
        return True

    run(request(shop), lambda *_: None, approve)
    assert unchanged(request(shop)) is None


def test_an_idle_build_loads_nothing_heavy(shop: Shop) -> None:
    shop.good()
    program = (
        "import sys, dossier.cli\n"
        "try:\n    dossier.cli.main(sys.argv[1:])\n"
        "except SystemExit as ended:\n    assert ended.code == 0, ended.code\n"
        "print(*sys.modules)"
    )
    command = ["build", "--content", shop.content, "--out", shop.out, "--state", shop.state]
    command += ["--today", TODAY.isoformat(), "--no-pdf", "--quiet"]
    run = subprocess.run(
        [sys.executable, "-c", program, *map(str, command)],
        cwd=REPO,
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = set(run.stdout.split())
    assert "dossier.sites.idle" in loaded
    assert (
        loaded & (HEAVY | {"pydantic", "jinja2", "yaml", "dossier.read", "dossier.build"}) == set()
    )
