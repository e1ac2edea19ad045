"""Where tasks run: here, over processes of this machine, or over any other Executor.

A task is a pure function of one argument; the argument and the result can be pickled and hold
bytes and records alone.  So whatever keeps the interface of `concurrent.futures.Executor` will do.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import (
    BrokenExecutor,
    Executor,
    Future,
    ProcessPoolExecutor,
    ThreadPoolExecutor,
    as_completed,
)
from contextlib import AbstractContextManager
from itertools import islice
from multiprocessing import forkserver
from multiprocessing.context import ForkServerContext
from multiprocessing.process import BaseProcess
from typing import ParamSpec, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")
Done = TypeVar("Done")
P = ParamSpec("P")

Workers = Callable[[int], AbstractContextManager[Executor]]
"""Opens an executor for so many tasks; it is opened where something is to be done, and closed."""

AT_ONCE = 200
"""Tasks between two openings: the libraries that set and draw keep half a megabyte of each PDF."""
_LOADED = "dossier.tasks.loaded"


class Here(Executor):
    """Runs each task at once in this process, for whoever may use no other."""

    def submit(self, work: Callable[P, Done], /, *given: P.args, **named: P.kwargs) -> Future[Done]:
        """Run the task now, and hand its result or its error on as any executor would."""
        future: Future[Done] = Future()
        try:
            future.set_result(work(*given, **named))
        except Exception as error:  # noqa: BLE001  # whoever asks for the result gets it
            future.set_exception(error)
        return future


def processes(most: int) -> Workers:
    """Workers over up to so many processes, started afresh; with one, all runs here.

    They come from a server process that has loaded the libraries and drawn nothing: a process
    that has drawn a chart can't be forked.  Even a single task goes there, for the server loads
    while this process reads (`load_early`).
    """

    def opened(tasks: int) -> Executor:
        if most < 2:
            return Here()
        return ProcessPoolExecutor(min(most, tasks), _server(), _mind_the_parent)

    return opened


def load_early(*also: str) -> None:
    """Let the server load the libraries from now on, beside what this process has to do first.

    `also` is what most tasks need, "charts" or "documents"; whoever needs it none the less loads it
    by itself.  Where the server runs, nothing is done.
    """
    _server(*also)
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server's own: it ends with us
    try:
        forkserver.ensure_running()
    finally:
        signal.signal(signal.SIGINT, before)


def _server(*also: str) -> ForkServerContext:
    """The context of the server, which loads what it is told when it starts, and only then."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([_LOADED, *(f"{_LOADED}_for_{name}" for name in also)])
    return context


class WorkersError(RuntimeError):
    """Why no task can be run where it was to be, and what to do about it."""


class LostWorkerError(RuntimeError):
    """A task whose process was ended from outside whenever it ran."""


def nothing() -> None:
    """What is done where nothing is to be done."""


def over(
    workers: Workers,
    work: Callable[[Task], Result],
    tasks: Sequence[Task],
    meanwhile: Callable[[], None] = nothing,
    errand: Callable[[], object] = nothing,
) -> Generator[tuple[Task, Result | Exception], None, None]:
    """Each task with its result, or with the error that it raised, as they are done.

    The workers are opened anew for every AT_ONCE tasks, so that none of them grows without end.
    A worker that is killed takes all waiting tasks with it.  They are run once more together, for
    it may have been none of their faults, and then one by one; which of them ends its worker even
    then has a LostWorkerError.  `meanwhile` is done here once, while they work, and in any case;
    `errand` is for the first worker to do before any task, and no matter where it fails.

    Raises WorkersError.
    """
    waiting = iter(tasks)
    if not tasks:
        meanwhile()
    while some := tuple(islice(waiting, AT_ONCE)):
        lost = yield from _round(workers, work, some, meanwhile, errand)
        meanwhile = errand = nothing
        if lost:
            lost = yield from _round(workers, work, lost, apart=True)
        for task in lost:
            for _ in (yield from _round(workers, work, (task,), apart=True)):
                yield task, LostWorkerError("Its process was ended from outside, time and again.")


def _round(
    workers: Workers,
    work: Callable[[Task], Result],
    tasks: Sequence[Task],
    meanwhile: Callable[[], None] = nothing,
    errand: Callable[[], object] = nothing,
    *,
    apart: bool = False,
) -> Generator[tuple[Task, Result | Exception], None, tuple[Task, ...]]:
    """One opening of the workers; returns the tasks that went down with one of them.

    `apart` asks for processes even for one task, so that it can't end this one.
    """
    lost: list[Task] = []
    with workers(max(len(tasks), 2 if apart else 1)) as executor:
        try:
            futures = _submitted(executor, work, tasks, meanwhile, errand)
            for future in as_completed(futures):
                task = futures.pop(future)
                error = _error_of(future)
                if isinstance(error, BrokenExecutor):
                    lost.append(task)
                elif error is None:
                    yield task, future.result()
                elif isinstance(error, Exception):
                    yield task, error
        except BaseException:
            executor.shutdown(wait=False, cancel_futures=True)
            raise
    return tuple(lost)


def _submitted(
    executor: Executor,
    work: Callable[[Task], Result],
    tasks: Sequence[Task],
    meanwhile: Callable[[], None],
    errand: Callable[[], object],
) -> dict[Future[Result], Task]:
    """Hand the tasks over, which may wait for the server to have loaded, and do what is to be done.

    Raises what either raises.
    """

    def submit() -> dict[Future[Result], Task]:
        if errand is not nothing:
            _future(executor, _run, errand)
        return {_future(executor, work, task): task for task in tasks}

    if isinstance(executor, Here):
        meanwhile()
        return submit()
    with ThreadPoolExecutor(1) as beside:
        asked = beside.submit(submit)
        try:
            meanwhile()
        except BaseException:
            executor.shutdown(wait=False, cancel_futures=True)
            raise
        return asked.result()


def _future(executor: Executor, work: Callable[[Task], Result], task: Task) -> Future[Result]:
    """The task's, or one that failed where a worker was killed already."""
    try:
        return executor.submit(work, task)
    except BrokenExecutor as error:
        broken: Future[Result] = Future()
        broken.set_exception(error)
        return broken


def _run(errand: Callable[[], object]) -> None:
    errand()


def _error_of(future: Future[Result]) -> BaseException | None:
    """Raises WorkersError, which concerns every task."""
    error = future.exception()
    if isinstance(error, WorkersError):
        raise error
    return error


def _mind_the_parent() -> None:
    """Let a worker end with the build, however that ends, and at a Ctrl-C without a word.

    The pipes of a pool stay open as long as one worker lives: a build that is killed would leave
    them all waiting for ever.
    """
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: BaseProcess) -> None:
    parent.join()
    os._exit(1)
