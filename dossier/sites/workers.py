"""Where tasks run: here, over processes of this machine, or over any other Executor.

A task is a pure function of one argument; the argument and the result can be pickled and hold
bytes and records alone.  So whatever keeps the interface of `concurrent.futures.Executor` will do.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import AbstractContextManager
from itertools import islice
from typing import ParamSpec, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")
Done = TypeVar("Done")
P = ParamSpec("P")

Workers = Callable[[int], AbstractContextManager[Executor]]
"""Opens an executor for so many tasks; it is opened where something is to be done, and closed."""

AT_ONCE = 200
"""Tasks between two openings: the libraries that set and draw keep half a megabyte of each PDF."""
_LOADED = ["dossier.tasks", "dossier.analysis.findings", "weasyprint", "altair"]


class Here(Executor):
    """Runs each task at once in this process, which is the quickest way for one or two."""

    def submit(self, work: Callable[P, Done], /, *given: P.args, **named: P.kwargs) -> Future[Done]:
        """Run the task now, and hand its result or its error on as any executor would."""
        future: Future[Done] = Future()
        try:
            future.set_result(work(*given, **named))
        except Exception as error:  # noqa: BLE001  # whoever asks for the result gets it
            future.set_exception(error)
        return future


def processes(most: int) -> Workers:
    """Workers over up to so many processes, started afresh.

    They come from a server process that has loaded the libraries and drawn nothing: a process
    that has drawn a chart can't be forked.
    """

    def opened(tasks: int) -> Executor:
        if min(most, tasks) < 2:
            return Here()
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload(_LOADED)
        return ProcessPoolExecutor(min(most, tasks), mp_context=context)

    return opened


def over(
    workers: Workers, work: Callable[[Task], Result], tasks: Sequence[Task]
) -> Iterator[tuple[Task, Result | Exception]]:
    """Each task with its result, or with the error that it raised, as they are done.

    The workers are opened anew for every AT_ONCE tasks, so that none of them grows without end.
    """
    waiting = iter(tasks)
    while some := tuple(islice(waiting, AT_ONCE)):
        with workers(len(some)) as executor:
            futures = {executor.submit(work, task): task for task in some}
            for future in as_completed(futures):
                task = futures.pop(future)
                error = future.exception()
                if error is None:
                    yield task, future.result()
                elif isinstance(error, Exception):
                    yield task, error
