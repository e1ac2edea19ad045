"""How long a build of the demo shop takes: the first, an idle one, and one after a changed note.

Run with `make bench`. Wall time is the median of the rounds; memory is the largest resident set
of any build.
"""

import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

REPO = Path(__file__).resolve().parent.parent
TODAY = "2026-11-25"
ROUNDS = 3


def timed_build(content: Path, scratch: Path) -> float:
    """Seconds of one build, from the start of the process to its end."""
    command = [sys.executable, "-m", "dossier", "build", "--content", str(content)]
    command += ["--out", str(scratch / "site"), "--state", str(scratch / "state")]
    started = time.perf_counter()
    subprocess.run([*command, "--today", TODAY], cwd=REPO, check=True, capture_output=True)
    return time.perf_counter() - started


def newest_note(content: Path) -> Path:
    """The visit with the latest date in its path."""
    dated = [path for path in content.rglob("*.md") if re.search(r"\d{4}-\d{2}-\d{2}", path.name)]
    if not dated:
        message = f"no dated note below {content}"
        raise SystemExit(message)
    return max(dated, key=lambda path: path.name)


def one_round(content: Path) -> tuple[float, float, float]:
    with tempfile.TemporaryDirectory() as folder:
        scratch = Path(folder)
        notes = scratch / "content"
        shutil.copytree(content, notes)
        first, idle = timed_build(notes, scratch), timed_build(notes, scratch)
        with newest_note(notes).open("a", encoding="utf-8") as note:
            note.write("\nThe bench lock was oiled.\n")
        return first, idle, timed_build(notes, scratch)


def main() -> None:
    rounds = [one_round(REPO / "content") for _ in range(ROUNDS)]
    for label, seconds in zip(
        ("first build", "nothing changed", "one note changed"),
        zip(*rounds, strict=True),
        strict=True,
    ):
        print(f"{label:<18}{median(seconds):8.2f} s   ({min(seconds):.2f} to {max(seconds):.2f})")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{'memory':<18}{peak:8.0f} MB")


if __name__ == "__main__":
    main()
