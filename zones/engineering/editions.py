"""The documents that checks, calculators and protocols rest on: one row for each edition, and what came after it.

Tags as in sources.py: that an edition is superseded was seen second-hand ("S2") or stands here from memory ("M"). An
empty `superseded_by` says that no later edition is known here, not that there is none.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from zones.engineering.findings import Finding, note
from zones.engineering.sources import HOW_KNOWN, RECORD, Source


@dataclass(frozen=True, slots=True)
class Document:
    """One edition of a document. `superseded_by`: the later edition; `superseded_known`: how that is known."""

    name: str
    edition: str
    title: str
    superseded_by: str = ""
    superseded_known: str = ""
    remark: str = ""

    @property
    def designation(self) -> str:
        """As a finding cites it: "IEC 60228:2004"."""
        return f"{self.name}:{self.edition}" if self.edition else self.name

    @property
    def standing(self) -> str:
        """What became of it, in words: "superseded by the 2023 edition (second-hand)"; empty: nothing known."""
        if not self.superseded_by:
            return ""
        return f"superseded by the {self.superseded_by} edition ({HOW_KNOWN[self.superseded_known]})"


_CABLES = "Electrical cables under fire: "
_INSTALLATIONS = "Low-voltage electrical installations: "
_ALARM = "Fire detection and fire alarm systems: "
_VENTS = "Smoke and heat control systems: "
_DOCUMENTS = (
    Document("EN 12101-2", "2003", f"{_VENTS}natural ventilators", "2017", "S2", "Declarations may still rest on it."),
    Document("EN 12101-2", "2017", f"{_VENTS}natural ventilators"),
    Document("EN 12101-10", "2005", f"{_VENTS}power supplies"),
    Document("BS 7346-8", "2013", f"{_VENTS}planning, installation, commissioning, maintenance"),
    Document("DIN 18232-2", "2007", "Smoke and heat control: design of natural ventilation"),
    Document("BS 9991", "2024", "Fire safety of residential buildings"),
    Document("Approved Document B volume 1", "2019", "Fire safety of dwellings, England", remark="Amended since."),
    Document("BR 368", "1999", "Design methods for smoke and heat exhaust ventilation"),
    Document("NFPA 92", "2012", "Smoke control systems", "2015", "M", "And by later ones."),
    Document("German model building code", "2002", "Model building code of the German states", remark="Amended since."),
    Document("German building codes before 2002", "", "Stairs and shafts of existing buildings"),
    Document("Code du travail", "2008", "French labour code: work places"),
    Document("BS 5839-1", "2017", f"{_ALARM}buildings, code of practice", "2025", "S2"),
    Document("BS 5839-1", "2025", f"{_ALARM}buildings, code of practice"),
    Document("VDE 0833-2", "2017", "Alarm systems: fire alarm systems", "2022", "S2"),
    Document("NFPA 72", "2019", "National fire alarm and signaling code", "2022", "S2"),
    Document("NFPA 72", "2022", "National fire alarm and signaling code", "2025", "M"),
    Document("EN 54-2", "1997", f"{_ALARM}control and indicating equipment", remark="Amended in 2006, from memory."),
    Document("EN 54-4", "1997", f"{_ALARM}power supply equipment", remark="Amended in 2002 and 2006, from memory."),
    Document("EN 54-5", "2017", f"{_ALARM}heat detectors, point"),
    Document("IEEE 485", "2010", "Sizing of lead-acid batteries for stationary use", "2020", "M"),
    Document("IEEE 1188", "", "Maintenance and replacement of sealed lead-acid batteries", remark="Edition not known."),
    Document("ASTM B258", "2014", "Solid conductors by AWG size", remark="Edition from memory; the formula is older."),
    Document("NFPA 70", "2020", "National electrical code, United States", "2023", "M", "Edition from memory."),
    Document("IEC 60228", "2004", "Conductors of insulated cables", "2023", "S2"),
    Document("IEC 60364-4-41", "2005", f"{_INSTALLATIONS}electric shock", remark="Amended in 2017, from memory."),
    Document("IEC 60364-4-43", "2008", f"{_INSTALLATIONS}overcurrent", "2023", "M"),
    Document("IEC 60364-5-52", "2009", f"{_INSTALLATIONS}wiring systems", remark="Amended in 2024, from memory."),
    Document("ABNT NBR 5410", "2004", f"{_INSTALLATIONS}Brazil, after IEC 60364"),
    Document("IEC 60364-6", "2016", f"{_INSTALLATIONS}verification"),
    Document("IEC 60127-2", "2014", "Miniature fuses: cartridge fuse-links"),
    Document("ISO 8820-3", "2010", "Road vehicles: blade fuse-links", "2015", "M"),
    Document("IEC 60898-2", "2016", "Circuit-breakers for alternating and direct current"),
    Document("EN 50200", "2015", f"{_CABLES}small cables, with shock"),
    Document("EN 50577", "2015", f"{_CABLES}unprotected cables"),
    Document("DIN 4102-12", "1998", f"{_CABLES}cable systems with their support"),
    Document("EN 1363-1", "2020", "Fire resistance tests: general requirements"),
    Document("EN 1991-1-3", "2003", "Actions on structures: snow loads", remark="A second generation is being issued."),
    Document("IEC 60445", "2021", "Identification of terminals and conductors"),
    Document("IEC 60757", "2021", "Codes of colours"),
    Document(
        "IEC 61666", "2010", "Identification of terminals within a system", remark="Amended in 2021, from memory."
    ),
    Document("Peukert's law", "", "Capacity of a battery by its discharge current, 1897"),
    Document("Makers' guidance", "", "Life of sealed batteries by temperature"),
)
DOCUMENTS: Mapping[tuple[str, str], Document] = MappingProxyType({(one.name, one.edition): one for one in _DOCUMENTS})


def document_of(source: Source) -> Document | None:
    """The row of a source; None for arithmetic, common practice and what a person entered."""
    return DOCUMENTS.get((source.document, source.edition))


def superseded_in(text: str) -> list[Document]:
    """Superseded editions that a text names: "BS 5839-1:2017, clause 25"."""
    return [one for one in _DOCUMENTS if one.superseded_by and f"{one.name}:{one.edition}" in text]


def check_editions(building: str, stated: Iterable[tuple[str, str]]) -> list[Finding]:
    """A note for each superseded edition that a building is designed by.

    Args:     stated: (where it is stated, the words there).
    Source:   the table above.
    """
    found = {}
    for where, text in stated:
        for document in superseded_in(text):
            found.setdefault(document, []).append(where)
    return [
        note(
            "edition.superseded",
            building,
            f"{building}: {document.designation}, named in the {' and the '.join(places)}, is {document.standing}. A "
            f"building keeps the edition under which it was designed; new work goes by the one in force.",
            RECORD,
        )
        for document, places in found.items()
    ]
