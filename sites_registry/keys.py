"""The keys of the register: made once, in files that only this account reads, apart from what they vouch for."""

import os
from contextlib import suppress
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

KEY_MODE = 0o600


class KeyMissing(ImproperlyConfigured):
    """A key that something rests on is gone; the message names it and the remedy, for who looks after the machine."""


def key_file(path, *, make, is_named, setting, rests_on_it=lambda: ""):
    """The bytes of a key file; made where nobody named another place and nothing rests on one yet.

    A key made anew in the place of one that was used would vouch for nothing, without a word. `rests_on_it` says in a
    few words what was made with it, or "". Raises KeyMissing and ImproperlyConfigured, with what to do.
    """
    path = Path(path)
    if not path.exists():
        if rests := rests_on_it():
            raise KeyMissing(
                f"{setting} is {str(path)!r}, where no file is, and {rests}. Put the key back from where its copy is "
                "kept; if it is lost for good, manage.py make_keys --anew."
            )
        if is_named:
            raise ImproperlyConfigured(
                f"{setting} is {str(path)!r}, where no file is; expected the key file that was made at set-up "
                f"(manage.py make_keys)."
            )
        write_key(path, make())
    try:
        return path.read_bytes()
    except OSError as error:
        raise ImproperlyConfigured(
            f"{setting} is {str(path)!r} and cannot be read ({error.strerror}); expected a key file of this account."
        ) from error


def write_key(path, content):
    """Write a key whole, for this account alone; one that another process made meanwhile stays."""
    path = Path(path)
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    part = path.with_name(f".{path.name}.{os.getpid()}")
    descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, KEY_MODE)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):
            os.link(part, path)
    finally:
        part.unlink()
