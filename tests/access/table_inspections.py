"""Who opens what: visits, defects, certificates, log books, overviews. See table_sites_registry.py."""

from django.utils.timezone import localdate

from inspections.calendars.links import make_calendar_link
from inspections.hand_overs.whole_file import keep_whole_file
from inspections.models import AcceptedMatter, Defect, HandOver
from inspections.open_records.taking_over import stage
from inspections.protocols.edits import draft_next_version
from inspections.reading_links.edits import make_link
from inspections.visits.edits import start_visit
from tests import builders
from tests.zones.floor_plans.plans import plan_of
from tests.zones.wiring.wired import wire_town
from zones.as_installed.revisions import take_revision
from zones.models import Cable

EXPECTED = {
    "panel-commissioning-plan": ("log in", "hidden", "open", "open", "open"),
    "visit-plan": ("log in", "hidden", "open", "open", "open"),
    "visit-plan-take": ("log in", "refused", "refused", "elsewhere", "refused"),
    "home": ("log in", "open", "open", "open", "open"),
    "due-list": ("log in", "refused", "refused", "open", "open"),
    "find": ("log in", "open", "open", "open", "open"),
    "building-limits": ("log in", "open", "open", "open", "open"),
    "building-detail": ("log in", "hidden", "open", "open", "open"),
    **dict.fromkeys(
        ("building-particulars", "building-visits", "building-defects"), ("log in", "hidden", "open", "open", "open")
    ),
    "circuit-detail": ("log in", "hidden", "open", "open", "open"),
    "line-detail": ("log in", "hidden", "open", "open", "open"),
    "as-installed-list": ("log in", "hidden", "open", "open", "open"),
    "as-installed-create": ("log in", "refused", "refused", "open", "open"),
    "as-installed-changes": ("log in", "hidden", "open", "open", "open"),
    "as-installed-revision": ("log in", "hidden", "open", "open", "open"),
    "as-installed-check": ("log in", "refused", "refused", "open", "open"),
    "as-installed-approve": ("log in", "refused", "refused", "refused", "open"),
    "as-installed-withdraw": ("log in", "refused", "refused", "open", "open"),
    "job-materials": ("log in", "refused", "refused", "open", "open"),
    "wiring-diagram": ("log in", "hidden", "open", "open", "open"),
    "zone-overview": ("log in", "hidden", "open", "open", "open"),
    "label-list": ("log in", "hidden", "open", "open", "open"),
    "schedule-list": ("log in", "hidden", "open", "open", "open"),
    **dict.fromkeys(
        ("terminal-schedule", "cable-schedule", "end-of-line-schedule"), ("log in", "hidden", "open", "open", "open")
    ),
    "log-book": ("log in", "hidden", "open", "open", "open"),
    "log-book-csv": ("log in", "hidden", "open", "open", "open"),
    "log-book-print": ("log in", "hidden", "open", "open", "open"),
    "log-entry-create": ("log in", "hidden", "open", "open", "open"),
    "log-entry-detail": ("log in", "hidden", "open", "open", "open"),
    "log-entry-end": ("log in", "hidden", "open", "open", "open"),
    "log-entry-correct": ("log in", "hidden", "open", "open", "open"),
    "certificate-list": ("log in", "open", "open", "open", "open"),
    "certificate-bundle": ("log in", "elsewhere", "open", "open", "open"),
    "certificate-detail": ("log in", "hidden", "open", "open", "open"),
    "certificate-revoke": ("log in", "refused", "refused", "refused", "open"),
    "certificate-issue": ("log in", "refused", "refused", "refused", "open"),
    **dict.fromkeys(
        ("certificate-check", "certificate-check-file", "certificate-check-building", "certificate-schema"),
        ("open", "open", "open", "open", "open"),
    ),
    "verification-list": ("log in", "refused", "refused", "refused", "open"),
    **dict.fromkeys(
        ("building-records", "building-records-json", "building-workbook", "building-ifc"),
        ("log in", "hidden", "open", "refused", "open"),
    ),
    "building-records-schema": ("open", "open", "open", "open", "open"),
    **dict.fromkeys(
        ("building-file-create", "building-file-detail"), ("log in", "refused", "refused", "refused", "open")
    ),
    **dict.fromkeys(
        ("building-file-take-over", "building-file-discard"), ("log in", "refused", "refused", "refused", "elsewhere")
    ),
    **dict.fromkeys(("calendar", "calendar-file"), ("log in", "open", "open", "open", "open")),
    **dict.fromkeys(
        ("calendar-link-make", "calendar-link-take-away"),
        ("log in", "elsewhere", "elsewhere", "elsewhere", "elsewhere"),
    ),
    "calendar-read": ("open", "open", "open", "open", "open"),
    **dict.fromkeys(
        ("certificate-link-create", "hand-over-link-create"), ("log in", "hidden", "open", "refused", "open")
    ),
    "reading-link-detail": ("log in", "hidden", "open", "open", "open"),
    "reading-link-withdraw": ("log in", "hidden", "elsewhere", "refused", "elsewhere"),
    **dict.fromkeys(
        ("read-page", "read-certificate", "read-whole-file", "read-archive", "read-file"),
        ("open", "open", "open", "open", "open"),
    ),
}

