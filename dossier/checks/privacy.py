"""Does prose that others may read say whose instrument it is, and how to reach them?

Privacy is by place: names and addresses belong into the client's file.  A name in a sentence
would leave the house with a sale or an appraisal edition.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from dossier.checks.check import histories, warning
from dossier.checks.prose import owner_prose
from dossier.diagnostics import Diagnostic
from dossier.model import Client, Notebook

SHORTEST = 4
"""Letters from which a word of a name is looked for; shorter ones are words of any sentence."""

# Words that stand in names and addresses, and in sentences about no one in particular.
EVERYDAY = frozenset((
    "academy", "and", "apartment", "association", "avenue", "baptist", "building", "café",
    "castle", "cathedral", "centre", "center", "chapel", "chamber", "choir", "church", "city",
    "club", "college", "community", "concert", "conservatory", "cottage", "council", "county",
    "court", "doctor", "estate", "family", "farm", "flat", "floor", "foundation", "from",
    "gallery", "grand", "hall", "hill", "high", "home", "hospital", "hotel", "house",
    "institute", "lady", "lake", "lane", "library", "long", "lord", "lower", "madame", "manor",
    "memorial", "methodist", "miss", "mister", "mistress", "museum", "music", "musical",
    "orchestra", "parish", "park", "piano", "primary", "prison", "professor", "public",
    "restaurant", "river", "road", "room", "royal", "saint", "school", "secondary", "society",
    "sons", "stables", "station", "street", "studio", "studios", "subscribers", "the",
    "theatre", "theater", "town", "tower", "trust", "university", "upper", "village", "west",
    "east", "north", "south", "with", "wood", "youth",
))  # fmt: skip

_APOSTROPHES = "'’‘ʼ´`"
_WORD = re.compile(rf"[^\W\d_ʼ]+(?:[{_APOSTROPHES}][^\W\d_ʼ]+)*")
_OWNS = re.compile(rf"[{_APOSTROPHES}]s$", re.IGNORECASE)
# What may stand between two words of a name: a broken line, a quotation's mark, emphasis.
_BETWEEN = " \n\t\u00a0.->*_"
# Letters that are no other letter with a mark on it, as they are written without them.
_BARE = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "å": "a", "ł": "l", "đ": "d", "ð": "d",
                       "ı": "i", "þ": "th", **dict.fromkeys(_APOSTROPHES, "'")})  # fmt: skip
_WRITTEN_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ø": "oe", "å": "aa"})
_CONTRACTED = re.compile(r"(?:(?<=a)e|(?<=o)e|(?<=u)e|(?<=a)a)")
_MAIL = re.compile(r"[^\s@<>()\[\],;:]+@[^\s@<>()\[\],;:]+\.[^\W\d_]{2,}")
_PHONE = re.compile(r"\+?\d[\d\s()./\-‐‑–·']{4,}\d")
_EACH_PHONE = re.compile(r"[,;]|\s/\s|\bor\b")
_HOUSE_NUMBER = re.compile(r"\b\d{1,3}[a-z]?\b", re.IGNORECASE)
_FEWEST_DIGITS = 6


@dataclass(frozen=True, slots=True)
class _Word:
    """A word of a text: its shape for comparing, and its place.

    `capital` says that it is written as a name, `follows` that only a gap parts it from the word
    before.
    """

    shape: str
    capital: bool
    follows: bool
    start: int
    end: int


def own_name(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A client's name in a sentence can't be taken out of an edition by a rule."""
    for history in histories(notebook):
        words, phrases = _names(history.client)
        for prose in owner_prose(history):
            for start, end in _found(prose.text, words, phrases):
                yield warning(
                    "client-name",
                    f'"{prose.text[start:end]}" is the client\'s own name.',
                    prose.span(start, end - start),
                    'Write "you" or "the owner", or move it to a "::: bench" block.',
                )


