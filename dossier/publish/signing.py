"""Signing a PDF and reading its signatures: the one door to the libraries that do it.

They are an extra of the installation; nothing of them is imported before it is needed.
"""

from __future__ import annotations

from datetime import datetime

from dossier.publish.identity import Identity, fit, require
from dossier.publish.signature import Signature


def sign_pdf(pdf: bytes, identity: Identity, moment: datetime, label: str = "Signature") -> bytes:
    """The PDF with a PAdES signature (ETSI EN 319 142-1, level B-B) of all of it.

    The signature is added behind the file, which stays as it was, its tags and claims too; it
    allows no change afterwards and cannot be seen on a page.  `moment` is when the signer says it
    was signed, with a time zone; `label` names the field to a screen reader.  An RSA key gives the
    same bytes for the same arguments; the others draw lots.

    Raises SigningError where the certificate can't be used then, or the PDF can't be read.
    """
    require()
    fit(identity, moment)
    from dossier.publish.pades_write import signed

    return signed(pdf, identity, moment, label)


def signatures_of(pdf: bytes) -> tuple[Signature, ...]:
    """The signatures of a PDF that shows traces of one, in the order in which they were made.

    Raises UnreadableError where none can be read, and SigningError where the libraries that read
    them are missing.
    """
    require()
    from dossier.publish.pades_read import read_signatures

    return read_signatures(pdf)
