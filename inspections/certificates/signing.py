"""Sign a paper: PAdES B-B (ETSI EN 319 142-1), B-T where a time stamp authority (RFC 3161) is named.

The signature is added after the last byte: PDF/A, tags and attachment stay as they were composed. It forbids any
change, so nothing may be saved into the file afterwards. B-LT where long-term validation is asked for: chain and
revocation lists of the day lie in the file, so that a reader needs neither once the authority no longer answers.
"""

import io
from threading import Lock

from asn1crypto import x509
from django.conf import settings
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko.sign.timestamps import HTTPTimeStamper
from pyhanko_certvalidator import ValidationContext

from inspections.certificates.own_loop import in_own_loop
from inspections.certificates.signing_keys import signer, trust_roots
from inspections.certificates.signing_tokens import token_signer

one_at_a_time = Lock()  # a session with a token is for one thread
TIME_STAMP_PATIENCE_S = 10


def signed(pdf, *, reason, time_stamper=None):
    """The same PDF with the signature of the register; its first bytes are `pdf`."""
    meta = signers.PdfSignatureMetadata(
        field_name="Signature",
        subfilter=fields.SigSeedSubFilter.PADES,
        md_algorithm="sha256",
        reason=reason,
        certify=True,
        docmdp_permissions=fields.MDPPerm.NO_CHANGES,
        **_long_term(),
    )
    output = io.BytesIO()
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    sealed = {"signer": signer(), "timestamper": time_stamper or _time_stamper(), "output": output}
    try:
        with one_at_a_time:
            in_own_loop(signers.sign_pdf, writer, meta, **sealed)
    except Exception:  # a token that was pulled out is asked for anew
        token_signer.cache_clear()
        raise
    return output.getvalue()


def _long_term():
    """What the signature is proven by on the day, fetched from the addresses that the certificates name."""
    if not settings.SIGNING_LONG_TERM:
        return {}
    roots = [x509.Certificate.load(one) for one in trust_roots()]
    return {
        "embed_validation_info": True,
        "validation_context": ValidationContext(
            trust_roots=roots, other_certs=[*signer().cert_registry], allow_fetching=True, revocation_mode="hard-fail"
        ),
    }


def _time_stamper():
    if not settings.TIMESTAMP_URL:
        return None
    return HTTPTimeStamper(settings.TIMESTAMP_URL, timeout=TIME_STAMP_PATIENCE_S)