EXPECTED |= {  # visits, defects, protocols
    "visit-list": ("log in", "open", "open", "open", "open"),
    "visit-create": ("log in", "refused", "refused", "refused", "open"),
    "visit-detail": ("log in", "hidden", "open", "open", "open"),
    "visit-update": ("log in", "refused", "refused", "refused", "open"),
    "visit-call-off": ("log in", "refused", "refused", "refused", "open"),
    "visit-start": ("log in", "refused", "refused", "elsewhere", "refused"),
    "visit-positions-add": ("log in", "refused", "refused", "elsewhere", "refused"),
    "visit-finish": ("log in", "refused", "refused", "open", "refused"),
    "visit-answers": ("log in", "refused", "refused", "elsewhere", "refused"),
    "visit-field": ("log in", "refused", "refused", "open", "refused"),
    "visit-field-position": ("log in", "refused", "refused", "open", "refused"),
    "visit-floor-plan": ("log in", "refused", "refused", "open", "refused"),
    "visit-field-last": ("log in", "refused", "refused", "elsewhere", "refused"),
    "visit-find": ("log in", "refused", "refused", "open", "refused"),
    "position-at": ("log in", "hidden", "elsewhere", "elsewhere", "elsewhere"),
    "visit-taken-along": ("log in", "refused", "refused", "open", "refused"),
    "visit-taken-pages": ("log in", "refused", "refused", "open", "refused"),
    "visit-swap": ("log in", "refused", "refused", "open", "refused"),
    "visit-settings": ("log in", "refused", "refused", "open", "refused"),
    "visit-settings-rest": ("log in", "refused", "refused", "elsewhere", "refused"),
    "setting-take-over": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "hand-over-create": ("log in", "refused", "refused", "open", "open"),
    "hand-over-detail": ("log in", "hidden", "open", "open", "open"),
    "hand-over-put-together": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "hand-over-archive": ("log in", "hidden", "open", "open", "open"),
    "hand-over-file": ("log in", "hidden", "open", "open", "open"),
    "hand-over-receipt": ("log in", "hidden", "elsewhere", "refused", "refused"),
    "job-standing": ("log in", "refused", "refused", "open", "open"),
    "acceptance-take-back": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    **dict.fromkeys(("visit-photos", "visit-photo-part"), ("log in", "refused", "refused", "open", "refused")),
    **dict.fromkeys(
        ("visit-photo-create", "defect-photo-create", "photo-withdraw"),
        ("log in", "refused", "refused", "open", "open"),
    ),
    **dict.fromkeys(("photo-shown", "photo-file", "photo-small"), ("log in", "hidden", "open", "open", "open")),
    **dict.fromkeys(
        (
            *("visit-instruments", "instrument-list", "instrument-detail", "calibration-list"),
            *("person-competence", "training-record", "qualification-detail"),
        ),
        ("log in", "refused", "refused", "open", "open"),
    ),
    **dict.fromkeys(
        ("instrument-create", "instrument-update", "qualification-create", "qualification-update"),
        ("log in", "refused", "refused", "refused", "open"),
    ),
    "defect-list": ("log in", "open", "open", "open", "open"),
    "defect-detail": ("log in", "hidden", "open", "open", "open"),
    "defect-update": ("log in", "refused", "refused", "open", "open"),
    "protocol-list": ("log in", "refused", "refused", "open", "open"),
    "protocol-install": ("log in", "refused", "refused", "refused", "elsewhere"),
    "protocol-detail": ("log in", "refused", "refused", "open", "open"),
    "protocol-update": ("log in", "refused", "refused", "refused", "open"),
    "protocol-draft": ("log in", "refused", "refused", "refused", "elsewhere"),
    "protocol-publish": ("log in", "refused", "refused", "refused", "elsewhere"),
    "protocol-check-create": ("log in", "refused", "refused", "refused", "open"),
    "protocol-check-update": ("log in", "refused", "refused", "refused", "open"),
    "protocol-check-remove": ("log in", "refused", "refused", "refused", "elsewhere"),
}


