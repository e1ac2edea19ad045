"""A small invented shop to publish: a home with one instrument, a school with two."""

import stat
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from dossier.diagnostics import Diagnostic
from dossier.publish.site import Places, Published, public_tree, publish
from dossier.publish.state import State, ensure_links, open_links
from dossier.store import Content

TODAY = date(2026, 11, 25)
TOKENS = {"marlpit": "5" * 32, "thornsay-school": "7" * 32}
SPARE = ".dossier-spare"
NOT_FOUND = b"<!doctype html><title>Nothing here</title>"


def page(text: str, link: str = "") -> bytes:
    ahead = f'<a href="{link}">Back</a>' if link else ""
    return f"<!doctype html><title>A piano</title><p>{text}</p>{ahead}".encode()


@dataclass
class Shop:
    """What is published, and to where; a test changes the pages and publishes again."""

    root: Path
    sites: dict[str, dict[str, bytes]] = field(default_factory=dict)
    bench: dict[str, bytes] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.places = Places(self.root / "content", self.root / "build", self.root / ".dossier")
        self.places.content.mkdir(parents=True, exist_ok=True)
        tokens = iter(TOKENS.values())
        self.state, _ = ensure_links(State(), TOKENS, TODAY, lambda: next(tokens))
        self.write("The damper of D4 buzzes.")

    @property
    def public(self) -> Path:
        return self.places.out / "public"

    def write(self, text: str) -> None:
        """Let every page say something else."""
        self.bench = {"index.html": page(text, "heron/"), "heron/index.html": page(text, "../")}
        self.sites = {
            "marlpit": {"index.html": page(text), "assets/a.css": b"p{}", "dossier.pdf": b"%PDF"},
            "thornsay-school": {
                "index.html": page(text, "swan/"),
                "swan/index.html": page(text, "../"),
                "tern/index.html": page(text, "../"),
            },
        }

    def trees(self) -> dict[str, dict[str, Content]]:
        links = open_links(self.state, self.sites, TODAY)
        return {"bench": {**self.bench}, "public": public_tree(self.sites, links, NOT_FOUND, {})}

    def publish(self) -> tuple[Published | None, tuple[Diagnostic, ...]]:
        return publish(self.trees(), self.places, self.state)

    def published(self) -> Published:
        done, found = self.publish()
        assert found == ()
        assert done is not None
        assert spare_faults(self.places.out) == []
        return done


def files(folder: Path) -> dict[str, bytes]:
    """All that a folder holds, with its empty folders; nothing where it isn't there."""
    return {
        path.relative_to(folder).as_posix(): b"(folder)" if path.is_dir() else path.read_bytes()
        for path in sorted(folder.rglob("*"))
    }


def shown(out: Path) -> dict[str, bytes]:
    """All that is built into a folder, without the spare trees for the build to come."""
    return {path: data for path, data in files(out).items() if not path.startswith(SPARE)}


def spare_faults(out: Path) -> list[str]:
    """Where the spare trees, if there are any, hold what does not stand, or lack what does."""
    spare = out / SPARE
    if not spare.exists():
        return []
    names = sorted(path.name for path in spare.iterdir())
    faults = [] if names == ["bench", "public"] else [f"{SPARE} holds {names}"]
    if stat.S_IMODE(spare.stat().st_mode) != 0o700:
        faults.append(f"{SPARE} can be read by others")
    return faults + [
        f"{SPARE}/{name} is not as {name}/"
        for name in names
        if files(spare / name) != files(out / name)
    ]
