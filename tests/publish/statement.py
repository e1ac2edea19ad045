"""What is needed to issue a small invented statement, and to sign it: PDF, files, certificates."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
)
from cryptography.x509.oid import NameOID

from dossier.publish.identity import Identity
from dossier.publish.issued import IssuedManifest, bag, sealed, write_issued
from dossier.render.paper import Paper, write

if TYPE_CHECKING:
    from dossier.publish.identity import PrivateKey

DAY = date(2026, 11, 25)
MOMENT = datetime(2026, 11, 25, 12, tzinfo=UTC)
FIRST, LAST = datetime(2026, 1, 1, tzinfo=UTC), datetime(2036, 1, 1, tzinfo=UTC)
HISTORY = b'{"said": "Four pins were loose."}\n'
PAGE = (
    '<html lang="en"><head><title>Heron · Statement</title></head>'
    "<body><h1>Heron</h1><p>Four pins were loose; ♯ and ♭.</p></body></html>"
)
NAME = "heron-sale-2026-11-25"


@cache
def small_pdf() -> bytes:
    """A statement as the renderer makes one: tagged, archival, with its data attached."""
    paper = Paper(
        PAGE, "", "Heron · Statement", "Alder & Reed", "en", DAY, HISTORY, "history.json", "data"
    )
    return write(paper, lambda _: None)


def small_files(pdf: bytes) -> dict[str, bytes]:
    return {
        "statement.pdf": pdf,
        "index.html": b"<!doctype html><title>Heron</title>",
        "history.json": HISTORY,
        "assets/site-1.css": b"p{}",
    }


def issue_folder(
    root: Path, files: Mapping[str, bytes], *, bagged: bool = False, name: str = NAME
) -> Path:
    """A folder or a bag as `dossier issue` writes it."""
    manifest = IssuedManifest(
        instrument="heron",
        edition="sale",
        issued=DAY.isoformat(),
        number=1,
        program="dossier 0.1.0",
        files={},
    )
    whole = sealed(manifest, files)
    if bagged:
        whole = bag(whole, name, DAY, "Alder & Reed", "dossier 0.1.0")
    folder = write_issued(root, name, whole)
    for path in folder.rglob("*"):
        if path.is_file():
            path.chmod(0o644)  # for the tests to change it
    return folder


@cache
def rsa_key(number: int = 0) -> rsa.RSAPrivateKey:  # noqa: ARG001  # tells one key from another
    return rsa.generate_private_key(65537, 2048)


@cache
def ec_key() -> ec.EllipticCurvePrivateKey:
    return ec.generate_private_key(ec.SECP256R1())


@cache
def ed_key() -> ed25519.Ed25519PrivateKey:
    return ed25519.Ed25519PrivateKey.generate()


def named(*names: str) -> x509.Name:
    kinds = (NameOID.COMMON_NAME, NameOID.ORGANIZATION_NAME)
    return x509.Name(
        [x509.NameAttribute(kind, name) for kind, name in zip(kinds, names, strict=False)]
    )


def certificate(
    key: PrivateKey,
    subject: str = "Ines Alder",
    issuer: str = "",
    issuer_key: PrivateKey | None = None,
    last: datetime = LAST,
    usage: x509.KeyUsage | None = None,
) -> x509.Certificate:
    """A certificate, made by its own holder unless an issuer is named."""
    signing_key = issuer_key or key
    own = named(subject, "Alder & Reed")
    builder = (
        x509.CertificateBuilder()
        .subject_name(own)
        .issuer_name(named(issuer) if issuer else own)
        .public_key(key.public_key())
        .serial_number(77)
        .not_valid_before(FIRST)
        .not_valid_after(last)
    )
    if usage:
        builder = builder.add_extension(usage, critical=True)
    digest = None if isinstance(signing_key, ed25519.Ed25519PrivateKey) else hashes.SHA256()
    return builder.sign(signing_key, digest)


def identity(key: PrivateKey | None = None, subject: str = "Ines Alder") -> Identity:
    own = key or rsa_key()
    return Identity(certificate(own, subject), own)


def pem_of(*certificates: x509.Certificate) -> bytes:
    return b"".join(one.public_bytes(Encoding.PEM) for one in certificates)


def key_pem(key: PrivateKey, passphrase: bytes | None = None) -> bytes:
    lock = BestAvailableEncryption(passphrase) if passphrase else NoEncryption()
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, lock)


def fingerprint(one: x509.Certificate) -> str:
    return one.fingerprint(hashes.SHA256()).hex()


def with_byte(data: bytes, place: int, value: int) -> bytes:
    """The bytes with another one at a place; the value is made another if it stands there."""
    value = value if data[place] != value else value ^ 1
    return data[:place] + bytes([value]) + data[place + 1 :]
