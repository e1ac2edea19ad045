"""The message to an owner after a visit, made of their own page alone.

It says what their page says of that visit, in the order in which a person would tell it.  Nothing
but an owner's view comes in, so that nothing private can go out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dossier.edition.pages import InstrumentView, VisitView
from dossier.edition.voice import Voice, capital, sentence

_LINK = re.compile(r"!?\[(?P<text>[^\]]*)\]\((?P<target>[^)\s]+)[^)]*\)")
_EMPHASIS = re.compile(r"(?<![\w*])(\*{1,3})(?=\S)(?P<text>.+?)(?<=\S)\1(?![\w*])", re.DOTALL)
_HEADING = re.compile(r"^#{1,6}\s+", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Block:
    """A paragraph, or a list of sentences below its heading."""

    text: str = ""
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Letter:
    """A message: its subject, and its blocks from the salutation to the name at its end."""

    subject: str
    blocks: tuple[Block, ...]


def letter(views: Sequence[InstrumentView], voice: Voice, link: str, *, to_people: bool) -> Letter:
    """The message of the last visit that each of an owner's views holds, all of one day.

    `link` is the owner's whole private address or empty; `to_people` says that the client's name
    is that of persons, who are greeted by it.
    """
    first, w = views[0], voice.words
    visit = first.visits[0]
    name = first.client if to_people else ""
    greeting = w("Dear {name},", name=name) if name else w("Good day,")
    subject = (
        w("{instrument}: visit of {date}", instrument=first.title, date=visit.when_text)
        if len(views) == 1
        else w("Your instruments: visit of {date}", date=visit.when_text)
    )
    blocks = [Block(greeting)]
    for view in views:
        blocks.append(Block(_opening(view, voice)))
        blocks += _of_instrument(view, voice)
    blocks += _ending(first, visit, voice, link)
    return Letter(subject, tuple(blocks))


def _opening(view: InstrumentView, voice: Voice) -> str:
    return voice.words(
        "This is about {instrument}, visited on {date}.",
        instrument=_mid(view.title),
        date=view.visits[0].when_text,
    )


def _of_instrument(view: InstrumentView, voice: Voice) -> Iterator[Block]:
    """What one visit found, did and leaves to do; the technician's own words come first."""
    visit, w = view.visits[0], voice.words
    if view.unsafe:
        yield Block(w("Please read this first: {warning}", warning=view.unsafe))
    if visit.summary:
        yield Block(visit.summary)
    for passage in visit.passages:
        if not passage.bench:
            yield from (Block(plain_text(part)) for part in passage.markdown.split("\n\n"))
    yield from _listed(w("What was found"), _found(view, voice))
    yield from _listed(w("What was done"), _done(visit, voice))
    yield from _listed(w("What to see to"), _asked(view))
    yield from _listed(w("What comes next"), _next(view))


def _listed(heading: str, lines: Iterator[str]) -> Iterator[Block]:
    told = tuple(dict.fromkeys(line for line in lines if line))
    if told:
        yield Block(heading, told)


def _found(view: InstrumentView, voice: Voice) -> Iterator[str]:
    visit = view.visits[0]
    if any(fact.label == voice.words("Found") for fact in visit.facts):
        yield view.pitch_story
    elif any(fact.label == voice.words("Left") for fact in visit.facts):
        yield view.state
    yield from visit.problems
    yield from (line for line in visit.lines if not (view.unsafe and line.endswith(view.unsafe)))
    yield from visit.corrections


def _done(visit: VisitView, voice: Voice) -> Iterator[str]:
    for line in visit.work:
        if line.text and line.kind == capital(voice.words.term("other")):
            yield sentence(line.text)
        elif line.text:
            yield voice.words("{kind}: {what}", kind=line.kind, what=sentence(line.text))
        elif line.kind != voice.words("The visit"):
            yield sentence(line.kind)


def _asked(view: InstrumentView) -> Iterator[str]:
    for todo in view.todos:
        if todo.text == view.unsafe:
            continue
        by = sentence(todo.when) if todo.when else ""
        yield " ".join(filter(None, (todo.text, by, todo.why)))


def _next(view: InstrumentView) -> Iterator[str]:
    follow = view.visits[0].follow
    if view.next_when is not None or not follow:
        yield " ".join(filter(None, (view.next_why, view.next_text)))
    yield from follow


def _ending(first: InstrumentView, visit: VisitView, voice: Voice, link: str) -> Iterator[Block]:
    w, sender = voice.words, first.sender
    if link:
        yield Block(
            w("The whole history, with figures and pictures, is at this private address:"), (link,)
        )
        yield Block(w("Whoever has it can read the page, so please keep it to yourself."))
    reach = w(" or ").join(filter(None, (sender.phone, sender.email)))
    if reach:
        yield Block(w("If anything here is unclear or seems wrong, please tell me: {reach}.",
                      reach=reach))  # fmt: skip
    yield Block(w("With kind regards,"))
    named = dict.fromkeys(filter(None, (visit.technician, sender.name)))
    yield Block("\n".join(named))


def _mid(title: str) -> str:
    """A title within a sentence: "The heron upright" is about the heron upright."""
    head, space, rest = title.partition(" ")
    return f"{head.lower()}{space}{rest}" if head in ("The", "A", "An") else title


def plain_text(markdown: str) -> str:
    """Prose as plain text: links with their address behind, no marks of emphasis or headings."""
    text = _LINK.sub(lambda match: f"{match['text']} ({match['target']})", markdown)
    text = _EMPHASIS.sub(lambda match: match["text"], text)
    return capital(_HEADING.sub("", text).strip())
