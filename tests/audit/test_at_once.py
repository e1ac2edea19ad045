"""Two builds at once take turns, and a reader misses nothing meanwhile."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.audit.turning import turn
from tests.build.small_shop import TODAY, Shop
from tests.publish.shop import TOKENS
from tests.publish.shop import Shop as Published

pytestmark = [pytest.mark.audit, pytest.mark.slow]

READER = """
import re, sys
from pathlib import Path

public, stop = Path(sys.argv[1]), Path(sys.argv[2])
reads, missed, texts = 0, 0, set()
print("reading", flush=True)
while not stop.exists():
    for name in sys.argv[3:]:
        try:
            page = (public / name / "index.html").read_text()
            for address in re.findall('(?:href|src)="([^"#:]+)"', page):
                path = public / name / address
                (path / "index.html" if path.is_dir() else path).read_bytes()
            texts.add(page)
        except OSError:
            missed += 1
        reads += 1
print(reads, missed, len(texts), flush=True)
"""


def started(shop: Shop) -> subprocess.Popen[str]:
    folders = ["--content", shop.content, "--out", shop.out, "--state", shop.state]
    words = [*map(str, folders), "--today", TODAY.isoformat(), "--no-pdf", "--jobs", "1"]
    command = [sys.executable, "-m", "dossier", "build", *words]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def test_two_builds_at_once_take_turns(tmp_path: Path) -> None:
    turned = turn(tmp_path / "shop")
    builds = [started(turned.shop) for _ in range(2)]
    said = [build.communicate(timeout=120) for build in builds]
    assert [build.returncode for build in builds] == [0, 0], said
    minted = [out for out, _ in said if "Minted 1 private link: newcomer." in out]
    assert len(minted) == 1
    assert turned.left(turned.shop) == []


@pytest.mark.long
def test_a_reader_misses_nothing_through_100_swaps(
    tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    """Each page is read with all that it asks for."""
    shop = Published(tmp_path)
    shop.published()
    stop = tmp_path / "stop"
    command = [sys.executable, "-c", READER, str(shop.public), str(stop), *TOKENS.values()]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as reader:
        assert reader.stdout is not None
        assert reader.stdout.readline() == "reading\n"
        for number in range(100):
            shop.write(f"Visit {number}.")
            shop.published()
        stop.touch()
        reads, missed, texts = (int(word) for word in reader.stdout.readline().split())
    assert missed == 0
    assert texts > 30
    record_property("reads", reads)
