"""The disk refuses any step of a build: what stands is whole, and what to do is said."""

from __future__ import annotations

import errno
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from tests.audit.failing import READS, failing
from tests.audit.turning import Turn, trees, turn
from tests.build.small_shop import TODAY, Shop

pytestmark = pytest.mark.audit

ERRORS = (errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO, errno.ENOENT, errno.EDQUOT)
OLD_STANDS, NEW_STANDS = "What was published before still stands.", "The new pages stand"
WRITTEN = ("chmod", "fchmod", "fsync", "link", "mkdir", "open", "replace", "unlink", "write")


@pytest.fixture(scope="module")
def turned(tmp_path_factory: pytest.TempPathFactory) -> Turn:
    return turn(tmp_path_factory.mktemp("failing") / "shop")


@pytest.fixture
def again(turned: Turn, tmp_path: Path) -> Callable[[], Shop]:
    """Gives the shop as it was before the build, in a new folder each time."""
    numbers = count()

    def copied() -> Shop:
        number = next(numbers)
        shutil.rmtree(tmp_path / str(number - 1), ignore_errors=True)
        return turned.copy(tmp_path / str(number))

    return copied


def words(shop: Shop) -> list[str]:
    folders = ["--content", shop.content, "--out", shop.out, "--state", shop.state]
    return ["build", *map(str, folders), "--today", TODAY.isoformat(), "--no-pdf", "--jobs", "1"]


def built(shop: Shop) -> Result:
    return CliRunner().invoke(main, words(shop))


def steps_of(shop: Shop, turned: Turn) -> list[str]:
    with failing(shop.root) as steps:
        assert built(shop).exit_code == 0
    assert turned.left(shop) == []
    counts = Counter(steps)
    assert all(counts[name] for name in (*WRITTEN, "exchange", "flock", "scandir", "stat"))
    return list(steps)


def faults_of(result: Result, shop: Shop, turned: Turn) -> list[str]:
    """What a refused step may not lead to."""
    found: list[str] = []
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        return [f"a traceback: {result.exception!r}"]
    now = trees(shop)["public"]
    told = result.stderr
    if result.exit_code == 2:
        if not told.startswith("dossier: ") or not told.endswith(".\n"):
            found.append(f"no sentence: {told}")
        if OLD_STANDS in told and now != turned.old["public"]:
            found.append("what stood before is said to stand, and does not")
        if NEW_STANDS in told and now != turned.new["public"]:
            found.append("the new is said to stand, and does not")
    if result.exit_code == 0 and now != turned.new["public"]:
        found.append("all is said to be well, and the new does not stand")
    if result.exit_code == 1:  # a note that can't be read: its last good pages stand
        return found if ": error: " in told else [*found, f"no error: {told}"]
    return found + turned.faults(shop)


def refused(
    turned: Turn, again: Callable[[], Shop], first: int, every: int, *, lasting: bool
) -> Counter[int]:
    """Refuse every so many steps from the first on, one a build; counts how the builds ended.

    A disk that refuses from then on begins with a step that writes.
    """
    named = enumerate(steps_of(again(), turned))
    steps = [step for step, name in named if not (lasting and name in READS)]
    ended: Counter[int] = Counter()
    for number, step in enumerate(steps[first::every]):
        shop = again()
        error = ERRORS[(number + lasting) % len(ERRORS)]
        with failing(shop.root, step, error, lasting=lasting) as done:
            result = built(shop)
        if step >= len(done):  # one step less than in the build that was counted
            continue
        what = (step, done[step], errno.errorcode[error], result.output)
        assert faults_of(result, shop, turned) == [], what
        ended[result.exit_code] += 1
        result = built(shop)
        assert (result.exit_code, turned.left(shop)) == (0, []), (
            *what,
            result.output,
            result.exception,
        )
    assert ended[2] > ended.total() / 4
    return ended


PARTS = 5


@pytest.mark.long
@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize("part", range(PARTS))
def test_a_disk_that_refuses_any_step_leaves_what_stands_whole(
    turned: Turn,
    again: Callable[[], Shop],
    record_property: Callable[[str, object], None],
    part: int,
    *,
    lasting: bool,
) -> None:
    ended = refused(turned, again, part, PARTS, lasting=lasting)
    assert ended.total() > 100
    record_property("refused steps", ended.total())


@pytest.mark.slow
@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
def test_a_disk_that_refuses_one_in_fifty_steps(
    turned: Turn, again: Callable[[], Shop], *, lasting: bool
) -> None:
    assert refused(turned, again, 25, 50, lasting=lasting).total() > 10


FULL = """
import resource, sys
from dossier.__main__ import main

resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192))
main()
"""


@pytest.mark.slow
def test_a_disk_that_takes_no_more_is_told_by_the_system_itself(
    turned: Turn, again: Callable[[], Shop]
) -> None:
    """No file may be larger than 8 KB, which the pages are: the system's own refusal."""
    shop = again()
    ran = subprocess.run(
        [sys.executable, "-c", FULL, *words(shop)], capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr == (
        f"dossier: The disk that holds {shop.state} is full. Make room and build again. "
        f"{OLD_STANDS}\n"
    )
    assert trees(shop) == turned.old
    assert built(shop).exit_code == 0
    assert turned.left(shop) == []
