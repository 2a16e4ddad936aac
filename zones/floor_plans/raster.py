"""Makes the picture of a plan, in a process of its own: an upload may be made to exhaust or to break what reads it.

Run as a program (`rasterising.py` does): kind and page as arguments, the file on standard input; a line of JSON and
then the picture on standard output. It imports nothing of the register.
"""

import io
import json
import resource
import sys
import warnings

from PIL import Image, ImageChops, ImageOps

LONGEST_SIDE_PX = 5000
FINEST_DPI = 200
MOST_PAGES = 500
# A line drawing is small without any loss; a scanned or coloured one is not, and a phone takes it along.
MOST_BYTES_WITHOUT_LOSS = 4_000_000
MEMORY_BYTES = 2 * 1024**3
CPU_S = 30
FORMS = {"png": "PNG", "jpeg": "JPEG", "webp": "WEBP"}


class Refused(Exception):
    """The file gives no picture; the message is a key of REASONS in rasterising.py."""

    def __init__(self, reason, **more):
        super().__init__(reason)
        self.told = {"refused": reason, **more}


def limit():
    """Before the first byte is read. Nothing is written to disk, no further process is started."""
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def of_pdf(content, page):
    """The page as a picture with the number of pages. Its crop box, upright, on white."""
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(content)
    except pypdfium2.PdfiumError as error:
        raise Refused("password" if "password" in str(error).lower() else "damaged") from error
    pages = len(document)
    if not 0 < pages <= MOST_PAGES:
        raise Refused("pages", pages=pages)
    if page is None and pages > 1:
        raise Refused("which_page", pages=pages)
    if (page or 1) > pages:
        raise Refused("no_such_page", pages=pages)
    sheet = document[(page or 1) - 1]
    width, height = sheet.get_size()  # points, after turning
    if min(width, height) < 1:
        raise Refused("damaged")
    scale = min(LONGEST_SIDE_PX / max(width, height), FINEST_DPI / 72)
    return sheet.render(scale=scale, may_draw_forms=False).to_pil().convert("RGB"), pages


def of_picture(content, form):
    warnings.simplefilter("error", Image.DecompressionBombWarning)
    try:
        opened = Image.open(io.BytesIO(content), formats=[FORMS[form]])
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise Refused("pixels", most=Image.MAX_IMAGE_PIXELS // 1_000_000) from error
    with opened as picture:
        picture.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        upright = ImageOps.exif_transpose(picture)
        upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        return on_white(upright)


def on_white(picture):
    if not picture.has_transparency_data:
        return picture.convert("RGB")
    seen = picture.convert("RGBA")
    white = Image.new("RGB", picture.size, "white")
    white.paste(seen, mask=seen.getchannel("A"))
    return white


def is_grey(picture):
    """Whether it is without colour: a third of the bytes then says the same."""
    red, green, blue = picture.split()
    return not any(ImageChops.difference(red, other).getbbox() for other in (green, blue))


def written(picture):
    """The bytes, and their kind: without loss where that is small enough."""
    file = io.BytesIO()
    bare = Image.new("L" if is_grey(picture) else "RGB", picture.size)  # nothing that came with it
    bare.paste(picture.convert(bare.mode))
    bare.save(file, "PNG")
    if file.tell() <= MOST_BYTES_WITHOUT_LOSS:
        return file.getvalue(), "image/png"
    file = io.BytesIO()
    bare.save(file, "WEBP", quality=80)
    return file.getvalue(), "image/webp"


def main(kind, page):
    content = sys.stdin.buffer.read()
    picture, pages = of_pdf(content, page) if kind == "pdf" else (of_picture(content, kind), None)
    picture_bytes, media_type = written(picture)
    told = {"width_px": picture.width, "height_px": picture.height, "pages": pages, "media_type": media_type}
    return told, picture_bytes


if __name__ == "__main__":
    limit()
    try:
        told, picture = main(sys.argv[1], int(sys.argv[2]) or None)
    except Refused as refusal:
        told, picture = refusal.told, b""
    except ImportError:  # a fault of the installation, not of the file
        raise
    except MemoryError:
        told, picture = {"refused": "too_much"}, b""
    except Exception:  # the libraries raise many kinds for a damaged file
        told, picture = {"refused": "damaged"}, b""
    sys.stdout.buffer.write(json.dumps(told).encode() + b"\n" + picture)
