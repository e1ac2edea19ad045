"""The same tasks over the workers of a dask scheduler, on machines of a network that is trusted.

No disk is shared: what a task needs goes along as bytes, and so does what it gives.  A worker
needs the program and nothing else; one whose program or libraries are others is refused, for its
pages would differ.
"""

from __future__ import annotations

import logging
import threading
import warnings
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from dossier.sites.program import program
from dossier.sites.workers import LostWorkerError, Workers, WorkersError

if TYPE_CHECKING:
    from distributed import Client

Done = TypeVar("Done")
P = ParamSpec("P")

PATIENCE = 5.0  # seconds for a scheduler to answer
SAME = ("numpy", "scipy", "Pillow", "vl-convert-python", "weasyprint")
# Neither the setting of documents nor the drawing of charts is made for threads.
_ONE_AT_A_TIME = threading.Lock()


def cluster(address: str) -> Workers:
    """Workers of the scheduler at an address such as tcp://192.168.1.20:8786.

    What is opened raises WorkersError where they can't be used.
    """

    @contextmanager
    def opened(_: int) -> Iterator[Executor]:
        client = _connected(address)
        try:
            _refuse_others(client, address)
            yield _Cluster(client)
        finally:
            client.close(timeout=PATIENCE)

    return opened


class _Cluster(Executor):
    """Hands tasks to the workers, each of which looks first whether its program is this one."""

    def __init__(self, client: Client) -> None:
        self._tasks = client.get_executor(pure=False, retries=0)
        self._ground = ground()

    def submit(self, work: Callable[P, Done], /, *given: P.args, **named: P.kwargs) -> Future[Done]:
        """Hand the task over; one that ends every worker that takes it has a LostWorkerError."""
        future: Future[Done] = Future()
        try:
            inner = self._tasks.submit(_alike, self._ground, work, *given, **named)
        except TypeError as error:  # it could not be taken along; the cause says why
            future.set_exception(error.__cause__ or error)
            return future
        inner.add_done_callback(lambda done: _hand_on(done, future))
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End; what is not done is given up with `cancel_futures`."""
        self._tasks.shutdown(wait=wait and not cancel_futures)


@cache
def ground() -> Mapping[str, str]:
    """All that a page's bytes hang on beside its job, by a name that a person knows."""
    import platform
    from importlib.metadata import version

    from dossier.render.libraries import load

    load()
    from weasyprint.text.ffi import pango

    versions = {name: version(name) for name in SAME}
    return {
        "program": program(),
        "Python": ".".join(platform.python_version_tuple()[:2]),
        "kind of processor": platform.machine(),
        "Pango": str(pango.pango_version()),
        **versions,
    }


def _alike(ours: Mapping[str, str], work: Callable[..., Done], *given: Any, **named: Any) -> Done:
    """Run a task on a worker, where its ground is the same as that of who asks."""
    if other := _differing(ours, ground()):
        raise WorkersError(
            f"A worker has another {other} than this machine. Install the same there."
        )
    with _ONE_AT_A_TIME:
        return work(*given, **named)


def _differing(ours: Mapping[str, str], theirs: Mapping[str, str]) -> str:
    return next((name for name in ours if theirs.get(name) != ours[name]), "")


def _hand_on(done: Future[Done], future: Future[Done]) -> None:
    from distributed import KilledWorker

    error = None if done.cancelled() else done.exception()
    if done.cancelled():
        future.set_exception(WorkersError("The scheduler was lost. Start it and build again."))
    elif isinstance(error, KilledWorker):
        message = "Each worker that took it was ended from outside."
        future.set_exception(LostWorkerError(message))
    elif error is not None:
        future.set_exception(error)
    else:
        future.set_result(done.result())


def _connected(address: str) -> Client:
    """Raises WorkersError."""
    try:
        from distributed import Client
    except ImportError as error:
        raise WorkersError(
            "To build on other machines, dossier needs its extra “cluster”: "
            'install it by pip install "dossier[cluster]", here and there.'
        ) from error
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # it is said below, in a sentence
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of versions, which are compared more closely here
            return Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise WorkersError(
            f"There is no scheduler that answers at {address}. Start one by dask scheduler, and "
            "name it as tcp://HOST:PORT."
        ) from error


def _refuse_others(client: Client, address: str) -> None:
    """Raises WorkersError where there is no worker, or one whose pages would differ."""
    try:
        found: Mapping[str, Mapping[str, str]] = client.run(ground)
    except (ImportError, AttributeError) as error:
        raise WorkersError(
            f"A worker of {address} has no dossier of this version. Install the same one there."
        ) from error
    if not found:
        raise WorkersError(
            f"The scheduler at {address} has no worker. Start one on each machine: "
            f"dask worker {address} --nthreads 1"
        )
    for worker, theirs in sorted(found.items()):
        if other := _differing(ground(), theirs):
            raise WorkersError(
                f"The worker {worker} has another {other} than this machine, so that its pages "
                "could differ. Install the same there, or build without it."
            )
