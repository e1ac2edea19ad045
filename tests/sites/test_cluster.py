"""The workers of a scheduler: the same bytes as here, though one is killed midway."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.build import Request, run
from dossier.cli import main
from dossier.sites.cluster import cluster
from tests.build.small_shop import TODAY, Shop, small_shop
from tests.publish.shop import files

pytestmark = pytest.mark.slow

Program = tuple[subprocess.Popen[str], str]
HERE = ("--host", "127.0.0.1", "--no-dashboard")


@contextmanager
def running(*words: str, folder: Path | None = None) -> Iterator[Program]:
    """A program of dask with the address at which it listens."""
    command = [sys.executable, "-m", f"distributed.cli.{words[0]}", *words[1:], *HERE]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=folder) as process:
        try:
            yield process, listens(process)
        finally:
            process.kill()


def listens(process: subprocess.Popen[str]) -> str:
    assert process.stderr is not None
    said: list[str] = []
    address = ""
    for line in process.stderr:
        said.append(line)
        if found := re.search(r"(?:Scheduler at|Start worker at):\s+(tcp://\S+)", line):
            address = found[1]
        if "Registering Worker plugin" in line or "Registered to" in line:
            return address
    pytest.fail("".join(said))


@pytest.fixture(scope="module")
def scheduler() -> Iterator[str]:
    with running("dask_scheduler", "--port", "0") as (_, address):
        yield address


def worker(scheduler: str) -> tuple[str, ...]:
    return ("dask_worker", scheduler, "--nthreads", "1", "--no-nanny")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path / "here")


def built(shop: Shop, scheduler: str) -> Result:
    folders = ["--content", shop.content, "--out", shop.out, "--state", shop.state]
    words = ["build", *map(str, folders), "--today", TODAY.isoformat(), "--scheduler", scheduler]
    return CliRunner().invoke(main, words)


def refused(shop: Shop, scheduler: str) -> str:
    """What is said where the workers can't be used; nothing is published then."""
    result = built(shop, scheduler)
    assert (result.exit_code, result.stdout) == (2, ""), result.output
    assert not shop.out.exists()
    return result.stderr


LONG = (pytest.mark.audit, pytest.mark.long)


@pytest.mark.parametrize("pdf", [False, pytest.param(True, marks=LONG, id="with documents")])
def test_a_worker_that_is_killed_midway_changes_no_byte(
    shop: Shop, tmp_path: Path, scheduler: str, *, pdf: bool
) -> None:
    for number in range(4):
        shop.write(
            f"instruments/owl-{number}/instrument.md",
            f"---\nclient: marsh\ntitle: Owl {number}\n---\n",
        )
    there = Shop(tmp_path / "there")
    shutil.copytree(shop.content, there.content)
    shop.build(pdf=pdf)
    there.state.mkdir()
    shutil.copyfile(shop.state / "links.json", there.state / "links.json")
    told: list[int] = []
    with running(*worker(scheduler)) as (first, _), running(*worker(scheduler)):

        def tell(_: str, done: int, __: int) -> None:
            told.append(done)
            if done == 2:
                os.kill(first.pid, signal.SIGKILL)

        request = Request(there.content, there.out, there.state, TODAY, pdf=pdf)
        outcome = run(request, tell, lambda _: True, cluster(scheduler))
        assert first.wait(5) == -signal.SIGKILL
    assert (outcome.published, outcome.missing) == (True, ())
    assert told == [1, 2, 3, 4, 5, 6, 7]
    assert files(there.out) == files(shop.out)
    assert (sum(path.endswith(".pdf") for path in there.bench()) >= 7) is pdf


def test_a_worker_with_another_program_is_refused(
    shop: Shop, tmp_path: Path, scheduler: str, repo: Path
) -> None:
    shutil.copytree(repo / "dossier", tmp_path / "older" / "dossier")
    with (tmp_path / "older/dossier/model/__init__.py").open("a") as module:
        module.write("# an older line\n")
    with running(*worker(scheduler), folder=tmp_path / "older") as (_, address):
        assert refused(shop, scheduler) == (
            f"dossier: The worker {address} has another program than this machine, so that its "
            "pages could differ. Install the same there, or build without it.\n"
        )


def test_a_scheduler_without_a_worker_is_told(shop: Shop, scheduler: str) -> None:
    assert refused(shop, scheduler) == (
        f"dossier: The scheduler at {scheduler} has no worker. Start one on each machine: "
        f"dask worker {scheduler} --nthreads 1\n"
    )


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "here"])
def test_a_scheduler_that_does_not_answer_is_told(shop: Shop, address: str) -> None:
    assert refused(shop, address) == (
        f"dossier: There is no scheduler that answers at {address}. Start one by dask scheduler, "
        "and name it as tcp://HOST:PORT.\n"
    )


def test_without_the_extra_it_is_said_how_to_install_it(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    assert refused(shop, "tcp://127.0.0.1:9") == (
        "dossier: To build on other machines, dossier needs its extra “cluster”: "
        'install it by pip install "dossier[cluster]", here and there.\n'
    )
