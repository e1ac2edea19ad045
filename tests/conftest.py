"""What all tests share: the way to the checkout, a closed network, and the demo shop built once."""

import fcntl
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from ipaddress import ip_address
from pathlib import Path

import pytest
from hypothesis import settings

# One browser a process: a second one would find the first one's event loop running.
from tests.browser.chromium import axe, chromium, demo_origin, page, serve
from tests.publish.shop import SPARE

__all__ = ["axe", "chromium", "demo_origin", "page", "serve"]

# No deadline: the machine is shared. The same examples each time: a failure is repeatable.
settings.register_profile("house", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("house")

REPO = Path(__file__).resolve().parent.parent
DEMO_TODAY = "2026-11-25"


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the long proofs to `make audit`, which names their marker."""
    if "audit" in (config.option.markexpr or ""):
        return
    long = [item for item in items if item.get_closest_marker("long")]
    items[:] = [item for item in items if item not in long]
    config.hook.pytest_deselected(items=long)


@pytest.fixture(scope="session")
def repo() -> Path:
    return REPO


@pytest.fixture(scope="session", autouse=True)
def closed_network() -> Iterator[None]:
    """No test reaches past this machine; a try is an error and not a silent wait."""
    connect = socket.socket.connect

    def connect_here(self: socket.socket, address: tuple[str, int] | str) -> None:
        if isinstance(address, tuple):
            host = address[0]
            if host != "localhost" and not ip_address(host).is_loopback:
                message = f"a test tried to reach {host}"
                raise RuntimeError(message)
        connect(self, address)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", connect_here)
        yield


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The folder of the demo shop, built once a run, however many workers share it."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent
    site, done = shared / "demo-site", shared / "demo-site-built"
    with (shared / "demo-site-lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not done.exists():
            _build_demo(site, shared / "demo-state")
            done.touch()
    return site


def _build_demo(site: Path, state: Path) -> None:
    command = [sys.executable, "-m", "dossier", "build", "--content", "content"]
    command += ["--out", str(site), "--state", str(state), "--today", DEMO_TODAY]
    run = subprocess.run(
        command, cwd=REPO, capture_output=True, text=True, check=False, timeout=900
    )
    if run.returncode:
        pytest.fail(f"the demo shop was not built:\n{run.stdout}{run.stderr}", pytrace=False)
    shutil.rmtree(site / SPARE)  # the same pages once more, which nobody opens


@pytest.fixture(scope="session")
def demo_pages(demo_site: Path) -> tuple[str, ...]:
    """Every page of the demo site, as a path below its root."""
    pages = sorted(path.relative_to(demo_site).as_posix() for path in demo_site.rglob("*.html"))
    assert pages, f"no page in {demo_site}"
    return tuple(pages)
