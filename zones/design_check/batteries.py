"""Battery sets with their age and the day by which they are to be replaced. Computed when read, never stored."""

from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta
from django.db.models import Exists, OuterRef
from django.urls import reverse
from django.utils import timezone

from sites_registry.states import state_of
from zones.design_basis.practice import current_practice
from zones.design_check.checked import check_records
from zones.design_check.findings import SHOWN
from zones.design_check.parts import first_known, known
from zones.design_check.records import read_panels
from zones.engineering.battery_age import BatteryAge, battery_age
from zones.engineering.findings import Severity, listed, worst_severity
from zones.models import BatterySet

MONTHS_AHEAD = 12
OF_BATTERY = ("battery.", "consistency.battery_blocks")
# What a finding of the battery is about, by the last part of its code.
TOPICS = {
    "capacity": "capacity",
    "duration": "time after standby",
    "current": "current",
    "charger": "charger",
    "charging_limit": "charger too strong",
    "starting": "current at the start",
    "fuse_starting": "fuse at the start",
    "age": "age",
    "rate": "current",
    "battery_blocks": "number of blocks",
    "lead": "leads",
}
JOINED = ("panel__position", "panel__building__client", "product_model__maker")
# Every set is read to sort by due date: of what hangs on it only what a row shows.
READ = (
    "blocks",
    "capacity_ah",
    "date_code",
    "batch",
    "made_on",
    "design_life_years",
    "fitted_on",
    "panel__battery_usual_c",
    "panel__position__tag",
    "panel__position__tag_key",
    "panel__building__name",
    "panel__building__slug",
    "panel__building__client__name",
    "product_model__name",
    "product_model__capacity_ah",
    "product_model__service_life_years",
    "product_model__maker__name",
    "product_model__proposed_by",
    "product_model__confirmed_by",
)
# Key of the list's filter and of the mark → words. Worst first.
STATES = {
    "overdue": state_of("overdue").word,
    "due_soon": f"due within {MONTHS_AHEAD} months",
    "unknown": "age not known",
    "not_due": state_of("not_due").word,
}


@dataclass(frozen=True, slots=True)
class BatteryRow:
    """A fitted battery set with what tells its age; `state` is a key of STATES."""

    battery: BatterySet
    age: BatteryAge
    years: float
    state: str

    def get_absolute_url(self):
        return reverse("panel-detail", args=[self.battery.panel_id])

    @property
    def panel(self):
        return self.battery.panel

    @property
    def building(self):
        return self.battery.panel.building

    @property
    def due_on(self):
        return self.age.due_on

    @property
    def capacity_ah(self):
        """Of one block: as recorded, else as the data sheet says; None where neither does."""
        return self.battery.capacity_ah or getattr(self.battery.product_model, "capacity_ah", None)

    @property
    def age_words(self):
        least = "" if self.age.is_known else "at least "
        return f"{least}{self.years:.1f} years"

    @property
    def basis_words(self):
        """What the age is counted from, and why from nothing better."""
        words = f"from {self.age.basis}, {self.age.since:%-d %b %Y}"
        return words if self.age.is_known else f"{words}; {self.age.why_not_known}"


def battery_rows(battery_sets):
    """The rows of these battery sets, the earliest due date first; two queries for any number."""
    service_years, today = current_practice().battery_service_years, timezone.localdate()
    battery_sets = battery_sets.select_related(*JOINED).only(*READ)
    rows = [_row(battery, service_years, today) for battery in battery_sets]
    return sorted(rows, key=lambda row: (row.due_on, row.building.name, row.panel.position.tag_key))


def battery_findings(checked):
    """What the design check of a panel finds of its battery."""
    return [one for one in checked.findings if one.code.startswith(OF_BATTERY) and one.subject == checked.panel.tag]


def topics_of(found, severity, limit=None):
    """What the findings of that severity are about, in words: "capacity and charger", `limit` of them by name."""
    topics = dict.fromkeys(TOPICS[one.code.split(".")[1]] for one in found if one.severity == severity)
    return listed(topics, limit=limit) if limit else listed(topics)


def limits_of_batteries(panels):
    """Whether the battery of each panel (a queryset) is within limits, as its page says it: (state, words) by key."""
    practice, marks = current_practice(), {}
    for records in read_panels(panels):
        found = battery_findings(check_records(records, practice))
        worst = worst_severity(found) or Severity.MISSING
        key, word = SHOWN[worst]
        of_what = worst in (Severity.FAIL, Severity.QUESTION) and topics_of(found, worst, limit=1)
        marks[records.panel.pk] = key, f"{of_what}: {word}" if of_what else word
    return marks


def _row(battery, service_years, today):
    refused = []  # told by the design check, where the figure can be corrected
    sheet = getattr(battery.product_model, "service_life_years", None)
    life = first_known(
        refused, str(battery), ("design_life_years", battery.design_life_years), ("service_life_years", sheet)
    )
    age = battery_age(
        fitted_on=battery.fitted_on,
        made_on=battery.made_on,
        date_code=battery.date_code,
        service_years=service_years,
        design_life_years=life,
        usual_c=known(refused, str(battery), "battery_usual_c", battery.panel.battery_usual_c),
        not_after=today,
    )
    return BatteryRow(battery, age, age.years(today), _state(age, today))


def _state(age, today):
    if age.due_on < today:
        return "overdue"
    if age.due_on <= today + relativedelta(months=MONTHS_AHEAD):
        return "due_soon"
    return "not_due" if age.is_known else "unknown"


def is_due(row, when, today: date):
    """Whether a row answers the filter: "overdue", "due_soon", "unknown", or "next_year"."""
    if when == "unknown":
        return not row.age.is_known
    if when == "next_year":
        return row.due_on.year == today.year + 1
    return row.state == when


def panels_without_battery(panels):
    """Panels with no battery set recorded now: nobody can say when theirs is due."""
    fitted = BatterySet.objects.fitted().filter(panel=OuterRef("pk"))
    in_use = panels.filter(position__retired_on=None)
    return in_use.filter(~Exists(fitted)).select_related("building", "position").order_by("building__name", "pk")
