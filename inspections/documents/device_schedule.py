"""The device schedule: every position of a building with its place, wiring and unit (handbook process.md §6, row 5)."""

from dataclasses import dataclass
from itertools import groupby

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from inspections.documents.base import TitleBlock, render_pdf

# Above it one document takes many seconds and hundreds of MB: a large schedule is printed panel by panel.
ROWS_PER_DOCUMENT = 1_000


@dataclass(frozen=True)
class Part:
    """The positions of one panel (`panel_id` None: of none), the unit in which a large schedule is printed."""

    key: str
    name: str
    positions: tuple


def positions_of(building):
    """Positions in use with all that the schedule shows; one query for any number."""
    return building.positions.in_use().with_wiring().with_fitted_unit().select_related("control_panel")


def parts_of(positions):
    """Positions by panel, panels in natural order of their tags, each in walking order with the panel itself first.

    A panel with more rows than a document takes is cut into several parts.
    """
    parts = []
    for (_, panel_id, name), group in groupby(
        sorted(positions, key=_printed_order), key=lambda p: _printed_order(p)[0]
    ):
        rows = tuple(group)
        for number, start in enumerate(range(0, len(rows), ROWS_PER_DOCUMENT), start=1):
            cut = rows[start : start + ROWS_PER_DOCUMENT]
            is_whole = len(cut) == len(rows)
            parts.append(
                Part(
                    key=f"{panel_id or 'none'}-{number}",
                    name=name if is_whole else f"{name}, {cut[0].tag} to {cut[-1].tag}",
                    positions=cut,
                )
            )
    return parts


def _printed_order(position):
    own_panel = getattr(position, "control_panel", None)
    panel = own_panel or position.panel
    if panel is None:
        place = (1, ""), None, "Without a panel"
    elif own_panel:
        place = (0, position.tag_key), panel.pk, f"Panel {position.tag}"
    else:
        place = (0, panel.position.tag_key), panel.pk, f"Panel {panel.position.tag}"
    return place, own_panel is None, position.walking_order, position.tag_key


def device_schedule_pdf(building, parts, *, prepared_by, now, subtitle=""):
    """The schedule as an A4 landscape PDF; `parts` as of `parts_of`, `now` an aware datetime."""
    local = timezone.localtime(now)
    title_block = TitleBlock(
        title="Device schedule",
        subtitle=subtitle,
        number=f"{building.slug}/device-schedule",
        building=building.name,
        client=building.client.name,
        issued_on=local.date(),
        revision=f"as of {local:%Y-%m-%d %H:%M}",
        prepared_by=prepared_by.full_name,
        address=settings.PUBLIC_URL + reverse("device-schedule", args=[building.slug]),
        landscape=True,
    )
    context = {
        "building": building,
        "parts": parts,
        "total": sum(len(part.positions) for part in parts),
        "without_unit": sum(1 for part in parts for position in part.positions if not position.serial),
    }
    return render_pdf("documents/device_schedule.html", context, title_block=title_block, created_at=now)
