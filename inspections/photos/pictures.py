"""The picture of a photograph: read within limits, turned upright, written anew so that nothing rides along in it."""

import io
import math
import warnings
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from django.utils import timezone
from PIL import ExifTags, Image, ImageDraw, ImageOps

from sites_registry.services.refusals import Refused
from zones.files.file_types import NAMES, type_of

LONGEST_SIDE_PX = 1600
SMALL_SIDE_PX = 480
MOST_PIXELS = 60_000_000  # a camera's; far below what would fill the memory of a small server
QUALITY = 85
FORMS = {"jpeg": "JPEG", "png": "PNG", "webp": "WEBP"}
INK, EDGE = "#d4351c", "#ffffff"  # seen on dark and on light


class PictureRefused(Refused):
    """The picture is not kept."""


@dataclass(frozen=True, slots=True)
class Picture:
    """The same photograph three times, each a JPEG: as taken, with its marks, and small with its marks."""

    plain: bytes
    shown: bytes
    small: bytes
    width_px: int
    height_px: int
    camera_at: datetime | None = None

    @property
    def sha256(self):
        return sha256(self.plain).hexdigest()


def picture_of(content, *, forms=("jpeg", "png", "webp"), marks=()):
    """The picture of these bytes; `marks` are {kind, from: [x, y], to: [x, y]} in parts of width and height.

    Raises PictureRefused.
    """
    found = type_of(content)
    if found not in forms:
        words = " or ".join(FORMS[form] for form in forms)
        raise PictureRefused(f"The photograph is {NAMES[found]} by its content. Choose {words}.", field="file")
    plain, camera_at = _read(content, FORMS[found])
    shown = _marked(plain, marks) if marks else plain
    small = shown.copy()
    small.thumbnail((SMALL_SIDE_PX, SMALL_SIDE_PX))
    written = _written(plain)
    return Picture(written, _written(shown) if marks else written, _written(small), *plain.size, camera_at)


def _read(content, form):
    damaged = PictureRefused(
        "The photograph cannot be read: it is damaged or far too large. Take it again, or save it smaller.",
        field="file",
    )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(content), formats=[form]) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    raise damaged
                camera_at = _camera_time(picture)
                picture.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))  # a JPEG is not even read larger
                return ImageOps.exif_transpose(picture).convert("RGB"), camera_at
    except PictureRefused:
        raise
    except Exception as error:  # the library raises many kinds for a damaged picture
        raise damaged from error


def _camera_time(picture):
    """When it was taken by the camera's own words, which know no time zone: there where the register is."""
    text = picture.getexif().get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.DateTimeOriginal)
    try:
        return datetime.strptime(str(text), "%Y:%m:%d %H:%M:%S").replace(tzinfo=timezone.get_current_timezone())
    except ValueError:
        return None


def _written(picture):
    """Without what came with it: no place, no maker, no time, no comment."""
    file = io.BytesIO()
    bare = Image.new("RGB", picture.size)
    bare.paste(picture)
    bare.save(file, "JPEG", quality=QUALITY, optimize=True)
    return file.getvalue()


def _marked(picture, marks):
    marked = picture.copy()
    draw = ImageDraw.Draw(marked)
    line = max(3, round(max(marked.size) / 130))
    for colour, width in ((EDGE, line + 4), (INK, line)):
        for mark in marks:
            start, end = (_at(point, marked.size) for point in (mark["from"], mark["to"]))
            DRAWN[mark["kind"]](draw, start, end, colour, width)
    return marked


def _at(point, size):
    return point[0] * size[0], point[1] * size[1]


def _circle(draw, start, end, colour, width):
    """An ellipse between two corners."""
    box = [*map(min, zip(start, end, strict=True)), *map(max, zip(start, end, strict=True))]
    draw.ellipse(box, outline=colour, width=width)


def _arrow(draw, start, end, colour, width):
    """It points to where the finger was lifted; the head is a fifth of its length."""
    back = math.atan2(start[1] - end[1], start[0] - end[0])
    length = max(math.dist(start, end) / 5, width * 4)
    draw.line([start, end], fill=colour, width=width)
    for turn in (math.pi / 7, -math.pi / 7):
        tip = end[0] + length * math.cos(back + turn), end[1] + length * math.sin(back + turn)
        draw.line([end, tip], fill=colour, width=width)


DRAWN = {"arrow": _arrow, "circle": _circle}
