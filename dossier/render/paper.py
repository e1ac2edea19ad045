"""From a page of HTML, held in memory, to the bytes of a tagged and archival PDF.

WeasyPrint writes a file that claims one standard; here the same file is made to hold what PDF/UA-1
and PDF/A-3u ask for together.  No full validator of either is to be had without Java, so it is
"tagged, and checked against a subset", never "certified".

It imports nothing heavy before `write` is called.
"""

from __future__ import annotations

import calendar
import gc
import hashlib
import logging
import os
import re
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any, NoReturn
from xml.sax.saxutils import escape

from dossier.render.chart_text import whole_texts
from dossier.render.kept_lines import kept_lines
from dossier.render.known_sizes import known_sizes
from dossier.render.known_styles import known_styles
from dossier.render.libraries import load
from dossier.render.packing import packing, write_out
from dossier.render.page_numbers import NoSuchPlaceError, set_page_numbers
from dossier.render.plain_page import plain_page
from dossier.render.swaps import swapped

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.urls import URLFetcher

SCHEME = "dossier"
QUICKER = (known_styles, known_sizes, kept_lines, whole_texts, packing)
LINKS = ("https:", "mailto:", "tel:")
_EPOCH = date(1970, 1, 1)
_MISSING = re.compile(
    r'\.notdef glyph rendered for Unicode string unsupported by fonts: "(?P<sign>.+)" \(U\+.*\)',
    re.DOTALL,
)

# The bytes and the media type for the path in `dossier:path`; None where nothing stands there.
Shelf = Callable[[str], tuple[bytes, str] | None]


class PdfError(RuntimeError):
    """A PDF that can't be made as it should; the message says what the renderer found."""


class MissingSignsError(PdfError):
    """No font at hand has some signs of the text, which a PDF/A may not leave as empty boxes."""

    def __init__(self, message: str, signs: frozenset[str]) -> None:
        super().__init__(message)
        self.signs = signs


class TooManyPagesError(PdfError):
    """More is to be said than the pages allowed have room for."""


@dataclass(frozen=True, slots=True)
class Paper:
    """What a PDF is made of.

    `stand` is the date that the file bears; `language` a BCP 47 tag; `data` is attached as
    `data_name`, described by `data_words`, where there is any.  `pages` are the most that it may
    have, 0 for as many as it takes.
    """

    html: str
    css: str
    title: str
    author: str
    language: str
    stand: date | None
    data: bytes = b""
    data_name: str = ""
    data_words: str = ""
    pages: int = 0


def write(paper: Paper, shelf: Shelf) -> bytes:
    """The PDF: the same paper and shelf give the same bytes, whatever the process around it.

    Pictures, fonts and style sheets can come from `shelf` only.

    Raises PdfError where the renderer warns of anything, or a link leads elsewhere than to the
    document, https, mail or a telephone; MissingSignsError where only a font lacks a sign;
    TooManyPagesError where there are more than allowed.
    """
    load()
    from weasyprint.urls import FatalURLFetchingError

    stand = datetime.combine(paper.stand or _EPOCH, datetime.min.time(), UTC)
    with _warnings() as found, _steady(stand):
        try:
            data = _set(paper, shelf, stand)
        except FatalURLFetchingError as error:
            message = f"{paper.title}: {error}, which isn't among the build's files."
            raise PdfError(message) from error
        except NoSuchPlaceError as error:
            raise PdfError(f"{paper.title}: {error}.") from error
    if found:
        _refuse(paper, tuple(dict.fromkeys(found)))
    return data


def _set(paper: Paper, shelf: Shelf, stand: datetime) -> bytes:
    """The PDF, whatever was warned of; all that it was made of is let go on return."""
    from weasyprint import CSS, Attachment
    from weasyprint.text.fonts import FontConfiguration

    fetcher, fonts = _fetcher(shelf), FontConfiguration()
    sheet = CSS(string=paper.css, url_fetcher=fetcher, font_config=fonts)
    attached = Attachment(
        string=paper.data,
        name=paper.data_name,
        description=paper.data_words,
        created=stand,
        modified=stand,
        relationship="Data",
    )
    options = {
        "stylesheets": [sheet],
        "attachments": [attached] if paper.data else None,
        "pdf_variant": "pdf/a-3u",
        "pdf_tags": True,
        "pdf_identifier": _identifier(paper),
    }
    with swapped([swap for part in QUICKER for swap in part()]):
        laid = plain_page(paper.html, fetcher).render(font_config=fonts, **options)
        if 0 < paper.pages < len(laid.pages):
            raise TooManyPagesError(f"{paper.title}: more than the pages allowed")
        set_page_numbers(laid)
        data: bytes = laid.write_pdf(
            finisher=lambda document, pdf: _finish(document, pdf, paper), **options
        )
    return data


def _refuse(paper: Paper, found: tuple[str, ...]) -> NoReturn:
    message = f"{paper.title}: {'; '.join(found)}"
    missing = [_MISSING.fullmatch(one) for one in found]
    if all(missing):
        signs = frozenset(one["sign"] for one in missing if one)
        raise MissingSignsError(message, signs)
    raise PdfError(message)


def _identifier(paper: Paper) -> bytes:
    """The document's own part of its file identifier (ISO 32000-1, 14.4), drawn from its text."""
    return hashlib.md5(paper.html.encode(), usedforsecurity=False).hexdigest().encode()


