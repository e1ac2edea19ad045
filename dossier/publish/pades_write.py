"""A PAdES signature behind a PDF, by pyHanko; imported only when something is signed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from io import BytesIO
from typing import Any

from asn1crypto import tsp, x509
from cryptography.hazmat.primitives.serialization import Encoding
from pyhanko.keys.internal import translate_pyca_cryptography_key_to_asn1
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.sign import fields, signers
from pyhanko.sign.attributes import CMSAttributeProvider, SignedAttributeProviderSpec
from pyhanko.sign.general import SigningError as PyhankoError
from pyhanko.sign.general import as_signing_certificate_v2
from pyhanko.sign.signers.pdf_byterange import BuildProps
from pyhanko_certvalidator.registry import SimpleCertificateStore

from dossier.publish.identity import Identity, SigningError

FIELD, PROGRAM = "Signature", "dossier"


def signed(pdf: bytes, identity: Identity, moment: datetime, label: str) -> bytes:
    """The PDF with the signature added; see `signing.sign_pdf`, which has checked the identity."""
    own, *chain = (
        x509.Certificate.load(one.public_bytes(Encoding.DER))
        for one in (identity.certificate, *identity.chain)
    )
    signer = _signer(own, chain, identity)
    described = signers.PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm=signers.pdf_cms.select_suitable_signing_md(own.public_key),
        subfilter=fields.SigSeedSubFilter.PADES,
        certify=True,
        docmdp_permissions=fields.MDPPerm.NO_CHANGES,
        app_build_props=BuildProps(PROGRAM),
    )
    field = fields.SigFieldSpec(
        FIELD,
        readable_field_name=label,
        # PDF/A forbids to hide it, and PDF/UA wants it off the page where it is not tagged.
        invis_sig_settings=fields.InvisSigSettings(box_out_of_bounds=True),
    )
    try:
        writer = _Writer(BytesIO(pdf))
        writer.mark(hashlib.sha256(pdf + moment.isoformat().encode()).digest()[:16])
        maker = _PdfSigner(described, signer, new_field_spec=field)
        maker.moment = moment
        # The library runs an event loop of its own, which no thread with a running one allows.
        with ThreadPoolExecutor(1) as apart:
            written: bytes = apart.submit(maker.sign_pdf, writer).result().getvalue()
    except (PdfError, PyhankoError) as error:
        raise SigningError(f"The PDF can't be signed: {error}.") from error
    return written


def _signer(
    own: x509.Certificate, chain: list[x509.Certificate], identity: Identity
) -> signers.SimpleSigner:
    embedded = SimpleCertificateStore.from_certs(chain)  # type: ignore[no-untyped-call]
    key = translate_pyca_cryptography_key_to_asn1(identity.key)
    signer = signers.SimpleSigner(own, key, embedded)
    signer.signed_attr_prov_spec = _SignedAttributes(own, chain)
    return signer


class _Writer(IncrementalPdfFileWriter):
    """Adds to a PDF without a look at the clock or the dice, and leaves its metadata as it is."""

    def mark(self, identifier: bytes) -> None:
        """Set the identifier of this state of the file (ISO 32000-1, 14.4)."""
        first, _ = self._document_id
        self._document_id = generic.ArrayObject([first, generic.ByteStringObject(identifier)])

    def _update_meta(self) -> None:
        pass


class _PdfSigner(signers.PdfSigner):
    """Signs at a given moment."""

    moment: datetime

    def init_signing_session(self, *args: Any, **options: Any) -> Any:
        session = super().init_signing_session(*args, **options)
        session.system_time = self.moment
        return session


class _SignedAttributes(SignedAttributeProviderSpec):
    """Names every certificate that is embedded, so that none can be exchanged (RFC 5035, 4)."""

    def __init__(self, own: x509.Certificate, chain: list[x509.Certificate]) -> None:
        self._provider = _Certificates(own, chain)

    def signed_attr_providers(
        self,
        data_digest: bytes,  # noqa: ARG002
        digest_algorithm: str,  # noqa: ARG002
    ) -> Iterable[CMSAttributeProvider]:
        yield self._provider


class _Certificates(CMSAttributeProvider):
    attribute_type = "signing_certificate_v2"

    def __init__(self, own: x509.Certificate, chain: list[x509.Certificate]) -> None:
        self._certificates = (own, *sorted(chain, key=lambda one: one.sha256))

    async def build_attr_value(self, dry_run: bool = False) -> tsp.SigningCertificateV2:  # noqa: ARG002
        named = [as_signing_certificate_v2(one)["certs"][0] for one in self._certificates]
        return tsp.SigningCertificateV2({"certs": named})
