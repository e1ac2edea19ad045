"""What a statement is, what it is not, and what its sums and a signature prove."""

from __future__ import annotations

from dossier.edition.declared import Edition
from dossier.edition.pages import StatementPart
from dossier.edition.told import Told


def purpose(edition: Edition, told: Told) -> str:
    """Whom the statement is for and what it is, in one sentence."""
    w = told.voice.words
    if edition.name == "sale":
        return w(
            "This statement tells a buyer what the technician’s record says of the instrument: "
            "what it is, what was seen, measured and done, and what is not known."
        )
    return w(
        "This statement gives an insurer or an appraiser what the technician’s record says of the "
        "instrument: what it is, what was seen, measured and done, and what is not known."
    )


def limits_part(_: Edition, told: Told) -> StatementPart:
    """The scope and the limits.

    After USPAP, Standards Rule 8-2: a service history is evidence for an appraiser and never an
    opinion of value; author, dates, scope and limits are stated.
    """
    w, findings = told.voice.words, told.findings
    said = [
        w(
            "The statement rests on the technician’s notes of the visits listed here, and on "
            "nothing else. What a visit does not mention was not looked at."
        ),
        w(
            "Parts were seen as far as a visit reaches them. Nothing was taken apart beyond what "
            "the work named here required."
        ),
        w(
            "Pitch is in cents from the technician’s own target. A level is worked out between "
            "the notes that were read, and never beyond them."
        ),
        w(
            "Left out are the owner’s affairs: advice that was not declined, what the owner said "
            "to any, the technician’s private remarks, and all words and pictures that were not "
            "released."
        ),
        w(
            "It is a service history: evidence for an appraiser, and neither an appraisal nor an "
            "opinion of value, authorship or authenticity. It is no warranty."
        ),
    ]
    said.append(
        w(
            "Where this is opened by a private link, whoever has the link can pass it on. It "
            "opens nothing after its last day, if it was given one."
        )
    )
    if findings.registers_assumed and findings.pitches:
        said.append(
            w("The breaks between bass, tenor and treble are not noted here and are assumed.")
        )
    if any(pitch.found and pitch.found.hertz for pitch in findings.pitches):
        said.append(
            w(
                "Readings in Hz are set against equal temperament; at the ends of the compass a "
                "good tuning lies up to 20 to 40 cents away from it."
            )
        )
    return StatementPart("limits", w("Scope and limits"), tuple(said))


def trust_part(_: Edition, told: Told) -> StatementPart:
    """How a reader can tell whether this is what was issued, and what that doesn't prove."""
    w = told.voice.words
    said = (
        w(
            "The file manifest.json, issued with this statement, holds a sum (SHA-256) of every "
            "other file, and a seal over all sums. A file with another sum is not the one that "
            "was issued."
        ),
        w(
            "The sums show whether a file was changed since. Whoever changes a file can write "
            "other sums too, so compare the seal with the one that the workshop keeps. Who issued "
            "the statement is shown by a signature only: by hand, or in the document. Neither "
            "proves that what was noted is right or complete."
        ),
        w(
            "An issued statement is never changed. A later one says what differs from the one "
            "before. Ask the technician whether there is a later one."
        ),
    )
    return StatementPart("trust", w("Whether this is what was issued"), said)
