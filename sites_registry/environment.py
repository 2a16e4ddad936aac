"""Settings from the environment, each with a type; a bad value stops the start with one sentence."""

import re
import sys
from pathlib import Path

import environ
from django.core.exceptions import ImproperlyConfigured

env = environ.Env()
_MISSING = object()
DATABASES_TESTED = {"django.db.backends.sqlite3", "django.db.backends.postgresql"}


def read(name, kind, expected, default=_MISSING):
    """Return the environment variable `name` as `kind` ("str", "bool", "list", "db", "email").

    Raises ImproperlyConfigured naming the variable, its value and what is expected.
    """
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


def secret_key(debug, command=None):
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


def folder(path):
    """Make and return a folder that only this account reads."""
    path = Path(path)
    try:
        path.mkdir(parents=True, exist_ok=True, mode=0o750)
    except OSError as error:
        raise ImproperlyConfigured(
            f"REGISTER_DATA_DIR is {str(path)!r} and cannot be made ({error.strerror}); expected a writable folder."
        ) from error
    return path
