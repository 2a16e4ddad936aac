"""A building's four answers: fitted and wired · within limits · proven · due."""

from dataclasses import dataclass, field

from django.db.models import Count, F, Q
from django.utils import timezone

from inspections.due import due_of, months_ago, positions_not_tested_since
from inspections.models import Certificate, Defect, LogEntry, Outcome, Severity, TestPoint, Visit
from sites_registry.models import Firm
from zones.models import AreaKind, BatterySet, Position, SmokeZone
from zones.models.product_models import NEEDED_FIGURES, ProductModel


@dataclass
class Answer:
    """One panel of the page: its state, one line, and rows that lead on."""

    state: str
    word: str
    line: str
    rows: list = field(default_factory=list)


def plural(count, one, many=None):
    return f"{count} {one if count == 1 else many or one + 's'}"


def fitted_and_wired(building):
    positions = Position.objects.filter(building=building).in_use()
    count, fitted = positions.count(), positions.exclude(pk__in=positions.without_unit().values("pk")).count()
    kinds = positions.values("kind").annotate(number=Count("pk")).order_by("-number")
    labels = dict(Position._meta.get_field("kind").choices)
    rows = [(labels[row["kind"]], row["number"]) for row in kinds]
    if not count:
        return Answer("missing", "nothing registered", "No positions yet: register panels, zones and positions.", rows)
    if fitted < count:
        line = f"{fitted} of {plural(count, 'position')} have a unit with its serial."
        return Answer("missing", "incomplete", line, rows)
    return Answer("known", "complete", f"All {plural(count, 'position')} have a unit with its serial.", rows)


def missing_figures(building):
    """Models fitted or planned here, each with the figures a check would need and that are not known."""
    models = ProductModel.objects.filter(
        Q(units__fittings__position__building=building, units__fittings__removed_on=None)
        | Q(positions__building=building, positions__retired_on=None),
        kind__in=list(NEEDED_FIGURES),
    )
    return [(model, model.missing_figures()) for model in models.select_related("maker").distinct()]


def zone_areas(building):
    """(zone, provided area or None, reason) for each zone: only areas of the required kind are added up."""
    rows = []
    for zone in SmokeZone.objects.filter(building=building).prefetch_related("vents").order_by("number"):
        column = "aerodynamic_area_m2" if zone.required_area_kind == AreaKind.AERODYNAMIC else "geometric_area_m2"
        areas = [getattr(vent, column) for vent in zone.vents.all()]
        known = zone.required_area_m2 is not None and areas and None not in areas
        rows.append((zone, sum(areas) if known else None))
    return rows


def within_limits(building):
    areas = zone_areas(building)
    short = [zone for zone, area in areas if area is not None and area < zone.required_area_m2]
    unknown_areas = [zone for zone, area in areas if area is None]
    missing = [(model, figures) for model, figures in missing_figures(building) if figures]
    outside = readings_outside_limits(building)
    rows = [
        ("zones with less free area than required", len(short)),
        ("zones whose area or requirement is not known", len(unknown_areas)),
        ("readings outside their limits, last visit", outside),
        ("models with figures missing", len(missing)),
    ]
    if short or outside:
        return Answer("fail", "outside limits", "At least one value is outside its limit.", rows)
    if missing or unknown_areas or not areas:
        return Answer("unknown", "not all known", "No verdict: figures that a check needs are missing.", rows)
    return Answer("pass", "areas and readings meet the values entered", "What was entered and measured meets.", rows)


def last_visit_of(building):
    return Visit.objects.finished().filter(building=building).order_by("-finished_at").first()


def readings_outside_limits(building):
    last = last_visit_of(building)
    if last is None:
        return 0
    reading = F("latest_result__reading")
    points = TestPoint.objects.filter(visit=last, latest_result__reading__isnull=False)
    return points.filter(
        Q(lower_limit__isnull=False, lower_limit__gt=reading) | Q(upper_limit__isnull=False, upper_limit__lt=reading)
    ).count()


def proven(building):
    last = last_visit_of(building)
    if last is None:
        return Answer("untested", "not tested", "No visit has been finished here.")
    points = TestPoint.objects.filter(visit=last).order_by()
    counts = dict(points.values_list("latest_result__outcome").annotate(number=Count("pk")))
    old = positions_not_tested_since(Position.objects.filter(building=building), months_ago(12)).count()
    rows = [(label, counts[value]) for value, label in Outcome.choices if counts.get(value)]
    rows.append(("positions not tested for 12 months", old))
    on = timezone.localtime(last.finished_at).date()
    line = f"{last.get_kind_display().capitalize()} finished on {on:%-d %b %Y}."
    if counts.get("fail"):
        return Answer("fail", plural(counts["fail"], "point") + " failed", line, rows)
    if old:
        return Answer("not_accessible", plural(old, "position") + " not tested for 12 months", line, rows)
    return Answer("pass", "every position tested", line, rows)


def due(building):
    """Needs a building annotated by `with_last_inspection`."""
    state = due_of(building, soon_days=Firm.current().due_soon_days)
    defects = dict(
        Defect.objects.filter(building=building).open().values_list("severity").annotate(number=Count("pk")).order_by()
    )
    disabled = LogEntry.objects.filter(building=building).open_disablements()
    rows = [(f"open defects, {label}", defects[value]) for value, label in Severity.choices if defects.get(value)] or [
        ("open defects", 0)
    ]
    rows.append(("disabled now", disabled.count()))
    line = f"Next inspection by {state.due_on:%-d %b %Y}." if state.due_on else "No inspection or commissioning yet."
    if defects.get(Severity.IMPAIRED):
        return Answer("impaired", "smoke control impaired", line, rows)
    return Answer(state.state, state.word, line, rows)


def certificates_in_force(building):
    return Certificate.objects.filter(building=building).in_force().select_related("visit").order_by("kind")


def next_visit_of(building):
    return (
        Visit.objects.filter(building=building).unfinished().select_related("engineer").order_by("planned_on").first()
    )


def battery_sets(building):
    return BatterySet.objects.filter(panel__building=building).fitted().select_related("panel__position")
