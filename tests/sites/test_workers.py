"""Tasks give the same here, over threads and over processes, and one that fails stops no other."""

import math
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor
from functools import partial
from pathlib import Path

import pytest

from dossier.sites import workers
from dossier.sites.workers import Here, LostWorkerError, Workers, nothing, over, processes


def threads(_: int) -> Executor:
    return ThreadPoolExecutor(2)


@pytest.mark.parametrize("chosen", [processes(1), threads, processes(2)])
def test_each_task_comes_back_with_its_result_or_its_error(chosen: Workers) -> None:
    done = {task: str(result) for task, result in over(chosen, math.sqrt, (1, -1, 4))}
    assert done == {1: "1.0", -1: "math domain error", 4: "2.0"}


def test_workers_are_opened_anew_before_they_have_grown(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[int] = []

    def counted(tasks: int) -> Executor:
        opened.append(tasks)
        return Here()

    monkeypatch.setattr(workers, "AT_ONCE", 2)
    assert dict(over(counted, math.sqrt, (0, 1, 4, 9, 16))) == {0: 0, 1: 1, 4: 2, 9: 3, 16: 4}
    assert opened == [2, 2, 1]


def test_nothing_to_do_opens_nothing() -> None:
    def never(_: int) -> Executor:
        raise AssertionError

    assert list(over(never, math.sqrt, ())) == []


@pytest.mark.parametrize("chosen", [processes(1), threads, processes(2)])
def test_what_is_to_be_done_meanwhile_is_done_once_and_here(
    chosen: Workers, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "AT_ONCE", 1)
    done: list[int] = []
    results = dict(over(chosen, math.sqrt, (4, 9), lambda: done.append(os.getpid())))
    assert results == {4: 2.0, 9: 3.0}
    assert done == [os.getpid()]


def touch(path: Path) -> None:
    with path.open("a") as text:
        text.write("done ")


@pytest.mark.parametrize("chosen", [processes(1), threads, processes(2)])
def test_an_errand_is_done_once(
    chosen: Workers, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "AT_ONCE", 1)
    errand = partial(touch, tmp_path / "done")
    assert dict(over(chosen, math.sqrt, (4, 9), nothing, errand)) == {4: 2.0, 9: 3.0}
    assert (tmp_path / "done").read_text() == "done "


def test_an_errand_that_fails_costs_no_task(tmp_path: Path) -> None:
    errand = partial(touch, tmp_path)  # a folder
    for chosen in (processes(1), threads, processes(2)):
        assert dict(over(chosen, math.sqrt, (4, 9), nothing, errand)) == {4: 2.0, 9: 3.0}


def test_an_errand_that_ends_its_worker_costs_no_task() -> None:
    errand = partial(os._exit, 9)
    assert dict(over(processes(2), math.sqrt, (4, 9), nothing, errand)) == {4: 2.0, 9: 3.0}


def test_what_fails_meanwhile_ends_all() -> None:
    def fail() -> None:
        raise KeyError("meanwhile")

    with pytest.raises(KeyError, match="meanwhile"):
        list(over(processes(2), math.sqrt, (4, 9), fail))


def test_a_worker_that_was_killed_before_all_was_handed_over_costs_no_task() -> None:
    class Dead(Here):
        def submit(self, *_: object, **__: object) -> Future[float]:  # type: ignore[override]
            raise BrokenExecutor

    opened = iter((Dead(), Here()))
    assert dict(over(lambda _: next(opened), math.sqrt, (4, 9))) == {4: 2.0, 9: 3.0}


def ends_once(place: str) -> str:
    """Ends its worker at the first of these places, the first time; else says that it was done."""
    path = Path(place)
    if path.name == "0" and not path.exists():
        path.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return path.name


def test_a_worker_that_is_killed_costs_no_task(tmp_path: Path) -> None:
    tasks = tuple(str(tmp_path / str(number)) for number in range(4))
    assert sorted(map(str, dict(over(processes(2), ends_once, tasks)).values())) == list("0123")


def ends_always(name: str) -> str:
    if name == "heron":
        os.kill(os.getpid(), signal.SIGKILL)
    return name


def test_a_task_that_always_ends_its_worker_is_named_and_stops_no_other() -> None:
    done = dict(over(processes(2), ends_always, ("gannet", "heron", "wren")))
    assert isinstance(done["heron"], LostWorkerError)
    assert {name for name in done if done[name] == name} == {"gannet", "wren"}


POOL = """
import os, sys, time
from pathlib import Path
from dossier.sites.workers import over, processes
from tests.sites.test_workers import waits

for _ in over(processes(2), waits, tuple(sys.argv[1:])):
    pass
"""


def waits(place: str) -> None:
    Path(place).write_text(str(os.getpid()))
    time.sleep(60)


@pytest.mark.slow
@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGINT])
def test_no_worker_outlives_its_build(tmp_path: Path, repo: Path, sign: signal.Signals) -> None:
    """A build that is killed alone, and one of a terminal at which Ctrl-C is pressed."""
    places = [tmp_path / name for name in "ab"]
    command = [sys.executable, "-c", POOL, *map(str, places)]
    with subprocess.Popen(
        command, cwd=repo, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as pool:
        numbers = [int(until(place)) for place in places]
        if sign is signal.SIGKILL:
            pool.kill()
        else:
            os.killpg(pool.pid, sign)
        assert pool.wait(20) == -sign
        assert pool.stderr is not None
        assert [line for line in pool.stderr if line.startswith("Process ")] == []
    end = time.monotonic() + 20
    while any(Path(f"/proc/{number}").exists() for number in numbers):
        assert time.monotonic() < end, "a worker lives on"
        time.sleep(0.05)


def until(place: Path) -> str:
    """What is written into a file, as soon as it is."""
    end = time.monotonic() + 60
    while not (place.exists() and place.read_text()):
        assert time.monotonic() < end
        time.sleep(0.05)
    return place.read_text()
