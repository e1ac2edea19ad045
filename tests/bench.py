"""What builds of whole shops cost, as ratios of what the same machine does in the same run.

Run with `make bench`; `python -m tests.bench --help` names its parts.  A shop of invented
instruments with twelve visits each is built for the first time, then with nothing changed, then
with one note changed, and checked.  (a) are the program's own stages for twenty instruments on
one core, scaled; (b) is a Python that starts and imports the libraries that every page needs.
Each ratio is given for the wall and for CPU, which a busy machine distorts less.
Nothing is asserted: seconds are the machine's.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tests.makers.make_shop import write_shop

REPO = Path(__file__).resolve().parent.parent
TODAY = date(2026, 11, 25)
VISITS = 12
SAMPLE = 20
BARE = "import yaml, jinja2, markdown_it, pydantic, click"


@dataclass(frozen=True)
class Spent:
    """Seconds on the wall and of all processes' CPU, and the most memory of all together, in MB."""

    wall: float
    cpu: float
    memory: float


def spent(command: list[str]) -> Spent:
    """Run a command with its children; the memory is the sum of their shares (PSS)."""
    tree = Tree()
    started = time.perf_counter()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with (
        subprocess.Popen(
            command, cwd=REPO, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        ) as run,
        tree.watched(run.pid),
    ):
        _, said = run.communicate()
    wall = time.perf_counter() - started
    if run.returncode:
        raise SystemExit(said.decode())
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    own = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Spent(wall, own + tree.orphans(run.pid), tree.peak / 1024)


class Tree:
    """A process and all below it: their CPU ten times a second, their memory twice.

    To add up the pages of a large process takes milliseconds of a core that it would work on.
    """

    def __init__(self) -> None:
        self.peak = 0.0
        self._looks = 0
        self.cpu: dict[int, float] = {}
        self._done = threading.Event()

    @contextmanager
    def watched(self, root: int) -> Iterator[None]:
        def look() -> None:
            while not self._done.wait(0.1):
                self._look(root)

        thread = threading.Thread(target=look)
        thread.start()
        try:
            yield
        finally:
            self._done.set()
            thread.join()

    def orphans(self, root: int) -> float:
        """The CPU of those for whom the root does not wait, such as workers of a fork server."""
        return sum(cpu for pid, cpu in self.cpu.items() if pid != root)

    def _look(self, root: int) -> None:
        total, waiting = 0.0, [root]
        self._looks += 1
        while waiting:
            pid = waiting.pop()
            try:
                tasks = Path(f"/proc/{pid}/task").iterdir()
                for task in tasks:
                    waiting += map(int, (task / "children").read_text().split())
                fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
                self.cpu[pid] = (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
                if self._looks % 5:
                    continue
                rollup = Path(f"/proc/{pid}/smaps_rollup").read_text()
                total += next(int(x.split()[1]) for x in rollup.split("\n") if x.startswith("Pss:"))
            except (OSError, StopIteration):
                continue
        self.peak = max(self.peak, total)


def dossier(*words: str) -> list[str]:
    return [sys.executable, "-m", "dossier", *words, "--today", TODAY.isoformat(), "--quiet"]


def bare_stages(content: Path, *, pdf: bool) -> float:
    """Seconds of CPU of the program's own stages for every instrument, one after the other.

    That is reading, analysis, charts, pages and, with `pdf`, documents; on one core, with the
    libraries loaded, and nothing checked, kept or published.
    """
    from dossier.publish.kept import Keeping
    from dossier.read import open_folder, read_sources
    from dossier.sites.ground import ground_for
    from dossier.sites.jobs import jobs
    from dossier.store import Store
    from dossier.tasks import PlainHand, make

    def once() -> None:
        sources = open_folder(content)
        notebook, _ = read_sources(sources, TODAY)
        assert notebook is not None
        keeping = Keeping(Store(content / "none"))
        ground, _ = ground_for(notebook, sources, content, TODAY, PlainHand())
        assert ground is not None
        wanted, _ = jobs(ground, keeping, sources, {}, pdf=pdf)
        for job in wanted[:1] if warm else wanted:
            make(job)

    warm = True
    once()
    warm = False
    started = time.process_time()
    once()
    return time.process_time() - started


def one_note_more(content: Path) -> None:
    note = max(content.glob("instruments/piano-0004/visits/*.md"))
    with note.open("a", encoding="utf-8") as text:
        text.write("\nThe bench lock was oiled.\n")


def measure(size: int, *, pdf: bool, stages: float, bare: Spent) -> None:
    """Print one shop's lines."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        content = root / "content"
        write_shop(content, size, VISITS)
        places = (
            "--content",
            str(content),
            "--out",
            str(root / "out"),
            "--state",
            str(root / "st"),
        )
        build = dossier("build", *places, *(() if pdf else ("--no-pdf",)))
        seconds = stages * size / SAMPLE
        whole = Spent(seconds, seconds, 0.0)
        print(f"\n{size} instruments of {VISITS} visits, {'with PDFs' if pdf else 'HTML only'}")
        line("first build", spent(build), whole, "(a)")
        line("nothing changed", spent(build), bare, "(b)")
        one_note_more(content)
        line("one note changed", spent(build), bare, "(b)")
        line("check", spent(dossier("check", "--content", str(content))), bare, "(b)")


def line(what: str, one: Spent, against: Spent, name: str) -> None:
    print(
        f"  {what:<18}{one.wall:8.2f} s {one.cpu:8.2f} s of CPU {one.memory:6.0f} MB"
        f"{one.wall / against.wall:8.2f} x {name}{one.cpu / against.cpu:8.2f} x its CPU",
        flush=True,
    )


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    asked.add_argument("--sizes", default="50,200,800", help="shops, by instruments")
    asked.add_argument("--pdf", default="50,200", help="those of them that get PDFs too; or none")
    given = asked.parse_args()
    sizes = [int(one) for one in given.sizes.split(",")]
    with_pdf = {int(one) for one in given.pdf.split(",") if one.isdigit()} & set(sizes)
    bare = min((spent([sys.executable, "-c", BARE]) for _ in range(5)), key=lambda one: one.wall)
    print(f"(b) Python and its libraries {bare.wall:10.2f} s {bare.cpu:8.2f} s of CPU")
    with tempfile.TemporaryDirectory() as folder:
        content = Path(folder) / "content"
        write_shop(content, SAMPLE, VISITS)
        html = bare_stages(content, pdf=False)
        print(f"(a) {SAMPLE} instruments, HTML       {html:10.2f} s of CPU")
        paper = bare_stages(content, pdf=True) if with_pdf else 0.0
        if with_pdf:
            print(f"(a) {SAMPLE} instruments, with PDFs  {paper:10.2f} s of CPU")
    for size in sizes:
        measure(size, pdf=False, stages=html, bare=bare)
        if size in with_pdf:
            measure(size, pdf=True, stages=paper, bare=bare)


if __name__ == "__main__":
    main()
