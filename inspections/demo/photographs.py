"""Demo: photographs of defects and of visits, drawn, of things that nobody ever saw."""

import io
import random
from datetime import timedelta
from hashlib import sha256
from uuid import UUID

from PIL import Image, ImageDraw, ImageFilter

from inspections.models import Defect
from inspections.photos.keeping import keep_photo

SIZE = (1200, 900)
WALL, PLASTER, METAL, DARK, SKY = "#b9b2a3", "#d9d4c8", "#7d858a", "#33393d", "#a9c2cf"


def photograph(building, seed):
    """What was wrong before and after it was put right, and the front of the building on the visit that found it."""
    drawn = random.Random(f"{seed} {building.slug}")  # noqa: S311 - invented pictures
    for defect in Defect.objects.filter(building=building).for_detail().order_by("pk"):
        kind = defect.position.kind if defect.position else ""
        is_dusty = kind not in ("control_panel", "actuator")
        of = {"control_panel": _panel, "actuator": _vent}.get(kind, _box)
        _keep(drawn, defect.found_on, of(drawn, is_wrong=True), defect.found_by, defect.found_at, defect, "before")
        if not defect.is_open:
            by, at = defect.closed_by.recorded_by, defect.closed_at
            _keep(drawn, defect.closed_on, of(drawn, is_wrong=False), by, at, defect, "after")
        elif is_dusty or defect.severity == "impaired":
            _keep(drawn, defect.found_on, of(drawn, is_wrong=True), defect.found_by, defect.found_at, defect, "")
        _keep(drawn, defect.found_on, _front(drawn), defect.found_by, defect.found_at, None, "")


def _keep(drawn, visit, picture, by, at, defect, stage):
    file = io.BytesIO()
    picture.filter(ImageFilter.GaussianBlur(1)).save(file, "JPEG", quality=80)
    content = file.getvalue()
    taken_at = at + timedelta(minutes=2 if defect else -20)
    keep_photo(
        visit=visit,
        content=content,
        client_uuid=UUID(int=drawn.getrandbits(128), version=4),
        taken_by=by,
        sent_sha256=sha256(content).hexdigest(),
        marks=[{"kind": "circle", "from": [0.36, 0.3], "to": [0.66, 0.72]}] if stage == "before" else [],
        defect=defect,
        stage=stage,
        caption=_caption(defect, stage),
        taken_at=taken_at,
        received_at=taken_at,
    )


def _caption(defect, stage):
    if defect is None:
        return "The entrance where the visit began"
    return defect.closing_note[:200] if stage == "after" else defect.description[:200]


def _ground(drawn, colour):
    picture = Image.new("RGB", SIZE, colour)
    noise = Image.effect_noise(SIZE, drawn.uniform(14, 22)).convert("RGB")
    return Image.blend(picture, noise, 0.14)


def _panel(drawn, *, is_wrong):
    """A cabinet with its rows of terminals."""
    picture = _ground(drawn, PLASTER)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((260, 80, 940, 830), fill=METAL, outline=DARK, width=8)
    for row in range(4):
        for column in range(12):
            left, top = 310 + column * 49, 150 + row * 160
            draw.rectangle((left, top, left + 40, top + 90), fill="#c9cdcf", outline=DARK, width=3)
    draw.ellipse((560, 700, 640, 780), fill="#c8401f" if is_wrong else "#4d9a5a", outline=DARK, width=4)
    return picture


def _vent(drawn, *, is_wrong):
    """A leaf in its frame, seen from below; half open it shows less of the sky."""
    picture = _ground(drawn, WALL)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((180, 110, 1020, 790), fill=SKY, outline=DARK, width=18)
    edge = 560 if is_wrong else 250
    draw.polygon(((180, 110), (1020, 110), (960, edge), (240, edge)), fill="#8fa0a6", outline=DARK)
    draw.line((600, 780, 600, edge), fill=DARK, width=16)
    return picture


def _box(drawn, *, is_wrong):
    """A call point or switch on its wall, dusty or clean."""
    picture = _ground(drawn, PLASTER)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((400, 240, 800, 660), fill="#d6862b", outline=DARK, width=8)
    draw.rectangle((460, 320, 740, 560), fill="#e9e6df", outline=DARK, width=5)
    for _ in range(900 if is_wrong else 0):
        x, y = drawn.gauss(600, 110), drawn.gauss(450, 110)
        draw.ellipse((x, y, x + 7, y + 6), fill=drawn.choice(("#6d6459", "#8b8272", "#575047")))
    return picture


def _front(drawn):
    """A front with its windows and a door."""
    picture = _ground(drawn, SKY)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((150, 160, 1050, 900), fill=drawn.choice(("#a5674a", "#9a8f80", "#8b6f5c")), outline=DARK, width=6)
    for row in range(3):
        for column in range(6):
            left, top = 210 + column * 140, 220 + row * 170
            draw.rectangle((left, top, left + 80, top + 110), fill="#cfd9dd", outline=DARK, width=4)
    draw.rectangle((540, 730, 660, 900), fill=DARK)
    return picture