def _person(town):
    return [town.people["engineer"].pk]


def _instrument(town):
    return [builders.make_instrument().pk]


def _qualification(town):
    return [builders.make_qualification(town.people["engineer"]).pk]


def _visit(town):
    return [town.visit.pk]


def _position_of_started_visit(town):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    return [visit.pk, town.detector.pk]


def _defect(town):
    defect = Defect.objects.filter(building=town.hall).first() or builders.make_defect(town.hall, town.visit)
    return [defect.pk]


def _acceptance(town):
    builders.accept_what_stands(job=town.job)
    return [AcceptedMatter.objects.first().pk]


def _hand_over(town):
    return HandOver.objects.first() or builders.make_hand_over(town.job, town.people["manager"])


def _link(town):
    return make_link(paper=town.certificate, reader="Surveyor", ends_on=localdate(), by=town.people["office"])


def _secret_of_hand_over(town):
    return make_link(paper=_hand_over(town), reader="Surveyor", ends_on=localdate(), by=town.people["office"])[1]


def _protocol(town):
    return [town.protocol.pk]


def _check(town):
    return [draft_next_version(protocol=town.protocol).checks.first().pk]


def _revised_hall(town):
    take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    return [town.hall.slug]


def _revision(town):
    return [*_revised_hall(town), town.hall.as_installed_revisions.count()]


def _wired_panel(town):
    if not Cable.objects.filter(building=town.hall, tag="W1").exists():
        wire_town(town)
    return [town.panel.pk]


def _photo(town):
    visit = builders.make_visit(town.hall, state="under_way", started_at=builders.days_ago(1))
    return [builders.make_photo(visit, town.people["engineer"]).pk]


