"""A small invented shop on the disk, and how a test changes its notes and builds it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.build import Outcome, Request, run
from dossier.publish.kept import load_kept
from dossier.publish.review import ClientChanges
from dossier.publish.state import load_state, open_links
from dossier.read import open_folder, read_sources
from dossier.sites.ground import ground_for
from dossier.sites.jobs import jobs
from dossier.tasks import Job, PlainHand
from tests.publish.shop import files

TODAY = date(2026, 6, 1)
VISIT = "instruments/heron/visits/2026-03-14.md"

NOTES = {
    "shop.md": """---
name: Millrace Pianos
technician: Ada Thorne
phone: +999 555 0100
currency: USD
time zone: America/New_York
interval: 1 year
---
""",
    "clients/marsh.md": "---\nname: The Marshes of Eel Lane\n---\n",
    "clients/school.md": "---\nname: Pond Street School\nkind: school\n---\n",
    "instruments/heron/instrument.md": "---\nclient: marsh\ntitle: The heron upright\n---\n",
    VISIT: """---
air: 19 °C, 44 %
found: A3 -4, A4 -6, A5 -5
left: on pitch
work: tuning
---
The wren in the casework is a fine piece of carving.
""",
    "instruments/robin/instrument.md": "---\nclient: school\ntitle: Room 7\n---\n",
    "instruments/robin/visits/2026-02-02.md": "---\nwork: tuning\n---\nBright, as it should be.\n",
    "instruments/wren/instrument.md": "---\nclient: school\ntitle: Room 12\n---\n",
    "instruments/wren/visits/2026-02-02.md": "---\nwork: cleaning\n---\nChalk in the keys.\n",
}


@dataclass
class Shop:
    """The notes in a folder, built into another; a test changes them and builds again."""

    root: Path

    @property
    def content(self) -> Path:
        return self.root / "content"

    @property
    def state(self) -> Path:
        return self.root / ".dossier"

    @property
    def out(self) -> Path:
        return self.root / "build"

    def jobs(self, *, pdf: bool) -> tuple[Job, ...]:
        """What a build would make, as nothing is kept."""
        sources = open_folder(self.content)
        notebook, _ = read_sources(sources, TODAY)
        assert notebook is not None
        keeping, _ = load_kept(self.state, lambda: "")
        ground, _ = ground_for(notebook, sources, self.content, TODAY, PlainHand())
        assert ground is not None
        wanted, _ = jobs(ground, keeping, sources, {}, pdf=pdf)
        return wanted

    def write(self, path: str, text: str | bytes) -> None:
        """Write one note, or take the place of what it said."""
        file = self.content / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text.encode() if isinstance(text, str) else text)

    def says(self, path: str, old: str, new: str) -> None:
        """Change some words of a note."""
        text = (self.content / path).read_text("utf-8")
        assert text.count(old) == 1
        self.write(path, text.replace(old, new))

    def build(self, *clients: str, approved: bool = True, pdf: bool = False) -> Outcome:
        request = Request(self.content, self.out, self.state, TODAY, clients, 1, pdf)

        def approve(_: tuple[ClientChanges, ...]) -> bool:
            return approved

        return run(request, lambda *_: None, approve)

    def good(self, *clients: str) -> Outcome:
        """Build where nothing is wrong."""
        outcome = self.build(*clients)
        assert errors(outcome) == []
        assert outcome.published
        return outcome

    def tokens(self) -> dict[str, str]:
        state, _ = load_state(self.state, self.out)
        assert state is not None
        clients = {link.client for link in state.links}
        return {link.target: link.token for link in open_links(state, clients, TODAY)}

    def public(self) -> dict[str, bytes]:
        return files(self.out / "public")

    def site(self, client: str) -> dict[str, bytes]:
        """All files of a client's site; none where they have no folder."""
        return files(self.out / "public" / self.tokens()[client])

    def page(self, client: str, path: str = "index.html") -> str:
        return self.site(client)[path].decode()

    def bench(self) -> dict[str, bytes]:
        return files(self.out / "bench")


def small_shop(root: Path) -> Shop:
    """The shop with its notes written, and nothing built yet."""
    shop = Shop(root)
    for path, text in NOTES.items():
        shop.write(path, text)
    return shop


def errors(outcome: Outcome) -> list[str]:
    return [str(one) for one in outcome.findings if one.severity.label == "error"]
