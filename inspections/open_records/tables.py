"""What the file of a building holds, table by table, and what it leaves out and why.

Every model of a building stands in one of the two lists (`tests/inspections/open_records/test_round_trip.py`), so that
nothing is left out by being forgotten.
"""

from dataclasses import dataclass

from django.db import models

from inspections import models as proven
from sites_registry import models as sites
from zones import models as fitted


@dataclass(frozen=True)
class Table:
    """Records of one kind: `path` leads to the building; without one it is the firm's, known by `known_by`.

    `kept_here` are fields in which the register that takes the file over stays as it is.
    """

    name: str
    model: type
    path: str = ""
    known_by: tuple = ()
    kept_here: tuple = ()
    left_out: tuple = ()

    @property
    def is_shared(self):
        return not self.path

    @property
    def fields(self):
        """The fields that the file holds, without the key."""
        unseen = ("row_version", *self.left_out)
        return [
            field
            for field in self.model._meta.concrete_fields
            if not field.primary_key and not field.generated and field.name not in unseen
        ]


_PERSON_LEFT_OUT = ("password", "last_login", "phone", "is_active", "is_staff", "is_superuser", "joined_at", "mails")

# Each before those that point to it.
SHARED = (
    Table(
        "people",
        sites.Person,
        known_by=("email",),
        kept_here=("full_name", "role", "competence", "competence_expires_on"),
        left_out=_PERSON_LEFT_OUT,
    ),
    Table(
        "clients",
        sites.Client,
        known_by=("name",),
        kept_here=tuple(field.name for field in sites.Client._meta.concrete_fields if field.name != "name"),
    ),
    Table("makers", fitted.Maker, known_by=("name",)),
    Table(
        "product_models",
        fitted.ProductModel,
        known_by=("maker", "name"),
        kept_here=("proposed_by", "confirmed_by"),
    ),
    Table("units", fitted.Unit, known_by=("maker", "serial")),
    Table("protocols", proven.Protocol, known_by=("kind", "version"), kept_here=("state", "published_on")),
    Table("protocol_checks", proven.ProtocolCheck, known_by=("protocol", "device_kind", "code")),
    Table(
        "instruments",
        sites.Instrument,
        known_by=("own_number",),
        kept_here=("calibrated_on", "calibration_due_on", "retired_on"),
    ),
)

OF_BUILDING = (
    Table("buildings", sites.Building, "pk"),
    Table("jobs", sites.Job, "building"),
    Table("variations", sites.Variation, "building"),
    Table("handed_over_documents", sites.HandedOverDocument, "job__building"),
    Table("design_basis", fitted.DesignBasis, "building"),
    Table("panels", fitted.ControlPanel, "building"),
    Table("battery_sets", fitted.BatterySet, "panel__building"),
    Table("panel_settings", fitted.PanelSetting, "panel__building"),
    Table("smoke_zones", fitted.SmokeZone, "building"),
    Table("vent_groups", fitted.VentGroup, "smoke_zone__building"),
    Table("vents", fitted.Vent, "smoke_zone__building"),
    Table("actuator_circuits", fitted.ActuatorCircuit, "panel__building"),
    Table("detection_lines", fitted.DetectionLine, "panel__building"),
    Table("data_links", fitted.DataLink, "panel__building"),
    Table("input_ports", fitted.InputPort, "panel__building"),
    Table("positions", fitted.Position, "building"),
    Table("link_entries", fitted.LinkEntry, "data_link__panel__building"),
    Table("input_devices", fitted.InputDevice, "input_port__panel__building"),
    Table("fittings", fitted.Fitting, "position__building"),
    Table("place_confirmations", fitted.PlaceConfirmation, "fitting__position__building"),
    Table("plate_figures", fitted.PlateFigure, "position__building"),
    Table("material_arrivals", fitted.MaterialArrival, "job__building"),
    Table("coincidences", fitted.Coincidence, "panel__building"),
    Table("coincidence_devices", fitted.Coincidence.positions.through, "coincidence__panel__building"),
    Table("rules", fitted.CauseAndEffectRule, "panel__building"),
    Table("terminals", fitted.Terminal, "building"),
    Table("cables", fitted.Cable, "building"),
    Table("cores", fitted.Core, "cable__building"),
    Table("core_ends", fitted.CoreEnd, "core__cable__building"),
    Table("terminal_links", fitted.TerminalLink, "first__building"),
    Table("end_of_line_parts", fitted.EndOfLinePart, "first__building"),
    Table("as_installed_revisions", fitted.AsInstalledRevision, "building"),
    Table("visits", proven.Visit, "building"),
    Table("instruments_used", proven.InstrumentUsed, "visit__building"),
    Table("test_points", proven.TestPoint, "visit__building"),
    Table("results", proven.Result, "test_point__visit__building"),
    Table("commissioning_plans", proven.CommissioningPlan, "visit__building"),
    Table("planned_steps", proven.PlannedStep, "plan__visit__building"),
    Table("defects", proven.Defect, "building"),
    Table("settings_found", proven.SettingFound, "visit__building"),
    Table("settings_taken_over", proven.SettingTakenOver, "entry__visit__building"),
    Table("sign_offs", proven.SignOff, "visit__building"),
    Table("accepted_matters", proven.AcceptedMatter, "building"),
    Table("certificates", proven.Certificate, "building", left_out=("pdf", "submission_key")),
    Table("log_entries", proven.LogEntry, "building"),
)