ARGUMENTS = {
    **dict.fromkeys((name for name in EXPECTED if name.startswith(("wiring-diagram", "zone-overview"))), _wired_panel),
    "circuit-detail": lambda town: [builders.make_circuit(town.panel).pk],
    "line-detail": lambda town: [builders.make_line(town.panel).pk],
    "panel-commissioning-plan": lambda town: [town.panel.pk],
    "label-list": lambda town: [town.hall.slug],
    **dict.fromkeys(
        ("building-detail", "building-particulars", "building-visits", "building-defects"),
        lambda town: [town.hall.slug],
    ),
    **dict.fromkeys((name for name in EXPECTED if name.startswith("as-installed-")), _revised_hall),
    **dict.fromkeys((f"as-installed-{word}" for word in ("revision", "check", "approve", "withdraw")), _revision),
    **dict.fromkeys((name for name in EXPECTED if "schedule" in name), lambda town: [town.hall.slug]),
    "terminal-schedule": lambda town: [town.panel.pk],
    **dict.fromkeys((name for name in EXPECTED if name.startswith("visit-")), _visit),
    "position-at": lambda town: [town.detector.pk],
    "visit-field-position": _position_of_started_visit,
    "visit-floor-plan": lambda town: [_position_of_started_visit(town)[0], plan_of(town).pk],
    "visit-field-last": _position_of_started_visit,
    "visit-swap": _position_of_started_visit,
    "visit-settings": lambda town: [town.visit.pk, town.panel.pk],
    "visit-settings-rest": lambda town: [town.visit.pk, town.panel.pk],
    "hand-over-create": lambda town: [town.job.number],
    **dict.fromkeys(
        (f"hand-over-{word}" for word in ("detail", "put-together", "archive", "receipt")),
        lambda town: [_hand_over(town).pk],
    ),
    "hand-over-file": lambda town: [_hand_over(town).pk, _hand_over(town).files.first().pk],
    "job-standing": lambda town: [town.job.number],
    "acceptance-take-back": _acceptance,
    "setting-take-over": lambda town: [builders.make_setting_found(town.visit, town.panel).pk],
    **dict.fromkeys((name for name in EXPECTED if name.startswith("defect-")), _defect),
    **dict.fromkeys((name for name in EXPECTED if name.startswith("photo-")), _photo),
    "visit-photo-part": lambda town: [*_visit(town), "5e6ac2de-4b1c-4a3e-9a4e-0d6f0a1b2c3d"],
    **dict.fromkeys((name for name in EXPECTED if name.startswith("protocol-")), _protocol),
    "protocol-check-update": _check,
    **dict.fromkeys(("instrument-detail", "instrument-update"), _instrument),
    **dict.fromkeys(("person-competence", "training-record", "qualification-create"), _person),
    **dict.fromkeys(("qualification-detail", "qualification-update"), _qualification),
    "protocol-check-remove": _check,
    **dict.fromkeys((name for name in EXPECTED if name.startswith("job-materials")), lambda town: [town.job.number]),
    "log-book": lambda town: [town.hall.slug],
    "log-book-csv": lambda town: [town.hall.slug],
    "log-book-print": lambda town: [town.hall.slug],
    "log-entry-create": lambda town: [town.hall.slug],
    "log-entry-detail": lambda town: [town.hall.slug, builders.make_log_entry(town.hall).pk],
    "log-entry-end": lambda town: [town.hall.slug, builders.make_log_entry(town.hall, kind="fault").pk],
    "log-entry-correct": lambda town: [town.hall.slug, builders.make_log_entry(town.hall).pk],
    "certificate-detail": lambda town: [town.certificate.number],
    "certificate-revoke": lambda town: [town.certificate.number],
    "certificate-issue": lambda town: [town.visit.pk],
    **dict.fromkeys(
        ("certificate-check", "certificate-check-file", "certificate-check-building"),
        lambda town: [town.certificate.token],
    ),
    **dict.fromkeys(
        ("building-records", "building-records-json", "building-workbook", "building-ifc"),
        lambda town: [town.hall.slug],
    ),
    **dict.fromkeys(
        ("building-file-detail", "building-file-take-over", "building-file-discard"),
        lambda town: [stage(name="hall.json", content=b"{}", by=town.people["office"]).pk],
    ),
    "calendar-read": lambda town: [make_calendar_link(person=town.people["manager"])],
    "certificate-link-create": lambda town: [town.certificate.number],
    "hand-over-link-create": lambda town: [_hand_over(town).pk],
    **dict.fromkeys(("reading-link-detail", "reading-link-withdraw"), lambda town: [_link(town)[0].pk]),
    **dict.fromkeys(("read-page", "read-certificate"), lambda town: [_link(town)[1]]),
    "read-archive": lambda town: [_secret_of_hand_over(town)],
    "read-whole-file": lambda town: [keep_whole_file(_hand_over(town)) and _secret_of_hand_over(town)],
    "read-file": lambda town: [_secret_of_hand_over(town), _hand_over(town).files.first().pk],
}
for _name in ("visit-list", "visit-create", "defect-list", "protocol-list", "protocol-install"):
    ARGUMENTS.pop(_name)