def _fetcher(shelf: Shelf) -> URLFetcher:
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class FromMemory(URLFetcher):  # type: ignore[misc]
        """Reads from memory; no file and no host can be reached."""

        def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:  # noqa: ARG002
            scheme, _, path = url.partition(":")
            held = shelf(path) if scheme == SCHEME else None
            if held is None:
                raise ValueError(url)
            body, kind = held
            return URLFetcherResponse(url, body, {"Content-Type": kind})

    return FromMemory(allowed_protocols={SCHEME}, allow_redirects=False, fail_on_errors=True)


@contextmanager
def _warnings() -> Iterator[list[str]]:
    """What WeasyPrint says at the level of a warning or above, whatever logging is set to."""
    found: list[str] = []

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            found.append(record.getMessage())

    logger, listener = logging.getLogger("weasyprint"), Listener(logging.WARNING)
    before = (logger.level, logger.disabled, logger.propagate)
    logger.setLevel(logging.WARNING)
    logger.disabled, logger.propagate = False, False
    logger.addHandler(listener)
    try:
        yield found
    finally:
        logger.removeHandler(listener)
        logger.setLevel(before[0])
        logger.disabled, logger.propagate = before[1:]


@contextmanager
def _steady(stand: datetime) -> Iterator[None]:
    """The document's own date for whoever asks for the time, and no collection of garbage.

    fontTools stamps some fonts with the time of SOURCE_DATE_EPOCH.  Layout makes millions of boxes
    that live to its end: collecting meanwhile costs a fifth of the time (measured).
    """
    name, collecting = "SOURCE_DATE_EPOCH", gc.isenabled()
    before = os.environ.get(name)
    os.environ[name] = str(calendar.timegm(stand.timetuple()))
    gc.disable()
    try:
        with warnings.catch_warnings():
            # WeasyPrint leaves it to Python to close its colour profile.
            warnings.simplefilter("ignore", ResourceWarning)
            yield
    finally:
        if collecting:
            gc.enable()
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before


def _finish(document: Document, pdf: Any, paper: Paper) -> None:
    """What WeasyPrint leaves open between the two standards."""
    _guard_links(pdf)
    _scope_headers(pdf)
    _margins_as_artifacts(document, pdf)
    # The attachment stands in the list twice.
    if paper.data:
        pdf.catalog["AF"] = type(pdf.catalog["AF"])(dict.fromkeys(pdf.catalog["AF"]))
    metadata = _object(pdf, pdf.catalog["Metadata"])
    metadata.stream, metadata.compress = [_xmp(paper, pdf)], False
    write_out(pdf)


def _object(pdf: Any, reference: bytes) -> Any:
    return pdf.objects[int(reference.split()[0])]


def _guard_links(pdf: Any) -> None:
    for entry in pdf.objects:
        action = entry.get("A") if isinstance(entry, dict) and "Subtype" in entry else None
        if isinstance(action, dict) and "URI" in action:
            target = action["URI"].string
            if not target.startswith(LINKS):
                raise PdfError(f"A link leads to “{target}”; a PDF may link to https, mail or tel.")


def _scope_headers(pdf: Any) -> None:
    """Each table header says whether it heads a column or a row (ISO 14289-1, 7.5)."""
    for entry in pdf.objects:
        if isinstance(entry, dict) and entry.get("S") == "/TH":
            row = _object(pdf, entry["P"])
            in_head = _object(pdf, row["P"]).get("S") == "/THead"
            entry["A"]["Scope"] = "/Column" if in_head else "/Row"


def _margins_as_artifacts(document: Document, pdf: Any) -> None:
    """Running heads and feet as artifacts, which a screen reader leaves out (ISO 14289-1, 7.8).

    WeasyPrint marks their text like any other and hangs it into no tree.
    """
    root = _object(pdf, pdf.catalog["StructTreeRoot"])
    reached = _below(pdf, root["K"])
    parents = _object(pdf, root["ParentTree"])["Nums"]
    for number in range(len(document.pages)):
        elements = parents[2 * number + 1]
        page = _object(pdf, pdf.page_references[number])
        stream = _object(pdf, page["Contents"])
        for mark, reference in enumerate(elements):
            if reference not in reached:
                _make_artifact(stream.stream, mark)
                elements[mark] = "null"


def _below(pdf: Any, kids: Any) -> set[bytes]:
    """References of all structure elements below the given ones."""
    reached: set[bytes] = set()
    waiting = [kid for kid in kids if isinstance(kid, bytes)]
    while waiting:
        reference = waiting.pop()
        reached.add(reference)
        waiting += [kid for kid in _object(pdf, reference).get("K", ()) if isinstance(kid, bytes)]
    return reached


def _make_artifact(operators: list[Any], mark: int) -> None:
    """The marked content of that number; it is written as tag, properties and operator."""
    for place, operator in enumerate(operators):
        if isinstance(operator, dict) and operator.get("MCID") == mark:
            operators[place - 1] = "/Artifact"
            operators[place] = type(operator)({"Type": "/Pagination"})


_XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about=""
 xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"
 xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"
 xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaid:part>3</pdfaid:part>
<pdfaid:conformance>U</pdfaid:conformance>
<pdfuaid:part>1</pdfuaid:part>
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<pdf:Producer>{producer}</pdf:Producer>
{dates}<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 to which the file conforms</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


def _xmp(paper: Paper, pdf: Any) -> bytes:
    """The metadata with both claims; PDF/A wants the one it doesn't know explained (6.6.2.3)."""
    names = ("CreateDate", "ModifyDate") if paper.stand else ()
    dates = "".join(f"<xmp:{name}>{paper.stand}</xmp:{name}>\n" for name in names)
    text = _XMP.format(
        title=escape(paper.title),
        author=escape(paper.author),
        language=escape(paper.language),
        producer=escape(pdf.info["Producer"].string),
        dates=dates,
    )
    return text.encode()