TABLES = (*SHARED, *OF_BUILDING)
TABLE_OF = {table.model: table for table in TABLES}


@dataclass(frozen=True)
class LeftOut:
    """Records that the file does not hold: in which words, and which models those are."""

    what: str
    why: str
    models: tuple = ()


LEFT_OUT = (
    LeftOut(
        "Files: photographs, floor plans with their pins, attachments, the PDF of each certificate",
        "They are listed with their digests, so that a copy handed over beside the file can be compared.",
        (
            fitted.Attachment,
            fitted.FloorPlan,
            fitted.PlanPlace,
            proven.Photo,
            proven.ArrivingPhoto,
            proven.PhotoPart,
            sites.KeptFile,
        ),
    ),
    LeftOut(
        "Hand-overs, reading links and calendar addresses",
        "They are papers sent and doors opened from this register.",
        (
            proven.HandOver,
            proven.HandOverFile,
            proven.ReadingLink,
            proven.ReadingLinkOpening,
            proven.CalendarLink,
        ),
    ),
    LeftOut(
        "The ledger, its seals, and the signatures of the papers that were given out",
        "They prove what happened in this register. One that takes the file over enters it as entered later.",
        (proven.LedgerEntry, proven.CertificatePaper, proven.Verification, proven.CheckAttempt),
    ),
    LeftOut(
        "Proofs of the rules of panels",
        "They follow from the rules, and are made again from them.",
        (fitted.KeptProof, fitted.ProofToMake),
    ),
    LeftOut(
        "Who checked and approved as-installed revisions",
        "They are statements of people who were logged in here. Revisions taken over are checked and approved anew.",
        (fitted.RevisionAct,),
    ),
    LeftOut(
        "Who changed which record when",
        "The history in another register begins with the day on which the file was taken over.",
    ),
    LeftOut(
        "Log-ins, passwords, telephone numbers of people, who may see the building, mails, contacts of the client",
        "They are given anew. People come as names, and cannot log in.",
        (sites.Invitation, sites.Contact, sites.Qualification, sites.Submission, sites.Mail, proven.Notice),
    ),
    LeftOut(
        "The firm’s own particulars, its figures of common practice, and device lists on their way in",
        "They are of the register, not of the building.",
        (sites.Firm, sites.Counter, fitted.PracticeValue, fitted.ImportRun, proven.BuildingFile),
    ),
)


def referred(field) -> Table | None:
    """The table that a field points to, None for a field that holds a value."""
    return TABLE_OF[field.related_model] if isinstance(field, models.ForeignKey) else None
