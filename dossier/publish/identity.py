"""The technician's own certificate and key, read from the files that hold them.

The libraries that read them are an extra of the installation; nothing of them is imported before
it is needed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey
    from cryptography.x509 import Certificate

    PrivateKey = RSAPrivateKey | EllipticCurvePrivateKey | Ed25519PrivateKey

MISSING = (
    "Signatures need the library pyhanko, which is not installed here. "
    'Install it with: pip install "pyhanko>=0.38,<0.39"'
)
_SIZE_LIMIT = 1_000_000  # bytes; a certificate with its chain has some ten thousand
_RSA_BITS = 2048  # NIST SP 800-131A rev. 2, table 2: less is not allowed for signing


class SigningError(RuntimeError):
    """Why nothing was signed, as a sentence."""


class PassphraseError(SigningError):
    """The key is locked, and no passphrase was given, or another than its own."""


@dataclass(frozen=True, slots=True)
class Identity:
    """A certificate with its private key, and the certificates that vouch for it, if any."""

    certificate: Certificate
    key: PrivateKey = field(repr=False)
    chain: tuple[Certificate, ...] = ()


def read_identity(path: Path, key: Path | None, passphrase: bytes | None) -> Identity:
    """The certificate and key in a PKCS #12 file, or in one or two PEM files.

    `key` is where the private key lies if it is not in the same file.  Where a PEM file holds
    several certificates, the key tells which one is the signer's.

    Raises SigningError with what is wrong; PassphraseError where that is the passphrase.
    """
    require()
    data = _read(path)
    if b"-----BEGIN" not in data:
        if key is not None:
            raise SigningError(
                f"{path} is taken for a PKCS #12 file, which holds its own key: leave out --key."
            )
        return _from_pkcs12(path, data, passphrase)
    return _from_pem(path, data, key, passphrase)


def require() -> None:
    """Raise SigningError, which says what to install, where the libraries are missing."""
    from importlib.util import find_spec

    if find_spec("pyhanko") is None:
        raise SigningError(MISSING)


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > _SIZE_LIMIT:
            raise SigningError(f"{path} is too large for a certificate or a key.")
        return path.read_bytes()
    except OSError as error:
        raise SigningError(f"{path} can't be read ({(error.strerror or '').lower()}).") from error


def _from_pkcs12(path: Path, data: bytes, passphrase: bytes | None) -> Identity:
    from cryptography.hazmat.primitives.serialization import pkcs12

    try:
        key, certificate, others = pkcs12.load_key_and_certificates(data, passphrase)
    except ValueError as error:
        if data[:1] != b"\x30":  # each DER file of this kind is a sequence
            raise SigningError(f"{path} is neither a PKCS #12 nor a PEM file.") from error
        raise PassphraseError(_locked(path, passphrase)) from error
    if key is None or certificate is None:
        raise SigningError(f"{path} holds no private key with its certificate.")
    return _identity(path, key, (certificate, *others))


def _from_pem(path: Path, data: bytes, key: Path | None, passphrase: bytes | None) -> Identity:
    from cryptography.hazmat.primitives.serialization import load_pem_private_key
    from cryptography.x509 import load_pem_x509_certificates

    try:
        certificates = tuple(load_pem_x509_certificates(data))
    except ValueError as error:
        raise SigningError(f"{path} holds no certificate.") from error
    key_path, key_data = (path, data) if key is None else (key, _read(key))
    if b"PRIVATE KEY-----" not in key_data:
        raise SigningError(f"{key_path} holds no private key. Name the file that does by --key.")
    # A passphrase for a key that has none is no mistake.
    locked = b"ENCRYPTED" in key_data
    try:
        private = load_pem_private_key(key_data, passphrase if locked else None)
    except (TypeError, ValueError) as error:
        if locked:
            raise PassphraseError(_locked(key_path, passphrase)) from error
        raise SigningError(f"The private key in {key_path} can't be read.") from error
    return _identity(path, private, certificates)


def _locked(path: Path, passphrase: bytes | None) -> str:
    if passphrase is None:
        return f"{path} is locked. Name the file with its passphrase by --passphrase-file."
    return f"The passphrase does not open {path}, or the file is damaged."


def _identity(path: Path, key: object, certificates: tuple[Certificate, ...]) -> Identity:
    """The key with the certificate that is made for it; the others are its chain."""
    from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa

    if isinstance(key, rsa.RSAPrivateKey) and key.key_size < _RSA_BITS:
        raise SigningError(
            f"The key in {path} has {key.key_size} bits; {_RSA_BITS} are the least that is safe."
        )
    if not isinstance(
        key, rsa.RSAPrivateKey | ec.EllipticCurvePrivateKey | ed25519.Ed25519PrivateKey
    ):
        raise SigningError(f"The key in {path} is of no kind that can sign here: RSA, EC, Ed25519.")
    own = [one for one in certificates if one.public_key() == key.public_key()]
    if not own:
        raise SigningError(f"The private key does not belong to the certificate in {path}.")
    return Identity(own[0], key, tuple(one for one in certificates if one not in own))


def fit(identity: Identity, moment: datetime) -> None:
    """Raise SigningError where the certificate is not for signing, or not on that day."""
    from cryptography.x509 import ExtensionNotFound, KeyUsage

    certificate = identity.certificate
    first, last = certificate.not_valid_before_utc, certificate.not_valid_after_utc
    if not first <= moment <= last:
        raise SigningError(
            f"The certificate is valid from {first.date()} to {last.date()}, and not on "
            f"{moment.date()}."
        )
    try:
        usage = certificate.extensions.get_extension_for_class(KeyUsage).value
    except ExtensionNotFound:
        return
    if not usage.digital_signature and not usage.content_commitment:
        raise SigningError("The certificate was not made for signing: its key usage excludes it.")
