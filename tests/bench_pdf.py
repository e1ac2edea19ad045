"""What a dossier on paper costs, beside what a typesetter made for speed takes for the content.

Run with `python -m tests.bench_pdf`, as `make bench` does.  An owner's document of the demo shop,
about twelve pages, is written as a build writes it; then its headings, paragraphs, tables, pictures
and charts are set once more by Typst, in the same fonts, on the same sheet, with the same
claims (PDF/A-3u and PDF/UA-1).  Both in one process, the least CPU of some runs.  Its layout is
plainer.
"""

from __future__ import annotations

import argparse
import io
import json
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pypdf
import tinyhtml5
import typst
from fontTools.ttLib import TTFont

from dossier.publish.kept import Keeping
from dossier.read import open_folder, read_sources
from dossier.render.paper import SCHEME, Paper, Shelf, write
from dossier.sites.ground import ground_for
from dossier.sites.jobs import jobs
from dossier.store import Store
from dossier.tasks import PlainHand, make
from dossier.theme import find_theme

CONTENT = Path(__file__).resolve().parent.parent / "content"
TODAY = date(2026, 11, 20)
SHEET = """
#set document(title: "A piano")
#set page("a4", margin: (top: 24mm, right: 21mm, bottom: 25mm, left: 25mm),
  footer: context [Page #counter(page).display() of #counter(page).final().first()])
#set text(font: "FACE", size: 10.5pt)
#set par(leading: 0.72em, spacing: 1.2em)
#show table: set text(9pt)
#set table(inset: (x: 1.5mm, y: 1.3mm), stroke: (bottom: 0.35pt))
#show heading.where(level: 2): it => { v(11mm, weak: true); it; v(4mm) }
#show image: set block(spacing: 5mm)
#outline()
#pagebreak()
""".strip()
_HTML = "{http://www.w3.org/1999/xhtml}"
_BLOCKS = frozenset({"p", "li", "dt", "dd", "figcaption", "blockquote", "address"})
_UNREAD = frozenset({"head", "style", "script", "title"})


def captured(instrument: str) -> tuple[Paper, Shelf]:
    """What a build hands to the renderer for the owner's document of an instrument."""
    held: list[tuple[Paper, Shelf]] = []

    def keep(paper: Paper, shelf: Shelf) -> bytes:
        held.append((paper, shelf))
        return write(paper, shelf)

    sources = open_folder(CONTENT)
    notebook, _ = read_sources(sources, TODAY)
    assert notebook is not None
    keeping = Keeping(Store(CONTENT / "none"))
    ground, _ = ground_for(notebook, sources, CONTENT, TODAY, PlainHand())
    assert ground is not None
    wanted, _ = jobs(ground, keeping, sources, {}, pdf=True)
    with patch("dossier.render.pdf.write", keep):
        make(next(job for job in wanted if job.history.instrument.id == instrument))
    return next(one for one in held if "owner" in one[0].title)


def typeset(paper: Paper, shelf: Shelf, root: Path) -> str:
    """The same content in Typst's markup; its pictures are written below `root`."""
    lines = "\n".join(_blocks(tinyhtml5.parse(paper.html), shelf, root))
    return f"{SHEET.replace('FACE', _face(shelf, root))}\n{lines}"


def _face(shelf: Shelf, root: Path) -> str:
    """The theme's faces as files that Typst reads; the name of the first family."""
    theme = find_theme()
    names = []
    for name in sorted(theme.files):
        if name.endswith((".woff2", ".ttf")):
            found = shelf(f"theme/{name}")
            assert found is not None
            font = TTFont(io.BytesIO(found[0]))
            font.flavor = None
            font.save(root / f"{Path(name).stem}.ttf")
            names.append(font["name"].getBestFamilyName())
    return str(names[0])


def _blocks(element: Any, shelf: Shelf, root: Path) -> Iterator[str]:
    tag = str(element.tag).removeprefix(_HTML)
    if tag in _UNREAD:
        return
    if tag in {"h1", "h2", "h3", "h4", "h5"}:
        yield f"#heading(level: {tag[1]})[{_text(element)}]"
    elif tag == "table":
        yield _table(element)
    elif tag == "img":
        yield _picture(element, shelf, root)
    elif tag in _BLOCKS and not _has_blocks(element):
        yield f"#par[{_text(element)}]"
    else:
        for one in element:
            yield from _blocks(one, shelf, root)


def _has_blocks(element: Any) -> bool:
    inner = {str(one.tag).removeprefix(_HTML) for one in element.iter() if one is not element}
    return bool(inner & (_BLOCKS | {"img", "table"}))


def _text(element: Any) -> str:
    said = " ".join("".join(element.itertext()).split())
    return f"#{json.dumps(said, ensure_ascii=False)}" if said else ""


def _table(element: Any) -> str:
    rows = [one for one in element.iter() if one.tag == f"{_HTML}tr"]
    cells = [[_cell(cell) for cell in row] for row in rows]
    columns = max(sum(width for width, _ in row) for row in cells)
    told = ", ".join(text for row in cells for _, text in row)
    return f"#table(columns: {columns}, {told})"


def _cell(cell: Any) -> tuple[int, str]:
    width = int(cell.get("colspan", "1"))
    return width, f"table.cell(colspan: {width})[{_text(cell)}]"


def _picture(element: Any, shelf: Shelf, root: Path) -> str:
    path = element.get("src").removeprefix(f"{SCHEME}:")
    found = shelf(path)
    assert found is not None, path
    name = f"{path.replace('/', '-')}.{found[1].partition('/')[2].partition('+')[0]}"
    (root / name).write_bytes(found[0])
    words = json.dumps(element.get("alt") or "picture", ensure_ascii=False)
    return f'#image("{name}", width: 100%, alt: {words})'


def least(work: Callable[[], bytes], runs: int) -> tuple[float, float, bytes]:
    """The least CPU of all threads, the least wall, and the document."""
    spent, data = [], b""
    for _ in range(runs):
        wall, cpu = time.perf_counter(), time.process_time()
        data = work()
        spent.append((time.process_time() - cpu, time.perf_counter() - wall))
    return min(one for one, _ in spent), min(one for _, one in spent), data


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    asked.add_argument("--instrument", default="gannet")
    asked.add_argument("--runs", type=int, default=7)
    given = asked.parse_args()
    paper, shelf = captured(given.instrument)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        source = typeset(paper, shelf, root).encode()

        anew: Any = typst.compile

        def plain() -> bytes:
            # From bytes: of a file it remembers what it made the last time.
            made = anew(source, root=root, font_paths=[root], pdf_standards=["a-3u", "ua-1"])
            return bytes(made)

        print(f"{paper.title}: {paper.html.count(f'{SCHEME}:chart/')} charts")
        ours = least(lambda: write(paper, shelf), given.runs)
        theirs = least(plain, given.runs)
    for name, (cpu, wall, data) in (("dossier", ours), ("typst", theirs)):
        pages = len(pypdf.PdfReader(io.BytesIO(data)).pages)
        size = f"{pages:3} pages {len(data) / 1000:6.0f} kB"
        print(f"  {name:<9}{size} {cpu:7.3f} s of CPU {wall:7.3f} s")
    print(f"  ratio {ours[0] / theirs[0]:.1f} x its CPU, {ours[1] / theirs[1]:.1f} x its wall")


if __name__ == "__main__":
    main()
