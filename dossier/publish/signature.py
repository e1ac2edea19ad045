"""What the signatures in a PDF say, judged without any network or list of authorities."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

# Each signed file has all of these uncompressed, so that no single change can take them all away.
_TRACES = re.compile(
    rb"/ByteRange|/SubFilter\s*/ETSI|/ETSI\.CAdES|/adbe\.pkcs7|/Adobe\.PPK|/SigRef|/DocMDP|/FT\s*/Sig"
)


class UnreadableError(ValueError):
    """Why a PDF's signatures can't be judged, as a sentence."""


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature and its certificate, by what they say of themselves.

    `fault` says what is wrong with it, and is empty where not a byte changed since it was made.
    `issuer` is empty where the certificate was made by its own holder; `fingerprint` is the
    SHA-256 of the certificate.  `signed` is by the signer's own clock.
    """

    fault: str
    signer: str
    issuer: str
    fingerprint: str
    signed: datetime | None
    valid_from: datetime
    valid_to: datetime

    @property
    def in_time(self) -> bool:
        """Whether the certificate was valid when the signer says it was used."""
        return self.signed is None or self.valid_from <= self.signed <= self.valid_to


def has_traces(pdf: bytes) -> bool:
    """Whether a PDF was ever signed, as far as its bytes show without being read."""
    return _TRACES.search(pdf) is not None
