"""Plans kept: a revision added and the places carried over to it, a plan taken out of force."""

from hashlib import sha256

from django.core.files.storage import default_storage
from django.db import transaction

from sites_registry.models import Building
from zones.files.attachments import check_size, kept_name
from zones.floor_plans.rasterising import PlanRefused, plan_picture
from zones.models import FloorPlan, PlanPlace

EXTENSIONS = {"image/png": "png", "image/webp": "webp"}


def add_floor_plan(*, building, storey, name, content, by, page=None, title="", drawn_on=None, picture=None):
    """Keep a further revision of the plan of a storey; returns it. It comes into force at once.

    Places of the newest revision before are carried over, each to be confirmed on the new drawing. The same page of
    the same file that is in force already is not kept twice. `picture` is its PlanPicture where that was drawn before:
    it takes seconds, in which a transaction lets nobody write. Raises PlanRefused, AttachmentRefused.
    """
    check_size(name, len(content))
    digest = sha256(content).hexdigest()
    picture = picture or plan_picture(content, page=page)
    shown_page = (page or 1) if picture.pages else None
    with transaction.atomic():
        # SQLite ignores row locks; there the immediate transaction makes a second click wait.
        Building.objects.select_for_update(of=("self",)).get(pk=building.pk)
        before = FloorPlan.objects.of_storey(building, storey).first()
        if before and before.is_in_force and (before.sha256, before.page_number) == (digest, shown_page):
            return before
        FloorPlan.objects.of_storey(building, storey).in_force().update(is_in_force=False)
        plan = FloorPlan(
            building=building,
            storey=storey,
            revision=(before.revision if before else 0) + 1,
            title=title,
            drawn_on=drawn_on,
            file_name=kept_name(name),
            media_type=picture.source_type,
            sha256=digest,
            page_number=shown_page,
            picture_type=picture.media_type,
            width_px=picture.width_px,
            height_px=picture.height_px,
            added_by=by,
        )
        # Written before the row: a row without its bytes would be worse than bytes without a row.
        plan.file.name = _stored(digest, "", content)
        drawn = sha256(picture.content).hexdigest()
        plan.picture.name = _stored(drawn, f".{EXTENSIONS[picture.media_type]}", picture.content)
        plan._history_user = by
        plan.full_clean()
        plan.save()
        _carry_over(before, plan, by)
    return plan


def _stored(digest, extension, content):
    """Where bytes lie: by digest, never by the name that somebody typed."""
    return default_storage.keep(f"floor-plans/{digest[:2]}/{digest}{extension}", content)


def _carry_over(before, plan, by):
    if before is None:
        return
    for place in before.places.of_its_storey().select_related("position"):
        carried = PlanPlace(plan=plan, position=place.position, x=place.x, y=place.y, placed_by=by)
        carried._history_user = by
        carried.save()


@transaction.atomic
def change_floor_plan(*, plan, by, storey, title, drawn_on):
    """Correct what is said of a plan. Another storey takes all its revisions with it, as positions are renamed.

    Raises PlanRefused: that storey has a plan of its own.
    """
    plan = FloorPlan.objects.select_for_update(of=("self",)).get(pk=plan.pk)
    if storey != plan.storey:
        if other := FloorPlan.objects.of_storey(plan.building, storey).first():
            raise PlanRefused(f"{other} is kept already. Add the drawing there as a revision instead.", field="storey")
        for each in FloorPlan.objects.of_storey(plan.building, plan.storey).exclude(pk=plan.pk):
            each.storey, each._history_user = storey, by
            each.save(update_fields=["storey"])
    plan.storey, plan.title, plan.drawn_on = storey, title, drawn_on
    plan._history_user = by
    plan.save(update_fields=["storey", "title", "drawn_on"])
    return plan


@transaction.atomic
def take_out_of_force(*, plan, by):
    """The storey has no plan any more; what was kept stays. Called twice, it changes nothing."""
    plan = FloorPlan.objects.select_for_update(of=("self",)).get(pk=plan.pk)
    if plan.is_in_force:
        plan.is_in_force = False
        plan._history_user = by
        plan.save(update_fields=["is_in_force"])
    return plan
