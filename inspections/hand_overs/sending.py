"""How the files of a hand-over are sent: one by one, or all with their list as one archive."""

import io
import logging
from functools import partial

from django.core.exceptions import ImproperlyConfigured
from django.core.files.storage import default_storage
from django.utils import timezone

from inspections.hand_overs.check_page import NAME, check_page
from inspections.hand_overs.document import hand_over_list_pdf
from sites_registry.archives import send_zip
from sites_registry.downloads import download, file_name
from sites_registry.whole_files import NotWhole
from zones.files.attachments import SHOWN_INLINE

logger = logging.getLogger(__name__)
NOT_WHOLE = (
    "'{}' was handed over, and the register's copy of it is damaged or missing, so it is not in this archive. "
    "Ask the firm to restore it from a backup."
)
NOT_SEALED = (
    "The page that checks these files could not be sealed: the key of the register's ledger is missing. Tell the firm."
)


def send_file(one):
    """A HandOverFile, as it was given. Raises NotWhole."""
    content = default_storage.read_whole(one.file.name)
    return download(content, one.media_type, one.file_name, inline=one.media_type in SHOWN_INLINE, is_uploaded=True)


def send_whole_file(hand_over):
    """All of it in one PDF, as it was kept. Raises NotWhole."""
    content = default_storage.read_whole(hand_over.whole_file.name)
    return download(content, "application/pdf", _list_name(hand_over, "hand-over file", "pdf"))


def send_archive(hand_over):
    """Everything in one archive, with the list, sent while it is made."""
    return send_zip(_entries(hand_over), _list_name(hand_over, "hand-over", "zip"))


def _list_name(hand_over, word, extension):
    day = f"{timezone.localtime(hand_over.handed_over_at):%Y-%m-%d}"
    return file_name(hand_over.building, f"{word} {hand_over.job.number}", day, extension)


def _entries(hand_over):
    """What the archive holds; a file that is not whole any more is replaced by a note that says so."""
    moment = timezone.localtime(hand_over.handed_over_at)
    listed = _list_name(hand_over, "hand-over list", "pdf")
    yield listed, moment, partial(_listed, hand_over)
    yield _check_page(hand_over, moment, beside=[listed])
    for one in hand_over.files.put_together():
        path = one.path
        try:
            content = default_storage.read_whole(one.file.name)
        except NotWhole as error:
            logger.error("Not in the archive of %s: %s", hand_over, error)
            path, content = f"{path}.NOT-WHOLE.txt", NOT_WHOLE.format(one.path).encode()
        yield path, moment, partial(io.BytesIO, content)


def _check_page(hand_over, moment, *, beside):
    try:
        return NAME, moment, partial(io.BytesIO, check_page(hand_over, beside=beside))
    except ImproperlyConfigured as error:
        logger.error("The page that checks the files of %s could not be sealed: %s", hand_over, error)
        return f"{NAME}.NOT-MADE.txt", moment, partial(io.BytesIO, NOT_SEALED.encode())


def _listed(hand_over):
    return io.BytesIO(hand_over_list_pdf(hand_over))
