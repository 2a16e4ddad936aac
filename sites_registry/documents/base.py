"""Paper: an HTML template with print CSS becomes a tagged PDF/A-3a with a title block (ISO 7200) on every sheet.

Rendering reads nothing but what it is given and our static files: no network, no other file. The same statement gives
the same bytes on the same machine (another release of the text-layout library may give others), so compare text and
structure, not bytes.
"""

import mimetypes
import re
import threading
from dataclasses import dataclass, field
from datetime import date, datetime

from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string
from django.utils import timezone
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from sites_registry.documents.white_space import without_edges
from sites_registry.models import Firm

STATIC = "static:"
PICTURE = "picture:"

# Per thread: the text-layout library under it is not made to be shared between threads.
_kept = threading.local()


@dataclass(frozen=True, kw_only=True)
class TitleBlock:
    """What the title block of every sheet states; the fields are those of ISO 7200.

    `revision` says which state of the record the sheet shows; `address` is where the current state stands; `owner` is
    the firm as it is now unless given: a frozen document gives the name that it was issued under. `stamp` stands above
    the title block of every sheet, such as that the record is incomplete.
    """

    title: str
    number: str
    building: str
    client: str
    issued_on: date
    subtitle: str = ""
    revision: str = ""
    prepared_by: str = ""
    issued_by: str = ""
    address: str = ""
    landscape: bool = False
    stamp: str = ""
    owner: str = field(default_factory=lambda: Firm.current().name)

    @classmethod
    def as_of(cls, now, building, *, prepared_by, address, **fields):
        """That of a paper which shows records of a building as they stand `now`, at an address of the register."""
        local = timezone.localtime(now)
        return cls(
            building=building.name,
            client=building.client.name,
            issued_on=local.date(),
            revision=f"as of {local:%-d %b %Y, %H:%M}",
            prepared_by=prepared_by.full_name,
            address=settings.PUBLIC_URL + address,
            **fields,
        )


class SheetFetcher(URLFetcher):
    """Serves `static:<path>` from our static files and `picture:<name>` from what the caller gave; nothing else."""

    def __init__(self, pictures=None):
        super().__init__(allowed_protocols=("static", "picture"))
        self.pictures = pictures or {}

    def fetch(self, url, headers=None):
        if url.startswith(STATIC):
            return self._static(url)
        if url.startswith(PICTURE) and (content := self.pictures.get(url.removeprefix(PICTURE))) is not None:
            return URLFetcherResponse(url, content)
        # Fatal: a sheet with a hole in it must not be handed out.
        raise FatalURLFetchingError(f"A document asked for {url[:120]}, which is neither a static file nor a picture.")

    def _static(self, url):
        try:
            path = finders.find(url.removeprefix(STATIC))
        except SuspiciousFileOperation:  # a way out of the static files
            path = None
        if not path:
            raise FatalURLFetchingError(f"A document asked for {url[:120]}, which is not among the static files.")
        with open(path, "rb") as file:
            return URLFetcherResponse(url, file.read(), {"Content-Type": mimetypes.guess_type(path)[0] or ""})


_TAGS = re.compile(r"(<[^>]*>)")
_BEFORE_A_UNIT = re.compile(
    r"(?<=\d)(?: |\n +)(?=(?:[kMm]?Ω|m?V|m?A|Ah|W|mm²|m²|mm|cm|m|s|min|h|Hz|%|°C|K|N|kN|years?|months?|days?)(?!\w))"
)


def with_units_kept(html):
    """The same HTML with no blank left at which a number could part from its unit at the end of a line."""
    parts = _TAGS.split(html)
    parts[::2] = [_BEFORE_A_UNIT.sub("\N{NO-BREAK SPACE}", text) for text in parts[::2]]
    return "".join(parts)


def render_pdf(
    template_name, context, *, title_block, created_at=None, pictures=None, attachments=None, pictures_dpi=150
):
    """Render a template that extends documents/base_document.html to the bytes of a tagged PDF/A-3a.

    Args:     title_block: a TitleBlock; created_at: aware datetime for the file's metadata, default midnight of
              `issued_on`; pictures: name → bytes of PNG or JPEG, shown by `<img src="picture:name" alt="…">`;
              attachments: list of weasyprint.Attachment (each used once); pictures_dpi: no picture is finer.
    Raises:   FatalURLFetchingError: the template names a resource that may not be read.
    """
    created_at = created_at or datetime.combine(title_block.issued_on, datetime.min.time()).astimezone()
    html = render_to_string(template_name, {**context, "sheet": title_block, "created_at": created_at})
    identifier = f"{title_block.number} {created_at.isoformat()}"
    return render_plain_pdf(
        html, identifier=identifier, pictures=pictures, attachments=attachments, pictures_dpi=pictures_dpi
    )


def render_plain_pdf(html, *, identifier, pictures=None, attachments=None, pictures_dpi=150):
    """The bytes of a tagged PDF/A-3a of a whole HTML text with our print CSS, without a title block of its own."""
    css, fonts = _css_and_fonts()
    return HTML(
        string=with_units_kept(without_edges(html)), base_url="static:", url_fetcher=SheetFetcher(pictures)
    ).write_pdf(
        stylesheets=[css],
        font_config=fonts,
        pdf_variant="pdf/a-3a",
        pdf_tags=True,
        pdf_identifier=identifier.encode(),
        attachments=attachments,
        optimize_images=bool(pictures),
        jpeg_quality=70 if pictures else None,
        dpi=pictures_dpi if pictures else None,
    )


def _css_and_fonts():
    """The print CSS with its fonts, read once per thread: unpacking the fonts takes longer than a one-page document."""
    if not hasattr(_kept, "css"):
        fonts = FontConfiguration()
        text = render_to_string("documents/print.css")
        _kept.css = CSS(string=text, base_url="static:", url_fetcher=SheetFetcher(), font_config=fonts)
        _kept.fonts = fonts
    return _kept.css, _kept.fonts
