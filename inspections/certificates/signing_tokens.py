"""A key that no file holds: papers are signed by a token or a hardware module (PKCS#11, OASIS), which keeps it.

python-pkcs11 is loaded only where a module is named; whoever names one installs it (DEVELOPERS.md).
"""

from functools import lru_cache

from django.core.exceptions import ImproperlyConfigured


@lru_cache(maxsize=1)
def token_signer(module, token, label, pin):
    """Who signs by the key of this label; the certificates on the token are its chain. Raises ImproperlyConfigured."""
    try:
        from pkcs11.exceptions import UserAlreadyLoggedIn
        from pyhanko.config.pkcs11 import TokenCriteria
        from pyhanko.sign.pkcs11 import PKCS11Signer, open_pkcs11_session
    except ImportError as error:
        raise ImproperlyConfigured(
            "REGISTER_SIGNING_PKCS11 is set, and python-pkcs11 is not installed; expected the version that "
            "requirements-test.txt names."
        ) from error
    try:
        try:
            session = open_pkcs11_session(module, token_criteria=TokenCriteria(label=token), user_pin=pin)
        except UserAlreadyLoggedIn:  # this process is, from a session before
            session = open_pkcs11_session(module, token_criteria=TokenCriteria(label=token))
        found = PKCS11Signer(session, cert_label=label, key_label=label, other_certs_to_pull=None)
        found.signing_cert  # noqa: B018  now, not with the first paper
    except Exception as error:  # whatever a maker's module says
        raise ImproperlyConfigured(
            f"REGISTER_SIGNING_PKCS11 is {module!r}, and no key {label!r} was found on a token {token!r} there "
            f"({type(error).__name__}: {error}); expected module, REGISTER_SIGNING_TOKEN, REGISTER_SIGNING_LABEL and "
            "the PIN in REGISTER_SIGNING_PASSPHRASE."
        ) from error
    return found
