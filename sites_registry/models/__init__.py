from sites_registry.models.buildings import Building
from sites_registry.models.clients import Client, Contact
from sites_registry.models.firm import Firm
from sites_registry.models.instruments import Instrument
from sites_registry.models.jobs import HandedOverDocument, Job, Variation
from sites_registry.models.kept_files import KeptFile
from sites_registry.models.mails import Mail
from sites_registry.models.people import Invitation, Person
from sites_registry.models.qualifications import Qualification
from sites_registry.models.submissions import Counter, Submission

__all__ = [
    "Building",
    "Client",
    "Contact",
    "Counter",
    "Firm",
    "HandedOverDocument",
    "Instrument",
    "Invitation",
    "Job",
    "KeptFile",
    "Mail",
    "Person",
    "Qualification",
    "Submission",
    "Variation",
]
