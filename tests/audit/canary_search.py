"""Searches every byte that is published, as it stands and as programs read it."""

from __future__ import annotations

import html
import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any, cast
from urllib.parse import unquote

import pypdf
from PIL import Image
from pypdf.generic import ArrayObject, DictionaryObject, StreamObject

from tests.audit.canary_pictures import Colour, colour_of

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_WORD = re.compile(r"qz\d{5}xq")
# What a page may put into a word: a soft hyphen, a break of the line, a byte of UTF-16.
_BREAKS = re.compile(r"[,\s\u00ad\u2010\u2011\u200b\x00\xad-]")
_GAP = "[,.' \u2019\u00a0\u202f]?"
_AMOUNT = re.compile(rf"(?<!\d)7{_GAP}\d{{3}}{_GAP}\d{{3}}(?!\d)")
_ISO = re.compile(r"(?<!\d)19[78]\d-\d\d-\d\d(?!\d)")
_DAY = re.compile(rf"(?<!\d)(\d\d?)\s+({'|'.join(_MONTHS)})\s+(19[78]\d)(?!\d)")
_MONEY = re.compile(r"(?:€|\$|EUR|USD)\s?\d|\d\s?(?:€|EUR|USD)")
_TAGS = re.compile(r"<style.*?</style>|<svg.*?</svg>|<[^>]*>", re.DOTALL)
_PLACE = re.compile(r"(?:clients|instruments|rooms|rounds|inbox|media)/[\w/-]*[\w.-]*\.\w+")


@dataclass(frozen=True)
class Inspected:
    """What is in a file's bytes; `whole` is all of it as one text in small letters."""

    canaries: frozenset[str]
    paths: frozenset[str]
    money: tuple[str, ...]
    colours: tuple[Colour, ...]
    whole: str


def inspected(path: str, data: bytes) -> Inspected:
    """A file's bytes by its kind; the same bytes stand in many places and are looked at once."""
    return _inspected(path.rpartition(".")[2], data)


@lru_cache(maxsize=512)
def _inspected(kind: str, data: bytes) -> Inspected:
    name = f"file.{kind}"
    texts = tuple(read(name, data))
    return Inspected(
        frozenset(canaries(iter(texts))),
        frozenset(paths_of_notes(iter(texts))),
        tuple(_MONEY.findall(shown(name, data))),
        tuple(colours(name, data)),
        "\n".join(texts).casefold(),
    )


def canaries(texts: Iterator[str]) -> set[str]:
    """Every canary in some texts: words, amounts of money by their whole units, days."""
    found: set[str] = set()
    for text in texts:
        low = text.casefold()
        found |= set(_WORD.findall(_BREAKS.sub("", low)))
        found |= {re.sub(r"\D", "", one) for one in _AMOUNT.findall(low)}
        found |= set(_ISO.findall(low))
        for day, month, year in _DAY.findall(re.sub(r"[\s\u00a0\u202f]+", " ", low)):
            found.add(f"{year}-{_MONTHS.index(month) + 1:02d}-{int(day):02d}")
    return found


def read(path: str, data: bytes) -> Iterator[str]:
    """A file's name and bytes, and the text that a program for that kind of file makes of them."""
    yield path
    yield data.decode("latin-1")
    kind = path.rpartition(".")[2]
    if kind == "pdf":
        yield from _of_pdf(data)
    elif kind in ("jpg", "jpeg", "png", "webp"):
        yield from _of_picture(data)
    elif kind not in ("woff2", "mp3", "mp4"):
        text = data.decode()
        yield text
        yield html.unescape(text)
        yield unquote(text)
        if kind == "json":
            yield json.dumps(json.loads(data), ensure_ascii=False)


def shown(path: str, data: bytes) -> str:
    """What is to be read on a page or in a document, without what stands behind it."""
    if path.endswith(".pdf"):
        return "\n".join(_pages(data))
    if path.endswith(".html"):
        return html.unescape(_TAGS.sub(" ", data.decode()))
    return data.decode() if path.endswith((".json", ".ics", ".txt")) else ""


def paths_of_notes(texts: Iterator[str]) -> set[str]:
    """Names of notes and their files: a span that was shown."""
    return {path for text in texts for path in _PLACE.findall(text)}


def colours(path: str, data: bytes) -> Iterator[Colour]:
    """The colours of the pictures in a file."""
    if path.endswith((".jpg", ".png", ".webp")):
        yield colour_of(Image.open(io.BytesIO(data)))
    elif path.endswith(".pdf"):
        for picture in _pictures(pypdf.PdfReader(io.BytesIO(data))):
            yield colour_of(picture)


def _pictures(pdf: pypdf.PdfReader) -> Iterator[Image.Image]:
    """The pictures of a document, each once though it stands on every page."""
    seen = set()
    for page in pdf.pages:
        for name in page.images.keys():  # noqa: SIM118  # else every picture is unpacked
            drawn = _map(_map(page["/Resources"])["/XObject"])
            where = drawn.raw_get(name) if isinstance(name, str) and name in drawn else name
            if str(where) not in seen:
                seen.add(str(where))
                picture = page.images[name].image
                yield from () if picture is None else (picture,)


def _map(value: Any) -> DictionaryObject:
    return cast("DictionaryObject", value.get_object())


@lru_cache(maxsize=4)
def _pages(data: bytes) -> tuple[str, ...]:
    """The text of each page of a document, which takes most of the time of a search."""
    return tuple(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)


def _of_picture(data: bytes) -> Iterator[str]:
    image = Image.open(io.BytesIO(data))
    image.load()
    yield str(image.info)
    yield str(dict(image.getexif()))


def _of_pdf(data: bytes) -> Iterator[str]:
    pdf = pypdf.PdfReader(io.BytesIO(data))
    yield from _pages(data)
    yield str(pdf.metadata)
    yield str(pdf.outline)
    for name, files in pdf.attachments.items():
        yield name
        for one in files:
            yield from read(name, one)
    for number in range(1, len(pdf.xref[0]) + len(pdf.xref_objStm) + 1):
        yield from _of_object(pdf.get_object(number))


def _of_object(value: Any) -> Iterator[str]:
    """An object of a PDF: its names and texts, and what its stream holds once unpacked."""
    if isinstance(value, StreamObject):
        yield value.get_data().decode("latin-1")
    if isinstance(value, DictionaryObject):
        for key, one in value.items():
            yield str(key)
            yield from _of_object(one)
    elif isinstance(value, ArrayObject):
        for one in value:
            yield from _of_object(one)
    elif isinstance(value, str | bytes):
        yield value.decode("latin-1") if isinstance(value, bytes) else value


def is_day(canary: str) -> bool:
    try:
        return date.fromisoformat(canary) is not None
    except ValueError:
        return False
