"""A ZIP archive as a stream: sent while it is made, never whole in memory or on disk."""

import io
import zipfile

from django.http import StreamingHttpResponse
from django.utils.http import content_disposition_header

CHUNK = 64 * 1024


class _Outlet(io.RawIOBase):
    """What the archive writes into; it cannot be read or gone back in."""

    def __init__(self):
        super().__init__()
        self.waiting = bytearray()

    def writable(self):
        return True

    def write(self, content):
        self.waiting += content
        return len(content)

    def take(self):
        content, self.waiting = bytes(self.waiting), bytearray()
        return content


def zip_stream(entries):
    """The bytes of an archive, piece by piece.

    Args:     entries: (path in the archive, aware datetime, opens the file: a call that returns a file to read), …
    """
    outlet = _Outlet()
    with zipfile.ZipFile(outlet, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, moment, open_file in entries:
            info = zipfile.ZipInfo(path, moment.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            with open_file() as source, archive.open(info, "w") as target:
                while piece := source.read(CHUNK):
                    target.write(piece)
                    if len(outlet.waiting) >= CHUNK:
                        yield outlet.take()
    yield outlet.take()


def send_zip(entries, name):
    """A response that the browser saves under this name; `entries` as for `zip_stream`."""
    response = StreamingHttpResponse(zip_stream(entries), content_type="application/zip")
    response["Content-Disposition"] = content_disposition_header(True, name)
    response["Cache-Control"] = "private, no-store"
    return response
