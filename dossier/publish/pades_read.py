"""The signatures of a PDF read back by pyHanko; imported only when a PDF shows traces of one.

Only the arithmetic is checked: that the bytes are those that were signed, by the key of that
certificate.  Whose certificate it is can't be told here, and no host is asked.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from io import BytesIO

from asn1crypto import cms, core, x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.general import find_unique_cms_attribute
from pyhanko.sign.validation.errors import SignatureValidationError
from pyhanko.sign.validation.generic_cms import validate_sig_integrity
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko.sign.validation.status import SignatureCoverageLevel

from dossier.publish.pades_write import PROGRAM
from dossier.publish.signature import Signature, UnreadableError

# ETSI TS 119 312, 2023, table 1; from memory.
_SAFE = frozenset({"sha256", "sha384", "sha512"})
_MECHANISMS = {"rsa": "{}_rsa", "ec": "{}_ecdsa", "ed25519": "ed25519"}


def read_signatures(pdf: bytes) -> tuple[Signature, ...]:
    """See `signing.signatures_of`."""
    try:
        with _silent():
            reader = PdfFileReader(BytesIO(pdf), strict=True)
            found = list(reader.embedded_signatures)
            judged = tuple(_judged(pdf, one, last=one is found[-1]) for one in found)
    except Exception as error:  # a hostile file breaks a reader in any way
        raise UnreadableError("Its signature can't be read.") from error
    if not judged:
        raise UnreadableError("Its signature can't be found where a PDF has it.")
    return judged


def _judged(pdf: bytes, found: EmbeddedPdfSignature, *, last: bool) -> Signature:
    certificate = found.signer_cert
    subject, issuer = _named(certificate.subject), _named(certificate.issuer)
    first, end = certificate.not_valid_before, certificate.not_valid_after
    return Signature(
        fault=_fault(pdf, found, certificate, last=last),
        signer=subject,
        issuer="" if certificate.issuer == certificate.subject else issuer,
        fingerprint=hashlib.sha256(certificate.dump()).hexdigest(),
        signed=_in_utc(found.self_reported_timestamp),
        valid_from=first.astimezone(UTC),
        valid_to=end.astimezone(UTC),
    )


def _fault(
    pdf: bytes, found: EmbeddedPdfSignature, certificate: x509.Certificate, *, last: bool
) -> str:
    """What is wrong with a signature, as a sentence; nothing where it is whole."""
    if found.md_algorithm not in _SAFE or found.signer_info["signed_attrs"] is core.VOID:
        return "It was signed in a way that is not safe, or no longer."
    found.compute_integrity_info()  # type: ignore[no-untyped-call]
    fault = _fault_of_sum(found, certificate) or _fault_of_reach(pdf, found, last=last)
    if not fault and _is_ours(found) and _gap(pdf, found) != _written(found, certificate):
        return "Bytes of the signature itself are others than were written."
    return fault


def _fault_of_sum(found: EmbeddedPdfSignature, certificate: x509.Certificate) -> str:
    try:
        intact, valid = validate_sig_integrity(
            found.signer_info, certificate, "data", found.compute_digest()
        )
    except SignatureValidationError:
        return "The signature and its certificate do not belong together."
    if not intact:
        return "What was signed is not what the file holds now."
    return "" if valid else "The signature was not made with the key of its certificate."


def _fault_of_reach(pdf: bytes, found: EmbeddedPdfSignature, *, last: bool) -> str:
    """What of the file a signature leaves out; an earlier one may allow what came later."""
    behind = len(pdf) - int(found.byte_range[2]) - int(found.byte_range[3])
    if last and behind > 0:
        more = "byte was" if behind == 1 else "bytes were"
        return f"{behind} {more} added behind what was signed."
    if last and found.coverage is not SignatureCoverageLevel.ENTIRE_FILE:
        return "The signature leaves out a part of the file."
    if not found.summarise_integrity_info()["docmdp_ok"]:
        return "What was added later is more than the signature allows."
    return ""


def _is_ours(found: EmbeddedPdfSignature) -> bool:
    """Whether this program signed; it says so where the signature covers it."""
    try:
        return bool(found.sig_object["/Prop_Build"]["/App"]["/Name"] == f"/{PROGRAM}")
    except KeyError:
        return False


def _gap(pdf: bytes, found: EmbeddedPdfSignature) -> bytes:
    """The bytes that the signature itself takes up, the only ones that it can't cover."""
    _, start, end, _ = (int(number) for number in found.byte_range)
    return pdf[start:end]


def _written(found: EmbeddedPdfSignature, certificate: x509.Certificate) -> bytes:
    """Those bytes as `pades_write` has them, made anew from what the signature does cover.

    A signature covers neither how it is written nor the list of certificates beside it; the
    certificates are named within it (RFC 5035), and all else can be in one way only.
    """
    info, digest = found.signer_info, found.md_algorithm
    named = find_unique_cms_attribute(info["signed_attrs"], "signing_certificate_v2")["certs"]
    sums = {one["cert_hash"].native for one in named}
    embedded = (certificate, *found.other_embedded_certs)
    if {hashlib.sha256(one.dump()).digest() for one in embedded} != sums:
        return b""
    identifier = {"algorithm": digest}
    mechanism = _MECHANISMS[certificate.public_key.algorithm].format(digest)
    issuer = {"issuer": certificate.issuer, "serial_number": certificate.serial_number}
    signer = cms.SignerInfo(
        {
            "version": "v1",
            "sid": cms.SignerIdentifier("issuer_and_serial_number", issuer),
            "digest_algorithm": identifier,
            "signature_algorithm": {"algorithm": mechanism},
            "signed_attrs": info["signed_attrs"],
            "signature": info["signature"],
        }
    )
    content = cms.SignedData(
        {
            "version": "v1",
            "digest_algorithms": [identifier],
            "encap_content_info": {"content_type": "data"},
            "certificates": [cms.CertificateChoices("certificate", one) for one in embedded],
            "signer_infos": [signer],
        }
    )
    message: bytes = cms.ContentInfo({"content_type": "signed_data", "content": content}).dump()
    _, start, end, _ = (int(number) for number in found.byte_range)
    return b"<" + message.hex().upper().encode().ljust(end - start - 2, b"0") + b">"


def _named(name: x509.Name) -> str:
    """The person and the firm that a certificate names, as it names them."""
    parts = name.native
    said = [parts.get(key) for key in ("common_name", "organization_name")]
    return ", ".join(dict.fromkeys(str(one) for one in said if one)) or name.human_friendly


def _in_utc(moment: datetime | None) -> datetime | None:
    if moment is None:
        return None
    return moment.replace(tzinfo=moment.tzinfo or UTC).astimezone(UTC)


@contextmanager
def _silent() -> Iterator[None]:
    """Keep pyHanko from telling on its own what is told here."""
    logger, sink = logging.getLogger("pyhanko"), logging.NullHandler()
    before = logger.propagate
    logger.addHandler(sink)
    logger.propagate = False
    try:
        yield
    finally:
        logger.propagate = before
        logger.removeHandler(sink)
