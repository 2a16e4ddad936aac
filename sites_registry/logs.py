"""The log: a JSON line for each request and each failure, in a file for each day, findable by its identifier.

No line holds a password, a cookie or a link that lets somebody in: what is written goes through `redacted` first.
"""

import json
import logging
import os
import re
import secrets
import traceback
from contextvars import ContextVar
from datetime import UTC, datetime, timedelta
from pathlib import Path

from django.conf import settings

# No I, L, O or U: read out over a telephone, each is taken for another sign or makes a word.
SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
IDENTIFIER = re.compile(rf"[{SIGNS}]{{4}}-[{SIGNS}]{{4}}")
KEPT_DAYS = 90
MOST_BYTES_OF_REQUESTS = 64 * 1024 * 1024  # of one day; beyond, only failures are written, up to the double
LEFT_OUT = "…"
SECRET_PARTS = (
    # links that let somebody in, and the address of a public check
    re.compile(r"(/invitation/)([\w-]+)"),
    re.compile(r"(/password/new/)([\w-]+(?:/[\w-]+)?)"),
    re.compile(r"(/c/)([\w-]+)"),
    re.compile(r"(/read/)([\w-]+)"),
    re.compile(r"(/calendar/)([\w-]+)(?=/register\.ics)"),
    # what stands in forms, cookies, addresses and settings under such a name
    re.compile(
        r"(?i)((?:password\d?|passphrase|secret_?key|\w*token|sessionid|csrf\w*|authorization|cookie)['\"]?\s*[=:]\s*)"
        r"('[^']*'|\"[^\"]*\"|(?:bearer|basic)\s+\S+|[^\s,;&'\"]+)"
    ),
    re.compile(r"(://[^/\s:@]*:)([^/\s@]+)(?=@)"),
)
OF_THIS_REQUEST = ContextVar("identifier of the request under way", default="")


def new_identifier():
    """Forty random bits as "F7K2-9QXM": what a person is shown of a failure, and its lines in the log carry."""
    signs = "".join(secrets.choice(SIGNS) for _ in range(8))
    return f"{signs[:4]}-{signs[4:]}"


def redacted(text):
    """A text without what would let its reader in."""
    for secret in SECRET_PARTS:
        text = secret.sub(rf"\1{LEFT_OUT}", text)
    return text


class Readable(logging.Formatter):
    """For a person at a console."""

    def format(self, record):
        return redacted(super().format(record))


class JsonLine(logging.Formatter):
    """For files and programs: one object on one line."""

    def format(self, record):
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "from": record.name,
            "says": redacted(record.getMessage()),
        }
        if identifier := OF_THIS_REQUEST.get():
            line["identifier"] = identifier
        line |= getattr(record, "facts", {})
        if record.exc_info and record.exc_info[0]:
            line["trace"] = redacted("".join(traceback.format_exception(*record.exc_info)))
        return json.dumps(line, ensure_ascii=False)


class DayFiles(logging.Handler):
    """A file for each day (UTC) in `settings.LOG_DIR`; the oldest go. Several processes may write at once.

    A line is one write to a file that is only added to, and no file is ever renamed: so none of them loses a line, as
    they would where each moves a full file away.
    """

    def __init__(self):
        super().__init__()
        self.path, self.descriptor = None, None

    def emit(self, record):
        try:
            line = f"{self.format(record)}\n".encode()
            descriptor = self._file_of_today()
            limit = MOST_BYTES_OF_REQUESTS * (2 if record.levelno > logging.INFO else 1)
            if os.fstat(descriptor).st_size < limit:
                os.write(descriptor, line)
        except OSError:
            # A full disk must not turn a page that can be read into a failure; the console has the line too.
            self.close()

    def close(self):
        if self.descriptor is not None:
            os.close(self.descriptor)
        self.path, self.descriptor = None, None
        super().close()

    def _file_of_today(self):
        path = Path(settings.LOG_DIR) / f"register-{datetime.now(UTC):%Y-%m-%d}.jsonl"
        if path != self.path:
            self.close()
            path.parent.mkdir(parents=True, exist_ok=True)
            self.descriptor = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o640)
            self.path = path
            _remove_before(datetime.now(UTC) - timedelta(days=KEPT_DAYS))
        return self.descriptor


def _remove_before(moment):
    for path in log_files():
        if path.name < f"register-{moment:%Y-%m-%d}":
            path.unlink(missing_ok=True)


def log_files():
    """The files of the log, the oldest first."""
    return sorted(Path(settings.LOG_DIR).glob("register-????-??-??.jsonl"))


def lines_of(identifier):
    """What the log has under an identifier, as objects, in their order."""
    for path in log_files():
        with path.open(encoding="utf-8", errors="replace") as file:
            for line in file:
                if identifier in line and (found := _read(line)) and found.get("identifier") == identifier:
                    yield found


def newest_failure(since):
    """The newest line since a moment that tells a failure, as an object, or None."""
    found = None
    for path in log_files():
        if path.name < f"register-{since:%Y-%m-%d}":
            continue
        with path.open(encoding="utf-8", errors="replace") as file:
            lines = (_read(line) for line in file if '"level": "ERROR"' in line)
            for line in filter(None, lines):
                found = line if line["at"] >= since.isoformat() else found
    return found


def _read(line):
    try:
        return json.loads(line)
    except ValueError:  # half a line, of a disk that was full
        return None
