"""What is said of a statement that came back: whole or not, by whom, and what that shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from dossier.publish.comparison import Changes
from dossier.publish.signature import Signature

_LISTED = 20  # names; more of them are counted


class State(StrEnum):
    """How what was given compares with what was issued.

    ANOTHER is whole in itself, but not from whom it should be; UNKNOWN has nothing to be compared
    with.
    """

    WHOLE = "whole"
    CHANGED = "changed"
    ANOTHER = "another"
    UNKNOWN = "unknown"


_HEADLINES = {
    State.WHOLE: "whole",
    State.CHANGED: "CHANGED",
    State.ANOTHER: "NOT THE ONE YOU EXPECT",
    State.UNKNOWN: "nothing to check against",
}


# What a verdict proves, and what it does not.
_SHOWS = {
    State.CHANGED: (
        "This shows that what you hold is not, byte for byte, what was issued.",
        (
            "It does not show who changed it, or why: a slip of the hand or a broken download "
            "looks like a forgery."
        ),
    ),
    State.ANOTHER: (
        "This shows that it bears neither the seal nor the certificate that you named.",
        "It does not show what it is instead: ask the workshop for the one that it issued.",
    ),
    State.UNKNOWN: (
        "This shows nothing, neither for what you hold nor against it.",
        "Ask the workshop for the whole folder with its manifest, or for a signed PDF.",
    ),
}
_SHOWS_SUMS = (
    "This shows that what you hold is, byte for byte, what the manifest was made for.",
    (
        "It does not show who made it, or that what it says is true: whoever changes a file can "
        "make a new manifest too, so compare the seal with the one that the workshop has."
    ),
)
_SHOWS_SIGNED = (
    (
        "This shows that not a byte of the PDF changed since it was signed with the key of that "
        "certificate."
    ),
    (
        "It does not show whose certificate it is, unless the technician told you its "
        "fingerprint, nor that the date is right or that what the statement says is true."
    ),
)
_SHOWS_BOTH = (
    (
        "This shows that what you hold is, byte for byte, what the manifest was made for, and "
        "that the PDF is what was signed with the key of that certificate."
    ),
    (
        "It does not show whose certificate it is, unless the technician told you its "
        "fingerprint, nor that what it says is true; the other files are not signed, so compare "
        "the seal as well."
    ),
)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said of one file or folder.

    `kind` is folder, bag, PDF or file; `said` are the findings as sentences, `shows` the two that
    say what they prove and what not.  `seal` is that of its manifest, where that is whole.
    """

    path: str
    kind: str
    state: State
    said: tuple[str, ...]
    shows: tuple[str, str]
    facts: Mapping[str, str | int] = field(default_factory=dict)
    seal: str = ""
    changes: Changes = field(default_factory=Changes)
    signatures: Mapping[str, tuple[Signature, ...]] = field(default_factory=dict)

    def lines(self) -> Iterator[str]:
        """The verdict as it is printed."""
        yield f"{shown(self.path)}: {_HEADLINES[self.state]}"
        for sentence in (*self.said, *self.shows):
            yield f"  {sentence}"

    def as_json(self) -> dict[str, object]:
        """The verdict for machines; the keys are part of the command line's contract."""
        changes = self.changes
        return {
            "path": plain(self.path),
            "kind": self.kind,
            "state": self.state.value,
            "issued": {plain(name): fact for name, fact in self.facts.items()},
            "seal": self.seal,
            "missing": [plain(name) for name in changes.missing],
            "added": [plain(name) for name in changes.added],
            "altered": {plain(name): plain(now) for name, now in changes.altered.items()},
            "refused": {plain(name): why for name, why in changes.refused.items()},
            "renamed": {plain(new): plain(old) for new, old in changes.renamed.items()},
            "signatures": [
                {
                    "file": plain(name),
                    "whole": not one.fault,
                    "fault": one.fault,
                    "signer": plain(one.signer),
                    "issuer": plain(one.issuer),
                    "fingerprint": one.fingerprint,
                    "signed": one.signed.isoformat() if one.signed else None,
                }
                for name, found in self.signatures.items()
                for one in found
            ],
            "said": list(self.said),
            "shows": list(self.shows),
        }


def shows(state: State, *, sealed: bool, signed: bool) -> tuple[str, str]:
    """What a state proves and what it does not, by whether sums or a signature bear it out."""
    if state is not State.WHOLE:
        return _SHOWS[state]
    if not signed:
        return _SHOWS_SUMS
    return _SHOWS_BOTH if sealed else _SHOWS_SIGNED


def shown(text: str) -> str:
    """A name from elsewhere as it can be printed: nothing in it moves a cursor or turns a line."""
    return "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in text)


def plain(text: str) -> str:
    """A name as JSON can hold it: bytes that are no text are written out."""
    return text.encode("utf-8", "backslashreplace").decode()


def in_groups(digits: str) -> str:
    """A fingerprint or a seal as it is read out on the telephone: four digits at a time."""
    return " ".join(digits[place : place + 4] for place in range(0, len(digits), 4))


def told(changes: Changes) -> Iterator[str]:
    """What changed in a folder, a sentence for each way."""
    if changes.missing:
        yield f"Missing: {_names(dict.fromkeys(changes.missing, ''))}."
    if changes.altered:
        now = {
            name: f"it holds what was issued as {shown(one)}" if one else ""
            for name, one in changes.altered.items()
        }
        yield f"Altered: {_names(now)}."
    if changes.renamed:
        old = {new: f"issued as {shown(name)}" for new, name in changes.renamed.items()}
        yield f"Renamed: {_names(old)}."
    if changes.added:
        added = _names(dict.fromkeys(changes.added, ""))
        yield f"Added, and no part of what was issued: {added}."
    if changes.refused:
        yield f"Not read: {_names(changes.refused)}."


def _names(notes: Mapping[str, str]) -> str:
    said = [f"{shown(name)} ({note})" if note else shown(name) for name, note in notes.items()]
    more = len(said) - _LISTED
    return ", ".join(said[:_LISTED]) + (f" and {more} more" if more > 0 else "")
