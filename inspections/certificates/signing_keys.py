"""The key that seals papers: a PKCS#12 file of the firm, or one made at set-up with a root of its own for a trial.

A root of our own proves that the register sealed a paper, not who the firm is: a reader that does not know it says
"issuer unknown". A certificate of a public authority takes its place by REGISTER_SIGNING_PKCS12, or by
REGISTER_SIGNING_PKCS11 where a token keeps the key.
"""

from datetime import UTC, datetime, timedelta
from functools import cached_property, lru_cache

from asn1crypto import pem
from asn1crypto import x509 as asn1
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import padding, rsa
from cryptography.hazmat.primitives.serialization import NoEncryption, load_der_private_key
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from pyhanko.sign import signers
from pyhanko.sign.general import get_pyca_cryptography_hash

from inspections.certificates.signing_tokens import token_signer
from inspections.models import CertificatePaper
from sites_registry.keys import key_file

# RSA: the signature check of Debian 12's poppler says "unknown validation failure" of elliptic curves.
KEY_BITS = 3072
VALID_FOR = timedelta(days=365 * 20)
DOCUMENT_SIGNING = x509.ObjectIdentifier("1.3.6.1.5.5.7.3.36")  # RFC 9336


def new_pkcs12(name="Smoke-control register"):
    """A key with its certificate and the root that vouches for it, as PKCS#12 bytes without a passphrase."""
    root_key, key = (rsa.generate_private_key(65537, KEY_BITS) for _ in range(2))
    root_name, leaf_name = _name(f"{name}, root of its own"), _name(f"{name}, papers")
    root = (
        _certificate(root_name, root_name, root_key.public_key())
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(key_cert_sign=True, crl_sign=True), critical=True)
        .sign(root_key, hashes.SHA256())
    )
    purposes = x509.ExtendedKeyUsage([DOCUMENT_SIGNING, ExtendedKeyUsageOID.EMAIL_PROTECTION])
    leaf = (
        _certificate(leaf_name, root_name, key.public_key())
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(digital_signature=True, content_commitment=True), critical=True)
        .add_extension(purposes, critical=False)
        .sign(root_key, hashes.SHA256())
    )
    return serialize_key_and_certificates(b"papers", key, leaf, [root], NoEncryption())


def _name(words):
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, words)])


def _certificate(subject, issuer, public_key):
    now = datetime.now(UTC)
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + VALID_FOR)
    )


def _usage(**used):
    names = (
        "digital_signature content_commitment key_encipherment data_encipherment key_agreement key_cert_sign crl_sign "
        "encipher_only decipher_only"
    )
    return x509.KeyUsage(**{name: used.get(name, False) for name in names.split()})


class OpenKeySigner(signers.SimpleSigner):
    """The library's signer, but that it reads its RSA key once, not twice for each paper (0.3 s of a core)."""

    @cached_property
    def _rsa_key(self):
        return load_der_private_key(self.signing_key.dump(), password=None)

    def sign_raw(self, data, digest_algorithm):
        if self.get_signature_mechanism_for_digest(digest_algorithm).signature_algo != "rsassa_pkcs1v15":
            return super().sign_raw(data, digest_algorithm)
        return self._rsa_key.sign(data, padding.PKCS1v15(), get_pyca_cryptography_hash(digest_algorithm))


def signer():
    """Who signs papers. Raises ImproperlyConfigured, with what to do."""
    if settings.SIGNING_PKCS11:
        named = (settings.SIGNING_TOKEN, settings.SIGNING_LABEL, settings.SIGNING_PASSPHRASE)
        return token_signer(settings.SIGNING_PKCS11, *named)
    return _signer(str(settings.SIGNING_PKCS12), settings.SIGNING_PASSPHRASE)


@lru_cache(maxsize=2)
def _signer(path, passphrase):
    key_file(
        path,
        make=new_pkcs12,
        is_named=settings.SIGNING_PKCS12_IS_NAMED,
        setting="REGISTER_SIGNING_PKCS12",
        rests_on_it=signed_so_far,
    )
    loaded = signers.SimpleSigner.load_pkcs12(path, passphrase=passphrase.encode() or None)
    if loaded is None:
        raise ImproperlyConfigured(
            f"REGISTER_SIGNING_PKCS12 is {path!r}, which cannot be opened as PKCS#12 with REGISTER_SIGNING_PASSPHRASE; "
            "expected a key with its certificate chain."
        )
    if loaded.signing_key.algorithm != "rsa":
        return loaded
    return OpenKeySigner(
        signing_key=loaded.signing_key, signing_cert=loaded.signing_cert, cert_registry=loaded.cert_registry
    )


def signed_so_far():
    """What was signed with the key of papers, in a few words, or ""."""
    count = CertificatePaper.objects.count()
    return f"papers were signed with it, {count} so far" if count else ""


def trust_roots():
    """Certificates (DER bytes) by which a signature of ours is judged: the ends of the chain in the key file."""
    known = [*signer().cert_registry, signer().signing_cert]
    return [one.dump() for one in known if one.self_signed != "no"] or [one.dump() for one in known]


def chain_pem():
    """The roots as PEM, for whoever wants a reader to know them."""
    return b"".join(pem.armor("CERTIFICATE", asn1.Certificate.load(one).dump()) for one in trust_roots())
