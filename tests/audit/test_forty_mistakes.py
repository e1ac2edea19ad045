"""One note broken in forty ways: it is told, the other nine are built, and its owner sees no harm.

The slips stand in forty_mistakes.txt.  The demo shop is built once with a good note of today for
every instrument; then one of the notes is broken and the shop is built over what stands.  What was
made of the other nine is remembered, as in every shop, so that forty builds take no hour.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from tests.conftest import DEMO_TODAY
from tests.publish.shop import files

pytestmark = [pytest.mark.slow, pytest.mark.audit]

TODAYS = "2026-11-20"
GOOD = "---\nreason: looked in\nair: 18 °C, 55 %\n---\nAll well.\n"
SIGNS = {"␀": "\0", "⇄": "\u202e"}


class Mistake(NamedTuple):
    title: str
    instrument: str
    path: str
    text: str
    encoding: str
    code: str
    told: str


def _mistake(case: str) -> Mistake:
    title, whose, *lines = case.rstrip().split("\n")
    found = re.fullmatch(r">>> (\S+)(?: (named|saved as|in) (\S+))?", whose)
    assert found, whose
    instrument, how, what = found.groups()
    name = what if how == "named" else TODAYS
    code, told = lines.pop().removeprefix("!!! ").split(" ", 1)
    text = "".join(f"{line}\n" for line in lines)
    for written, meant in SIGNS.items():
        text = text.replace(written, meant)
    return Mistake(
        title=title,
        instrument=instrument,
        path=what if how == "in" else f"instruments/{instrument}/visits/{name}.md",
        text=text,
        encoding=what if how == "saved as" else "utf-8",
        code=code,
        told=told,
    )


SLIPS = Path(__file__).with_name("forty_mistakes.txt").read_text("utf-8")
MISTAKES = [_mistake(case) for case in re.split(r"^=== ", SLIPS, flags=re.MULTILINE)[1:]]


@dataclass
class Shop:
    """The demo shop in a folder of its own, built, and put right again after each slip."""

    root: Path
    public: dict[str, bytes] = field(default_factory=dict)

    @property
    def content(self) -> Path:
        return self.root / "content"

    @property
    def good(self) -> Path:
        return self.root / "good"

    @property
    def instruments(self) -> list[str]:
        return sorted(path.name for path in (self.content / "instruments").iterdir())

    def arguments(self, processes: str = "1") -> list[str]:
        options = {"content": self.content, "out": self.root / "out", "state": self.root / "state"}
        named = [f"--{name}={value}" for name, value in options.items()]
        return ["build", *named, "--today", DEMO_TODAY, "--no-pdf", "--jobs", processes]

    def build(self, *more: str) -> Result:
        return CliRunner().invoke(main, [*self.arguments(), *more])

    def files(self) -> dict[str, bytes]:
        return files(self.root / "out" / "public")

    def breaks(self, mistake: Mistake) -> None:
        """Write the slip into the notes."""
        path = self.content / mistake.path
        if mistake.path.startswith("rounds/"):
            row = re.compile(rf"^\| {mistake.instrument} .*\n", re.MULTILINE)
            text, rows = row.subn(lambda _: mistake.text, path.read_text("utf-8"))
            assert rows == 1
            path.write_text(text, "utf-8")
            return
        self.note(mistake.instrument).unlink()
        path.write_bytes(mistake.text.encode(mistake.encoding))

    def note(self, instrument: str) -> Path:
        return self.content / "instruments" / instrument / "visits" / f"{TODAYS}.md"


@pytest.fixture(scope="module")
def good_shop(repo: Path, tmp_path_factory: pytest.TempPathFactory) -> Shop:
    shop = Shop(tmp_path_factory.mktemp("forty"))
    shutil.copytree(repo / "content", shop.content)
    for instrument in shop.instruments:
        shop.note(instrument).parent.mkdir(exist_ok=True)
        shop.note(instrument).write_text(GOOD, "utf-8")
    result = shop.build()
    assert result.exit_code == 0, result.output
    assert len(shop.instruments) == 10
    shop.public = shop.files()
    shutil.copytree(shop.content, shop.good)
    return shop


@pytest.fixture
def shop(good_shop: Shop) -> Iterator[Shop]:
    """The good shop, whose notes are put right again afterwards."""
    yield good_shop
    shutil.rmtree(good_shop.content)
    shutil.copytree(good_shop.good, good_shop.content)


def test_the_slips_are_forty_and_differ() -> None:
    assert len({mistake.title for mistake in MISTAKES}) == len(MISTAKES) == 40
    assert len({mistake.told for mistake in MISTAKES}) == 40
    assert len({mistake.instrument for mistake in MISTAKES}) == 10


@pytest.mark.long
@pytest.mark.parametrize("mistake", MISTAKES, ids=[mistake.title for mistake in MISTAKES])
def test_a_slip_is_told_and_stops_only_its_own_instrument(mistake: Mistake, shop: Shop) -> None:
    shop.breaks(mistake)
    result = shop.build("--json")
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    assert result.stderr == ""
    data = json.loads(result.stdout)
    (error,) = [one for one in data["findings"] if one["severity"] == "error"]
    place = f"{error['file']}:{error['line']}:{error['column']}"
    sentence = f"{error['message']} {error['hint']}".rstrip()
    assert (error["code"], f"{place}: error: {sentence}") == (mistake.code, mistake.told)
    assert error["stops"] == [f"instrument:{mistake.instrument}"]
    assert data["built"] == [name for name in shop.instruments if name != mistake.instrument]
    assert (data["kept"], data["missing"]) == ([mistake.instrument], [])
    assert data["published"] is True
    assert shop.files() == shop.public


def test_three_slips_at_once_are_all_told_and_mended_all_are_built(repo: Path, shop: Shop) -> None:
    sample = (MISTAKES[0], MISTAKES[20], MISTAKES[-1])
    for mistake in sample:
        shop.breaks(mistake)
    run = _run(repo, shop)
    assert run.returncode == 1
    assert "Traceback" not in run.stdout + run.stderr
    errors = [line for line in run.stderr.splitlines() if ": error: " in line]
    assert errors == sorted(mistake.told for mistake in sample)
    kept = [line for line in run.stderr.splitlines() if "its last good pages stand" in line]
    names = sorted(mistake.instrument for mistake in sample)
    assert kept == [f"{name}: not built; its last good pages stand." for name in names]
    assert "Built 7 instruments" in run.stdout
    assert shop.files() == shop.public

    for path in sorted(shop.good.rglob("*.md")):
        shutil.copyfile(path, shop.content / path.relative_to(shop.good))
    run = _run(repo, shop)
    assert (run.returncode, shop.files() == shop.public) == (0, True), run.stderr
    assert "Built 10 instruments" in run.stdout


def _run(repo: Path, shop: Shop) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "dossier", *shop.arguments("2")]
    return subprocess.run(command, cwd=repo, capture_output=True, text=True, check=False)
