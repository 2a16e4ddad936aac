"""Settings from the environment, each with a type; a bad value stops the start with one sentence."""

import difflib
import re
import sys
from email.utils import parseaddr
from urllib.parse import urlsplit

import environ
from django.core.exceptions import ImproperlyConfigured, ValidationError
from django.core.validators import validate_email
from django.http.request import split_domain_port, validate_host

env = environ.Env()
_MISSING = object()
_asked_for = set()
DATABASES_TESTED = {"django.db.backends.sqlite3", "django.db.backends.postgresql"}


def read(name, kind, expected, default=_MISSING):
    """Return the environment variable `name` as `kind` ("str", "bool", "list", "db", "email").

    Raises ImproperlyConfigured naming the variable, its value and what is expected.
    """
    _asked_for.add(name)
    reader = {"str": env.str, "bool": env.bool, "list": env.list, "db": env.db_url, "email": env.email_url}[kind]
    if name not in env.ENVIRON:
        if default is _MISSING:
            raise ImproperlyConfigured(f"{name} is not set; expected {expected}.")
        return default
    value = env.ENVIRON[name]
    complaint = f"{name} is {_without_password(value)!r}; expected {expected}."
    if kind == "bool" and value.lower() not in {"1", "0", "true", "false", "yes", "no", "on", "off"}:
        raise ImproperlyConfigured(complaint)
    try:
        found = reader(name)
    except (ValueError, KeyError, ImproperlyConfigured) as error:
        raise ImproperlyConfigured(complaint) from error
    if kind == "db" and found.get("ENGINE") not in DATABASES_TESTED:  # the reader takes any scheme
        raise ImproperlyConfigured(complaint)
    return found


def _without_password(address):
    """An address as it may stand in a log: postgres://user:…@host/name."""
    return re.sub(r"(://[^:/@]*):[^@]*@", r"\1:…@", address)


def secret_key(debug):
    """The signing key: from the environment; in debug mode, and for tests, a fixed and useless one."""
    key = read("REGISTER_SECRET_KEY", "str", "a random text of 50 characters or more", default="")
    if key:
        if not debug and len(key) < 50:
            raise ImproperlyConfigured(
                f"REGISTER_SECRET_KEY has {len(key)} characters; expected a random text of 50 characters or more."
            )
        return key
    if debug or "pytest" in sys.modules:
        return "not-secret-for-development-only-" + "0" * 40
    raise ImproperlyConfigured(
        "REGISTER_SECRET_KEY is not set; expected a random text of 50 characters or more "
        "(`make serve` makes one), or REGISTER_DEBUG=1 for a trial on this machine."
    )


PUBLIC_ADDRESS = "the address people reach, such as https://register.example"


def public_url(*, debug, behind_tls):
    """The address that people reach, for mails, labels and certificates: the one that is set, else the one served.

    Never a guess: a printed code with the wrong address stays wrong for as long as it hangs on the panel.
    """
    address = read("REGISTER_PUBLIC_URL", "str", PUBLIC_ADDRESS, default="")
    served = read("REGISTER_BIND", "str", "the HOST:PORT that is served on this machine", default="")
    if not address:
        return _served_address(served, debug=debug, behind_tls=behind_tls)
    if not _is_origin(address.rstrip("/")):
        raise ImproperlyConfigured(f"REGISTER_PUBLIC_URL is {address!r}; expected {PUBLIC_ADDRESS}, without a path.")
    if behind_tls and not address.startswith("https://"):
        raise ImproperlyConfigured(
            f"REGISTER_BEHIND_TLS is 1, but REGISTER_PUBLIC_URL is {address!r}; expected an address with https://."
        )
    return address.rstrip("/")


def _served_address(served, *, debug, behind_tls):
    """The address of what is served on this machine, when it is one that a link can lead to."""
    if behind_tls:
        reason = "although REGISTER_BEHIND_TLS is 1"
    elif not served:
        if debug or "pytest" in sys.modules:
            return "http://127.0.0.1:8000"
        reason = "and nothing says where the register is served"
    elif split_domain_port(served)[0] in {"", "0.0.0.0", "[::]"}:  # noqa: S104 -- compared, not bound
        reason = f"and {served} is no address that a link can lead to"
    else:
        return f"http://{served}"
    raise ImproperlyConfigured(
        f"REGISTER_PUBLIC_URL is not set, {reason}; expected {PUBLIC_ADDRESS}. Mails, labels and certificates carry it."
    )


def _is_origin(address):
    """Whether this is scheme and host, perhaps a port, and nothing else."""
    try:
        parts = urlsplit(address)
        parts.port  # noqa: B018 -- raises for a port that is none
    except ValueError:
        return False
    return (
        parts.scheme in {"http", "https"}
        and address == f"{parts.scheme}://{parts.netloc}"
        and _is_host(split_domain_port(parts.netloc)[0])
    )


def _is_host(name):
    return bool(re.fullmatch(r"\[[0-9a-f:.]+\]|[a-z0-9_-]+(\.[a-z0-9_-]+)*", name, re.IGNORECASE))


def hosts(address):
    """The host names under which the register answers; without a setting, this machine and the public address."""
    expected = "host names separated by commas, such as register.example, without https:// and without a port"
    host = split_domain_port(urlsplit(address).netloc)[0]
    named = read("REGISTER_ALLOWED_HOSTS", "list", expected, default=None)
    if named is None:
        return list(dict.fromkeys(["localhost", "127.0.0.1", host]))
    named = [name.strip() for name in named]
    for name in named or [""]:
        if name != "*" and not _is_host(name.removeprefix(".")):
            raise ImproperlyConfigured(f"REGISTER_ALLOWED_HOSTS names {name!r}; expected {expected}.")
    if not validate_host(host, named):
        raise ImproperlyConfigured(
            f"REGISTER_ALLOWED_HOSTS is {', '.join(named)!r}, without the host of the address that links lead to, "
            f"{address}; expected it to name {host!r}, or REGISTER_PUBLIC_URL another address."
        )
    return named


def trusted_origins(address):
    """Where forms may come from; without a setting, the public address."""
    expected = "origins separated by commas, such as https://register.example"
    named = [name.strip() for name in read("REGISTER_CSRF_TRUSTED_ORIGINS", "list", expected, default=[address])]
    for name in named:
        if not _is_origin(name.replace("://*.", "://", 1)):
            raise ImproperlyConfigured(f"REGISTER_CSRF_TRUSTED_ORIGINS names {name!r}; expected {expected}.")
    return named


def sender():
    """Who mails come from."""
    expected = "a sender address, such as register@firm.example or 'The firm <register@firm.example>'"
    value = read("REGISTER_FROM_EMAIL", "str", expected, default="register@localhost")
    try:
        validate_email(parseaddr(value)[1])
    except ValidationError as error:
        raise ImproperlyConfigured(f"REGISTER_FROM_EMAIL is {value!r}; expected {expected}.") from error
    return value


def refuse_unknown_names():
    """A misspelt setting would leave its default in force without a word. Called when every setting has been read."""
    for name in sorted(env.ENVIRON):
        if name.upper().startswith("REGISTER_") and name not in _asked_for:
            near = difflib.get_close_matches(name.upper(), sorted(_asked_for), n=1)
            remedy = f"did you mean {near[0]}?" if near else f"there are {', '.join(sorted(_asked_for))}."
            raise ImproperlyConfigured(f"{name} is set, but the register has no such setting; {remedy}")


def not_set():
    """The names of settings that were left at their defaults."""
    return sorted(name for name in _asked_for if not env.ENVIRON.get(name))