def other_name(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """No client may read of another."""
    clients = notebook.clients.items()
    phrases, surnames = _known_names(
        tuple((slug, client.name, client.kind) for slug, client in clients)
    )
    for history in histories(notebook):
        own, own_phrases = _names(history.client)
        others = {word for word, name in surnames.items() if name != history.client.id} - own
        whole_names = {one for one, name in phrases.items() if name != history.client.id}
        for prose in owner_prose(history):
            for start, end in _found(prose.text, others, whole_names - own_phrases):
                yield warning(
                    "other-client-name",
                    f'"{prose.text[start:end]}" is the name of another client.',
                    prose.span(start, end - start),
                    'Take it out, or move it to a "::: bench" block.',
                )


@lru_cache(maxsize=2)
def _known_names(
    clients: tuple[tuple[str, str, str], ...],
) -> tuple[dict[tuple[str, ...], str], dict[str, str]]:
    """Whole names and surnames, each with the slug of whose it is; asked anew for each instrument.

    `clients` are their slugs, names and kinds.
    """
    phrases: dict[tuple[str, ...], str] = {}
    surnames: dict[str, str] = {}
    for slug, name, kind in clients:
        for whole in sorted(_spellings(name)):
            if len(whole) > 1 or kind == "home":
                phrases.setdefault(whole, slug)
            if kind == "home" and whole and _telling(whole[-1]):
                surnames.setdefault(whole[-1], slug)
    return phrases, surnames


def _names(client: Client) -> tuple[set[str], set[tuple[str, ...]]]:
    """The words that give a client away, and the whole names.

    A person is known by any word of the name.  The name of a school or a church is made of words
    for places, so that only the whole of it counts, and each word of its contact's name.
    """
    contact = client.contact.split(",")[0]
    people = [contact, client.name] if client.kind == "home" else [contact]
    words = {shape for name in people for one in _spellings(name) for shape in one}
    if client.kind != "home":
        words -= {shape for one in _spellings(client.name) for shape in one}
    phrases = {one for name in (client.name, contact) for one in _spellings(name)}
    return {word for word in words if _telling(word)}, {
        phrase for phrase in phrases if len(phrase) > 1
    }


def _telling(shape: str) -> bool:
    return len(shape) >= SHORTEST and shape not in _EVERYDAY


def _spellings(name: str) -> set[tuple[str, ...]]:
    """The words of a name as it may be written: Müller is Muller and Mueller too, both ways."""
    whole = _shapes(name)
    written_out = _shapes(name.casefold().translate(_WRITTEN_OUT))
    return {whole, written_out, tuple(_CONTRACTED.sub("", word) for word in whole)}


def _found(text: str, words: set[str], phrases: set[tuple[str, ...]]) -> Iterator[tuple[int, int]]:
    """Where a text has one of the names: single words written with a capital, phrases anyhow."""
    folded = _folded(text)
    phrases = {phrase for phrase in phrases if all(word in folded for word in phrase)}
    if not phrases and not any(word in folded for word in words):
        return  # most texts name nobody, and to part them into words takes time
    firsts = {phrase[0] for phrase in phrases}
    seen = _words(text)
    at = 0
    while at < len(seen):
        length = 0
        if seen[at].shape in firsts:
            length = max((len(one) for one in phrases if _stands(one, seen, at)), default=0)
        while at + length < len(seen) and _is_name(seen[at + length], words, first=not length):
            length += 1
        if length:
            yield seen[at].start, seen[at + length - 1].end
        at += max(length, 1)


def _stands(phrase: tuple[str, ...], seen: tuple[_Word, ...], at: int) -> bool:
    there = seen[at : at + len(phrase)]
    together = all(word.follows for word in there[1:])
    return together and tuple(word.shape for word in there) == phrase


def _is_name(word: _Word, words: set[str], *, first: bool) -> bool:
    return word.capital and word.shape in words and (first or word.follows)


def _words(text: str) -> tuple[_Word, ...]:
    found: list[_Word] = []
    before = 0
    for match in _WORD.finditer(text):
        word = _OWNS.sub("", match[0])
        follows = not text[before : match.start()].strip(_BETWEEN)
        start = match.start()
        found.append(_Word(_folded(word), not word[0].islower(), follows, start, start + len(word)))
        before = match.end()
    return tuple(found)


def _folded(text: str) -> str:
    """A text for comparing: in small letters, without accents, with straight apostrophes."""
    bare = text.casefold().translate(_BARE)
    if bare.isascii():
        return bare
    parted = unicodedata.normalize("NFD", bare)
    return "".join(letter for letter in parted if not unicodedata.combining(letter))


_EVERYDAY = frozenset(map(_folded, EVERYDAY))


def _shapes(name: str) -> tuple[str, ...]:
    return tuple(word.shape for word in _words(name))


def street(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Where an instrument of worth stands is nobody's business but the owner's."""
    for history in histories(notebook):
        phrases = _streets(history.client.address)
        for prose in owner_prose(history) if phrases else ():
            for start, end in _found(prose.text, set(), phrases):
                yield warning(
                    "client-street",
                    f'"{prose.text[start:end]}" is where the client lives.',
                    prose.span(start, end - start),
                    'Take it out, or move it to a "::: bench" block.',
                )


def _streets(address: str) -> set[tuple[str, ...]]:
    """The street or house of an address: its first part, and any with a house number.

    One word without a number is a village, which may be named.
    """
    streets = set()
    for at, part in enumerate(re.split(r"[,;\n]", address)):
        words = _shapes(part)
        words = words[1:] if words[:1] == ("the",) else words
        numbered = _HOUSE_NUMBER.search(part) is not None
        if (numbered and any(map(_telling, words))) or (at == 0 and len(words) > 1):
            streets.add(words)
    return streets


def telephone(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A telephone number in a sentence goes wherever the sentence goes."""
    for history in histories(notebook):
        own = _numbers(history.client.phone)
        for prose in owner_prose(history) if own else ():
            for match in _PHONE.finditer(prose.text):
                if _is_one_of(match[0], own):
                    yield warning(
                        "client-telephone",
                        f'"{match[0]}" is the client\'s telephone number.',
                        prose.span(match.start(), match.end() - match.start()),
                        'Take it out, or move it to a "::: bench" block.',
                    )


def _numbers(phone: str) -> tuple[str, ...]:
    """The telephone numbers of a client's file, where there may be several, as their digits."""
    found = (_digits(part) for part in _EACH_PHONE.split(phone))
    return tuple(number for number in found if len(number) >= _FEWEST_DIGITS)


def _digits(text: str) -> str:
    """The digits that are the same wherever one rings from: no leading 0, nor one as "(0)"."""
    return "".join(letter for letter in text.replace("(0)", "") if letter.isdigit()).lstrip("0")


def _is_one_of(written: str, own: tuple[str, ...]) -> bool:
    """Whether a number is one of some, with and without the codes of country and town.

    A year or another number may stand right before or behind it, and is no part of it.
    """
    number = _digits(written)
    return len(number) >= _FEWEST_DIGITS and any(
        one in number or one.endswith(number) for one in own
    )


def mail(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """An e-mail address in prose is a person's; the shop's own stands at the foot of the page."""
    for history in histories(notebook):
        for prose in owner_prose(history):
            for match in _MAIL.finditer(prose.text):
                found = match[0].rstrip(".")
                if found.casefold() != notebook.shop.email.casefold():
                    yield warning(
                        "email-in-prose",
                        f'"{found}" is an e-mail address.',
                        prose.span(match.start(), len(found)),
                        'Take it out, or move it to a "::: bench" block.',
                    )


def gives_away(
    client: Client, text: str, released: frozenset[str] = frozenset()
) -> Iterator[tuple[str, str]]:
    """What in a text says who a client is or how to reach them: the words, and what they are.

    `released` are the words of the client's file for what may be told: "owner", "address",
    "contact".
    """
    words, phrases = _names(client)
    if "owner" not in released:
        for start, end in _found(text, words, phrases):
            yield text[start:end], "the client's own name"
    if "address" not in released:
        for start, end in _found(text, set(), _streets(client.address)):
            yield text[start:end], "where the client lives"
    if "contact" not in released:
        own = _numbers(client.phone)
        for match in _PHONE.finditer(text) if own else ():
            if _is_one_of(match[0], own):
                yield match[0], "the client's telephone number"
        if client.email and client.email.casefold() in text.casefold():
            yield client.email, "the client's e-mail address"
