"""The seal of the ledger: Ed25519 (RFC 8032) over the digest of an entry, with a key that lies apart from the data."""

from functools import lru_cache

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from inspections.models import LedgerEntry
from sites_registry.keys import key_file
from sites_registry.words import counted


def new_key():
    """A new private key as PEM bytes."""
    return Ed25519PrivateKey.generate().private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def seal_of(digest):
    """(seal, public key) of a digest, all of them hexadecimal texts."""
    key = _key(str(settings.LEDGER_KEY))
    return key.sign(bytes.fromhex(digest)).hex(), _public(key)


def is_sealed(digest, seal, public_key):
    """Whether this seal was made of this digest by the holder of the key; False for what is no seal or no key."""
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(public_key)).verify(bytes.fromhex(seal), bytes.fromhex(digest))
    except (InvalidSignature, ValueError):
        return False
    return True


def keys_of_the_register():
    """The public keys by which the ledger may be sealed: that of today, and those that were used before it."""
    return {_public(_key(str(settings.LEDGER_KEY))), *settings.LEDGER_FORMER_KEYS}


def sealed_so_far():
    """What was sealed with the key of the ledger, in a few words, or ""."""
    count = LedgerEntry.objects.count()
    return f"the ledger of {counted(count, 'entries')} is sealed with it" if count else ""


def former_keys():
    """The public keys by which the entries are sealed, for REGISTER_LEDGER_FORMER_KEYS once the key is another."""
    return sorted(set(LedgerEntry.objects.order_by().values_list("public_key", flat=True)))


def _public(key):
    return key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw).hex()


@lru_cache(maxsize=4)
def _key(path):
    pem = key_file(
        path,
        make=new_key,
        is_named=settings.LEDGER_KEY_IS_NAMED,
        setting="REGISTER_LEDGER_KEY",
        rests_on_it=sealed_so_far,
    )
    try:
        key = load_pem_private_key(pem, None)
    except (ValueError, TypeError) as error:
        raise ImproperlyConfigured(
            f"REGISTER_LEDGER_KEY is {path!r}, which holds no key without a passphrase."
        ) from error
    if not isinstance(key, Ed25519PrivateKey):
        raise ImproperlyConfigured(f"REGISTER_LEDGER_KEY is {path!r}, which holds no Ed25519 key; manage.py make_keys.")
    return key
