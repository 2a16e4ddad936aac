from inspections.models.acceptances import AcceptedMatter
from inspections.models.building_files import BuildingFile
from inspections.models.calendar_links import CalendarLink
from inspections.models.certificate_papers import CertificatePaper
from inspections.models.certificates import Certificate
from inspections.models.check_attempts import CheckAttempt
from inspections.models.defects import Defect, Severity
from inspections.models.hand_overs import HandOver, HandOverFile
from inspections.models.instruments_used import InstrumentUsed
from inspections.models.ledger import LedgerEntry
from inspections.models.log_book import LogEntry
from inspections.models.notices import Notice
from inspections.models.photos import ArrivingPhoto, Photo, PhotoPart
from inspections.models.plans import CommissioningPlan, PlannedStep
from inspections.models.protocols import Protocol, ProtocolCheck, VisitKind
from inspections.models.reading_links import ReadingLink, ReadingLinkOpening
from inspections.models.settings_found import SettingFound, SettingTakenOver
from inspections.models.sign_offs import SignOff
from inspections.models.test_points import Outcome, Result, TestPoint
from inspections.models.verifications import Verification
from inspections.models.visits import Visit

__all__ = [
    "AcceptedMatter",
    "ArrivingPhoto",
    "BuildingFile",
    "CalendarLink",
    "Certificate",
    "CertificatePaper",
    "CheckAttempt",
    "CommissioningPlan",
    "Defect",
    "HandOver",
    "HandOverFile",
    "InstrumentUsed",
    "LedgerEntry",
    "LogEntry",
    "Notice",
    "Outcome",
    "Photo",
    "PhotoPart",
    "PlannedStep",
    "Protocol",
    "ProtocolCheck",
    "ReadingLink",
    "ReadingLinkOpening",
    "Result",
    "SettingFound",
    "SettingTakenOver",
    "Severity",
    "SignOff",
    "TestPoint",
    "Verification",
    "Visit",
    "VisitKind",
]
