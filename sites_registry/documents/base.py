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
from functools import cached_property

from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format
from PIL import ImageFile
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from sites_registry.documents.logo import logo_of
from sites_registry.documents.measures import MEASURES, as_css
from sites_registry.documents.white_space import without_edges
from sites_registry.models import Firm

# The engine lets the whole process take half a picture for a whole one: a photograph cut off on its way would be kept.
ImageFile.LOAD_TRUNCATED_IMAGES = False

STATIC = "static:"
PICTURE = "picture:"
LOGO = "firm-logo.png"

# Per thread: the text-layout library under it is not made to be shared between threads.
_kept = threading.local()


NOTE = (
    "The register supports a competent person and never signs for one; local codes, makers' instructions and licensed "
    "practice prevail."
)
# Letters that fit a cell in its usual size; what is longer is set smaller.
FITS_A_NAME, FITS_A_CLIENT, FITS_A_NUMBER, FITS_AN_UPRIGHT_REVISION = 38, 26, 28, 15
FITS_BESIDE_DRAWN, LONGEST_BESIDE_DRAWN = 18, 60


@dataclass(frozen=True)
class Cell:
    """A cell of the title block: `look` is "" · strong · long; `light` follows the value in a light weight."""

    key: str
    span: int
    label: str
    value: str
    look: str = ""
    light: str = ""
    is_code: bool = False


@dataclass(frozen=True)
class RevisionRow:
    """A line of the revision index: `number` of the revision, or "now" for what differs from the last one."""

    number: str
    day: str
    by: str
    words: str


@dataclass(frozen=True)
class Revisions:
    """Which as-installed revision what a paper shows still equals, who drew, checked and approved it, and the index.

    The index begins with the newest; `older` says how many revisions are not in it.
    """

    as_installed: str
    drawn: str = "–"
    checked: str = "not checked"
    approved: str = "not approved"
    rows: tuple[RevisionRow, ...] = ()
    older: int = 0


@dataclass(frozen=True, kw_only=True)
class TitleBlock:
    """What the title block of every sheet states; the fields are those of ISO 7200.

    `revision` says which state of the record the sheet shows; `address` is where the current state stands; `firm` is
    the firm as it is now unless given: a frozen document gives the name and logo that it was issued under. `stamp`
    stands above the title block of every sheet, such as that the record is incomplete. `revisions` are given for what
    shows the record of a building as installed.
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
    revisions: Revisions | None = None
    firm: Firm = field(default_factory=Firm.current)

    @property
    def owner(self):
        return self.firm.name

    @cached_property
    def logo(self):
        """PNG bytes, or None."""
        return logo_of(self.firm)

    @property
    def side(self):
        """How the sheet lies, by which its sizes are found in MEASURES."""
        return "landscape" if self.landscape else "portrait"

    @property
    def columns(self):
        """The widths of the grid's columns, in parts of the whole."""
        return MEASURES[self.side]["drawn_columns" if self.revisions else "block_columns"]

    @property
    def cells(self):
        """The cells in the order in which they stand; the engine fills in the number of the sheet."""
        found = self._drawn() if self.revisions else self._issued()
        spans = MEASURES[self.side]["drawn_cells" if self.revisions else "block_cells"]
        return [Cell(key, span, *found[key]) for key, span in spans]

    def _issued(self):
        people = f"{self.prepared_by or '–'}{f' / {self.issued_by}' if self.issued_by else ''}"
        prepared = "Tests recorded by / issued by" if self.issued_by else "Prepared by"
        return {
            "owner": ("Issued by", self.owner),
            "name": ("Title", self.title, "strong", f" · {self.subtitle}" if self.subtitle else ""),
            "page": ("Sheet", ""),
            "building": ("Building", self.building, _long(self.building, FITS_A_NAME)),
            "client": ("Client", self.client, _long(self.client, FITS_A_CLIENT if self.landscape else FITS_A_NAME)),
            "ident": ("Document number", self.number, _long(self.number, FITS_A_NUMBER), "", True),
            "prepared": (prepared, people),
            "date": ("Date of issue", date_format(self.issued_on, "j M Y")),
            "revision": (
                "Revision",
                self.revision or "–",
                "" if self.landscape else _long(self.revision, FITS_AN_UPRIGHT_REVISION),
            ),
        }

    def _drawn(self):
        """Of a paper that shows the record as installed: more cells, and the day of issue in one of them."""
        beside = {
            "prepared": ("Prepared by", self.prepared_by or "–"),
            "revision": ("Date of issue, record", self.revision),
            "as_installed": ("As installed", self.revisions.as_installed),
            "drawn": ("Drawn", self.revisions.drawn),
            "checked": ("Checked", self.revisions.checked),
            "approved": ("Approved", self.revisions.approved),
        }
        if self.landscape:
            beside |= {"building": ("Building", self.building), "client": ("Client", self.client)}
        return self._issued() | {
            key: (label, _cut(value, LONGEST_BESIDE_DRAWN), _long(value, FITS_BESIDE_DRAWN))
            for key, (label, value) in beside.items()
        }

    @property
    def note(self):
        return f"Uncontrolled when printed{f'; current state at {self.address}' if self.address else ''}. {NOTE}"

    @property
    def document_title(self):
        name = f"{self.title}, {self.subtitle}" if self.subtitle else self.title
        return f"{name} · {self.building} · {self.number}"

    @property
    def description(self):
        return f"{self.title} {self.number}, {self.building}"

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


def _cut(text, longest):
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def _long(text, fits):
    return "long" if len(str(text)) > fits else ""


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
    r"(?<=\d)(?: |\n +)(?=(?:×|[kMm]?Ω|m?V|m?A|Ah|W|mm²|m²|mm|cm|m|s|min|h|Hz|%|°C|K|N|kN|years?|months?|days?)(?!\w))"
)


def units_kept(text):
    """Text in which no number parts from its unit at the end of a line."""
    return _BEFORE_A_UNIT.sub("\N{NO-BREAK SPACE}", text)


def with_units_kept(html):
    """The same HTML with no blank left at which a number could part from its unit at the end of a line."""
    parts = _TAGS.split(html)
    parts[::2] = [units_kept(text) for text in parts[::2]]
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
        html,
        identifier=identifier,
        pictures=pictures,
        attachments=attachments,
        pictures_dpi=pictures_dpi,
        logo=title_block.logo,
    )


def render_plain_pdf(html, *, identifier, pictures=None, attachments=None, pictures_dpi=150, logo=None):
    """The bytes of a tagged PDF/A-3a of a whole HTML text with our print CSS, without a title block of its own."""
    css, fonts = _css_and_fonts()
    shown = {**(pictures or {}), **({LOGO: logo} if logo else {})}
    return HTML(
        string=with_units_kept(without_edges(html)), base_url="static:", url_fetcher=SheetFetcher(shown)
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
        text = as_css() + render_to_string("documents/print.css")
        _kept.css = CSS(string=text, base_url="static:", url_fetcher=SheetFetcher(), font_config=fonts)
        _kept.fonts = fonts
    return _kept.css, _kept.fonts
