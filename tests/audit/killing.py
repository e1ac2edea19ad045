"""Builds in processes of their own, to be killed without warning (SIGKILL) at a chosen moment."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from pathlib import Path
from types import FrameType

from dossier.build import Request, run
from tests.build.small_shop import TODAY, Shop

# Forked from a server that has drawn no chart, so that a child need not load the libraries.
_CONTEXT = multiprocessing.get_context("forkserver")
_CONTEXT.set_forkserver_preload([__name__, "dossier.tasks", "dossier.analysis.findings", "altair"])
KILLED = -signal.SIGKILL


def request_of(shop: Shop, *, jobs: int = 1, pdf: bool = False) -> Request:
    return Request(shop.content, shop.out, shop.state, TODAY, (), jobs, pdf)


def built_in_a_child(
    shop: Shop, *, call: int = 0, after: float | None = None, jobs: int = 1, pdf: bool = False
) -> int:
    """Build, to be killed at the call of that number or after so many seconds; the exit code."""
    child = _CONTEXT.Process(target=_build, args=(request_of(shop, jobs=jobs, pdf=pdf), call))
    child.start()
    child.join(120 if after is None else after)
    if child.exitcode is None:
        child.kill()
        child.join()
    assert child.exitcode is not None
    return child.exitcode


def calls_of(shop: Shop, counted: Path) -> int:
    """How many functions a build calls, those of the system among them."""
    child = _CONTEXT.Process(target=_count, args=(request_of(shop), counted))
    child.start()
    child.join(120)
    assert child.exitcode == 0
    return int(counted.read_text())


def _build(request: Request, last: int) -> None:
    calls = 0

    def count(_: FrameType, event: str, __: object) -> None:
        nonlocal calls
        if event in ("call", "c_call"):
            calls += 1
            if calls == last:
                os.kill(os.getpid(), signal.SIGKILL)

    if last:
        sys.setprofile(count)
    outcome = run(request, lambda *_: None, lambda _: True)
    sys.setprofile(None)
    sys.exit(0 if outcome.published else 1)


def _count(request: Request, counted: Path) -> None:
    calls = 0

    def count(_: FrameType, event: str, __: object) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    sys.setprofile(count)
    run(request, lambda *_: None, lambda _: True)
    sys.setprofile(None)
    counted.write_text(str(calls))
