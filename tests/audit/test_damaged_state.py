"""Each file that a build left for the next is damaged in turn: it is made anew, never believed."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.publish.state import Link, State, save_state
from dossier.sites.idle import FOLDER
from dossier.untouched import RECORD
from tests.audit.turning import state_of, trees
from tests.build.small_shop import TODAY, VISIT, Shop, small_shop
from tests.publish.shop import files

pytestmark = [pytest.mark.audit, pytest.mark.slow]

SEED = 7
TIMES = f"{FOLDER}/{RECORD}"
"""What is known of the times of files, which are others now."""
Damage = Callable[[bytes], bytes]


def flipped(data: bytes) -> bytes:
    """One bit is another, somewhere."""
    dice = random.Random(len(data) + SEED)
    place = dice.randrange(len(data))
    return data[:place] + bytes([data[place] ^ 1 << dice.randrange(8)]) + data[place + 1 :]


def cut(data: bytes) -> bytes:
    return data[: len(data) // 2]


def emptied(_: bytes) -> bytes:
    return b""


DAMAGES: tuple[Damage, ...] = (flipped, cut, emptied)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop all of whose cache is asked for: each page that a link could open stands."""
    shop = small_shop(tmp_path / "shop")
    shop.good()
    links = tuple(
        Link(token=f"{name:0<40}", kind="instrument", target=f"school/{name}", made=TODAY)
        for name in ("robin", "wren")
    )
    save_state(shop.state, State(links=(*state_of(shop).links, *links)))
    shop.good()
    shutil.rmtree(shop.out)  # what stood before is part of the state: nothing, here and below
    shop.good()
    return shop


def damaged(shop: Shop, every: int, damages: tuple[Damage, ...]) -> int:
    """Damage each file of the cache and of the kept pages, build and compare; how many it were."""
    wanted, state = trees(shop), files(shop.state)
    paths = [path for path in state if path.startswith(("cache/", "kept/")) and "." not in path]
    count = 0
    for path in [path for path in paths if state[path] != b"(folder)"][::every]:
        for damage in damages:
            (shop.state / path).write_bytes(damage(state[path]))
            shutil.rmtree(shop.out)
            part = path.startswith("cache/parts/")
            if part:  # it is asked for only where an instrument is made again
                shutil.rmtree(shop.state / "cache/made")
            shop.good()
            assert trees(shop) == wanted, (path, damage.__name__)
            now = files(shop.state)
            changed = {one for one in paths if now.get(one) != state[one]} - {TIMES}
            assert changed == set() or part, (path, changed)
            count += 1
    return count


@pytest.mark.long
def test_each_damaged_file_of_cache_and_kept_pages_is_made_anew(
    shop: Shop, record_property: Callable[[str, object], None]
) -> None:
    count = damaged(shop, 1, DAMAGES)
    assert count > 100
    record_property("damaged files", count)
    record_property("seed", SEED)


def test_some_damaged_files_of_cache_and_kept_pages_are_made_anew(shop: Shop) -> None:
    assert damaged(shop, 9, (flipped,)) > 4


@pytest.mark.parametrize("damage", DAMAGES)
def test_damaged_pages_are_not_kept_for_who_cant_be_built(shop: Shop, damage: Damage) -> None:
    """Part of a page would be worse than none: the instrument is missing, and is named."""
    for path in (shop.state / "kept").glob("*/*"):
        path.write_bytes(damage(path.read_bytes()))
    shop.write(VISIT, "---\nraeson: x\n---\nThe lid.\n")
    outcome = shop.build()
    assert (outcome.published, outcome.kept, outcome.missing) == (True, (), ("heron",))
    assert not [path for path in shop.public() if "heron" in path]
