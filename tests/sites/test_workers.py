"""Tasks give the same here, over threads and over processes, and one that fails stops no other."""

from concurrent.futures import Executor, ThreadPoolExecutor

import pytest

from dossier.sites import workers
from dossier.sites.workers import Here, Workers, over, processes


def halved(number: int) -> int:
    if number % 2:
        message = f"{number} is odd"
        raise ValueError(message)
    return number // 2


def threads(_: int) -> Executor:
    return ThreadPoolExecutor(2)


@pytest.mark.parametrize("chosen", [processes(1), threads, processes(2)])
def test_each_task_comes_back_with_its_result_or_its_error(chosen: Workers) -> None:
    done = {task: str(result) for task, result in over(chosen, halved, (2, 3, 8))}
    assert done == {2: "1", 3: "3 is odd", 8: "4"}


def test_workers_are_opened_anew_before_they_have_grown(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[int] = []

    def counted(tasks: int) -> Executor:
        opened.append(tasks)
        return Here()

    monkeypatch.setattr(workers, "AT_ONCE", 2)
    assert dict(over(counted, halved, (0, 2, 4, 6, 8))) == {0: 0, 2: 1, 4: 2, 6: 3, 8: 4}
    assert opened == [2, 2, 1]


def test_nothing_to_do_opens_nothing() -> None:
    def never(_: int) -> Executor:
        raise AssertionError

    assert list(over(never, halved, ())) == []
