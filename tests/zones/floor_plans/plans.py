"""Drawings of invented storeys, for tests."""

import io

from django.utils import timezone
from PIL import Image, ImageDraw

from zones.floor_plans.keeping import add_floor_plan
from zones.models import PlanPlace


def drawn(size=(400, 200), form="PNG", mark=None, **options):
    """A room with a wall round it, as the bytes of a file; `mark` makes it another file."""
    picture = Image.new("RGB", size, "white")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((4, 4, size[0] - 5, size[1] - 5), outline="black", width=3)
    if mark:
        draw.text((20, 20), mark, fill="black")
    file = io.BytesIO()
    picture.save(file, form, **options)
    return file.getvalue()


def add_plan(town, storey="1", mark=None, **fields):
    fields = {"name": "plan.png", "by": town.people["office"], **fields}
    return add_floor_plan(building=town.hall, storey=storey, content=drawn(mark=mark), **fields)


def put(plan, position, by, x=0.5, y=0.5):
    """A place without the way through the service: the position may be of any storey."""
    confirmed = {"confirmed_by": by, "confirmed_at": timezone.now()}
    return PlanPlace.objects.create(plan=plan, position=position, x=x, y=y, placed_by=by, **confirmed)


def plan_of(town):
    """The plan in force at the hall, made where there is none."""
    return town.hall.floor_plans.in_force().first() or add_plan(town)
