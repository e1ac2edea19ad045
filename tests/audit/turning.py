"""A shop whose pages stand and whose notes have changed since: what a build may leave of it."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier.build import Request, run
from dossier.publish.state import State, load_state
from tests.build.small_shop import TODAY, VISIT, Shop, small_shop
from tests.publish.shop import SPARE, files, spare_faults

Trees = Mapping[str, Mapping[str, bytes]]

NAMES = ("bench", "public")
BEGUN = {
    "clients/newcomer.md": "---\nname: The Newcomers\n---\n",
    "instruments/owl/instrument.md": "---\nclient: newcomer\ntitle: The owl grand\n---\n",
    "instruments/wren/visits/2026-05-04.md": "---\nwork: tuning\n---\nThe hinge is loose.\n",
}


@dataclass(frozen=True)
class Turn:
    """A built shop with changed notes, the trees that stand, and those that a clean build gives.

    A note was changed, one came, and a client came who has no address yet.
    """

    shop: Shop
    old: Trees
    new: Trees

    def copy(self, root: Path) -> Shop:
        """The shop once more, in a folder of its own."""
        shutil.copytree(self.shop.root, root)
        return Shop(root)

    def faults(self, shop: Shop) -> list[str]:
        """What a broken build did that none may: a tree in parts, or an address without a link."""
        now = trees(shop)
        found = [
            f"{name} is neither the old tree nor the new"
            for name in NAMES
            if now[name] not in (self.old[name], self.new[name])
        ]
        if now["public"] == self.new["public"] != self.old["public"] and (
            now["bench"] != self.new["bench"]
        ):
            found.append("the public tree was swapped before the bench")
        return found

    def left(self, shop: Shop) -> list[str]:
        """How a shop that was built again differs from a clean build of the same notes."""
        now = trees(shop)
        found = [
            f"{name} differs from a clean build" for name in NAMES if now[name] != self.new[name]
        ]
        beside = {path.name for path in shop.out.iterdir()} - {*NAMES, SPARE, "headers"}
        found += [f"{name} was left behind" for name in sorted(beside)]
        found += spare_faults(shop.out)
        found += [f"{path} was left" for path in files(shop.state) if path.endswith(".new")]
        return found


def turn(root: Path) -> Turn:
    """The small shop, built, and then changed."""
    shop = small_shop(root)
    shop.good()
    old = trees(shop)
    shop.says(VISIT, "fine piece", "lovely piece")
    for path, text in BEGUN.items():
        shop.write(path, text)
    return Turn(shop, old, clean(shop, root.with_name(f"{root.name}-clean")))


def clean(shop: Shop, root: Path, *, pdf: bool = False) -> Trees:
    """What a build of the same notes and the same addresses gives where nothing stands."""
    fresh = Shop(root)
    fresh.state.mkdir(parents=True)
    shutil.copyfile(shop.state / "links.json", fresh.state / "links.json")
    request = Request(shop.content, fresh.out, fresh.state, TODAY, pdf=pdf)
    outcome = run(request, lambda *_: None, lambda _: True)
    assert outcome.published
    return trees(fresh)


def trees(shop: Shop) -> Trees:
    """Both trees as they stand, with each private address told by what it opens."""
    names = {link.token: link.target.replace("/", "-") for link in state_of(shop).links}
    return {name: told(files(shop.out / name), names) for name in NAMES}


def told(tree: Mapping[str, bytes], names: Mapping[str, str]) -> Mapping[str, bytes]:
    """A tree with other names for its addresses."""
    pattern = re.compile("|".join(sorted(names)) or "(?!)")

    def name(text: str) -> str:
        return pattern.sub(lambda found: names[found[0]], text)

    return {
        name(path): name(data.decode("latin-1")).encode("latin-1") for path, data in tree.items()
    }


def addresses(shop: Shop) -> set[str]:
    """The folders of the public tree that are named like an address."""
    names = (path.name for path in (shop.out / "public").iterdir() if path.is_dir())
    return {name for name in names if re.fullmatch("[0-9a-z]{32,64}", name)}


def state_of(shop: Shop) -> State:
    state, trouble = load_state(shop.state, shop.out)
    assert state is not None, trouble
    return state
