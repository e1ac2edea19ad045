"""The numbers of the pages to which a document refers, set after all is laid out.

CSS has target-counter for it, but WeasyPrint then lays out every page with such a number again, and
those after it: 52 pages for a dossier of 28 (measured).  Here the template leaves room for
two digits, `<a class="page" href="#anchor">00</a>`, and one layout is enough, for figures of a
table are all of one width.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from weasyprint import Document

CLASS = "page"


class NoSuchPlaceError(LookupError):
    """A reference to an anchor that no page has; the message names it."""


def set_page_numbers(document: Document) -> None:
    """Write each reference's page number into the room left for it, at its end if set right.

    It reaches into WeasyPrint's boxes, which the pinned version keeps after layout.  Raises
    NoSuchPlaceError.
    """
    numbers: dict[str, int] = {}
    for number, page in enumerate(document.pages, start=1):
        for anchor in page.anchors:
            numbers.setdefault(anchor, number)
    for box in _references(document):
        anchor = box.element.get("href").removeprefix("#")
        if anchor not in numbers:
            raise NoSuchPlaceError(f"no page has the anchor “{anchor}”")
        _write(box, str(numbers[anchor]))


def _references(document: Document) -> Iterator[Any]:
    from weasyprint.formatting_structure.boxes import TextBox

    for page in document.pages:
        for box in page._page_box.descendants():  # noqa: SLF001  # no other way leads to it
            known = getattr(box.element, "attrib", {}) if isinstance(box, TextBox) else {}
            if known.get("class") == CLASS:
                yield box


def _write(box: Any, text: str) -> None:
    width = box.width * len(text) / len(box.text)
    if box.style["text_align_all"] == "right":
        box.position_x += box.width - width
    box.width, box.text = width, text
    box.pango_layout.set_text(text)
