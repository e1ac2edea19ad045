"""A build that is killed at any moment: each tree is wholly the old or the new, and all mends."""

from __future__ import annotations

import itertools
import random
import shutil
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.build import run
from tests.audit.killing import KILLED, built_in_a_child, calls_of, request_of
from tests.audit.turning import Turn, addresses, clean, state_of, trees, turn

pytestmark = [pytest.mark.audit, pytest.mark.slow]

SEED = 20260314
LATE = 0.97
"""The share of a build's calls after which it mostly keeps for the next one what it did."""
Kept = Callable[[str, object], None]


@pytest.fixture(scope="module")
def cold(tmp_path_factory: pytest.TempPathFactory) -> Turn:
    return turn(tmp_path_factory.mktemp("kills") / "cold")


@pytest.fixture(scope="module")
def warm(cold: Turn) -> Turn:
    """All is made and in the cache, and only the publishing remains, as after a refused review."""
    shop = cold.copy(cold.shop.root.with_name("warm"))
    run(request_of(shop), lambda *_: None, lambda _: False)
    assert trees(shop) == cold.old
    return Turn(shop, cold.old, cold.new)


def killed(turned: Turn, root: Path, *, call: int = 0, after: float | None = None) -> str:
    """Kill a build of a copy, look at what stands, build again; what stood in between."""
    shop = turned.copy(root)
    code = built_in_a_child(shop, call=call, after=after)
    assert code in (KILLED, 0)
    assert turned.faults(shop) == [], (call, after)
    tokens = {link.token for link in state_of(shop).links}
    assert addresses(shop) <= tokens
    stood = "new" if trees(shop)["public"] == turned.new["public"] else "old"
    assert built_in_a_child(shop) == 0
    assert turned.left(shop) == [], (call, after)
    shutil.rmtree(root)
    return f"{stood} stood" if code == KILLED else "ended before"


def kills(cold: Turn, warm: Turn, root: Path, count: int) -> Counter[str]:
    """Half of them while pages are made, half while they are published; a fifth by the clock.

    A tenth is near the end, where the new trees stand: little is left to be done there.  A build
    that ended before its moment came is counted, and another one is killed for it.
    """
    dice = random.Random(SEED)
    ended: Counter[str] = Counter()
    numbers = itertools.count()
    while ended.total() - ended["ended before"] < count:
        number = next(numbers)
        turned, name = ((cold, "cold"), (warm, "warm"))[number % 2]
        if number % 5 == 4:
            after = dice.uniform(0.0, _seconds(turned, root / f"timed {name}"))
            ended[killed(turned, root / str(number), after=after)] += 1
        else:
            calls = _calls(turned, root / f"counted {name}")
            call = dice.randint(int(calls * LATE) if number % 10 == 3 else 1, calls)
            ended[killed(turned, root / str(number), call=call)] += 1
    return ended


def _calls(turned: Turn, root: Path) -> int:
    place = root.with_suffix(".txt")
    return int(place.read_text()) if place.exists() else calls_of(turned.copy(root), place)


def _seconds(turned: Turn, root: Path) -> float:
    place = root.with_suffix(".txt")
    if not place.exists():
        shop = turned.copy(root)
        began = time.monotonic()
        assert built_in_a_child(shop) == 0
        place.write_text(str(time.monotonic() - began))
    return float(place.read_text())


@pytest.mark.long
def test_200_kills_leave_each_tree_whole(
    cold: Turn, warm: Turn, tmp_path: Path, record_property: Kept
) -> None:
    ended = kills(cold, warm, tmp_path, 200)
    assert ended["old stood"] > 100
    assert ended["new stood"] > 2
    record_property("kills", ended.total() - ended["ended before"])
    record_property("seed", SEED)


def test_ten_kills_leave_each_tree_whole(cold: Turn, warm: Turn, tmp_path: Path) -> None:
    assert kills(cold, warm, tmp_path, 10)["old stood"] > 5


@pytest.mark.long
def test_kills_of_a_build_with_documents_and_workers(
    cold: Turn, tmp_path: Path, record_property: Kept
) -> None:
    shop = cold.copy(tmp_path / "shop")
    assert built_in_a_child(shop, pdf=True) == 0
    new = clean(shop, tmp_path / "clean", pdf=True)
    links = (shop.state / "links.json").read_bytes()  # the bench's documents bear the addresses
    turned = Turn(cold.shop, cold.old, new)
    dice = random.Random(SEED)
    for number in range(8):
        shop = cold.copy(tmp_path / str(number))
        (shop.state / "links.json").write_bytes(links)
        built_in_a_child(shop, after=dice.uniform(0.3, 4.0), jobs=2, pdf=True)
        assert turned.faults(shop) == []
        assert built_in_a_child(shop, jobs=2, pdf=True) == 0
        assert turned.left(shop) == []
    record_property("kills with documents", 8)
    record_property("seed", SEED)
