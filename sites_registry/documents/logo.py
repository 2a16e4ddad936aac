"""The firm's logo, as the title block of every paper shows it.

A file is kept by its digest and never goes: a paper that is frozen names the one that it was issued with.
"""

import hashlib
import io
import logging
import warnings

from django.core.files.storage import default_storage
from PIL import Image

from sites_registry.services.refusals import Refused
from sites_registry.whole_files import NotWhole

logger = logging.getLogger(__name__)

LARGEST_PX = (1200, 480)  # of a space of 20 by 7 mm, so that no printer shows steps
MOST_PIXELS = 40_000_000
MOST_MB = 5


class LogoRefused(Refused):
    """The file is no logo that a paper can show; the message is for the user."""


def keep_logo(content):
    """Keep a picture (PNG or JPEG bytes), flat on white and without what came with it; returns the name of the file."""
    if len(content) > MOST_MB * 1_000_000:
        raise LogoRefused(f"The logo has {len(content) / 1e6:.1f} MB; {MOST_MB} MB at most. Save it smaller.")
    file = io.BytesIO()
    _flat(content).save(file, "PNG", optimize=True)
    written = file.getvalue()
    return default_storage.keep(f"firm/{hashlib.sha256(written).hexdigest()}.png", written)


def _flat(content):
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(content), formats=["PNG", "JPEG"]) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    raise ValueError("too many pixels")
                picture = picture.convert("RGBA")
    except Exception as error:  # the library raises many kinds for what is no picture
        raise LogoRefused("The logo cannot be read. Choose a PNG or JPEG file, at most 40 million pixels.") from error
    flat = Image.new("RGB", picture.size, "white")
    flat.paste(picture, mask=picture)
    flat.thumbnail(LARGEST_PX)
    return flat


def logo_of(firm):
    """The PNG bytes, or None: a firm without one, or one whose file is not whole, which the log then tells."""
    if not firm.logo:
        return None
    try:
        return default_storage.read_whole(firm.logo)
    except NotWhole as error:
        logger.error("A paper is set without the firm's logo: %s", error)
        return None
