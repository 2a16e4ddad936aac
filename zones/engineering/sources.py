"""The documents behind the checks, each with edition and tag.

Standards cost money and change. A tag of "S2" means that the text was seen second-hand, "M" that it stands
here from memory: look into the document before relying on it. Tag "P" is common practice, which a firm can
edit (see trade_practice.py). The years of editions stand here from memory.
"""

from dataclasses import dataclass

HOW_KNOWN = {"S2": "second-hand", "M": "from memory"}  # the other tags need no such word


@dataclass(frozen=True, slots=True)
class Source:
    """Where a rule or figure comes from, with its edition.

    `tag` as in the handbook: "S" published and seen, "S2" seen second-hand, "M" from memory,
    "P" common practice (a firm can edit it), "calc" arithmetic or geometry.
    """

    document: str
    edition: str = ""
    clause: str = ""
    tag: str = "calc"

    def __str__(self) -> str:
        words = f"{self.document}:{self.edition}" if self.edition else self.document
        return f"{words}, {self.clause}" if self.clause else words

    @property
    def in_full(self) -> str:
        """The source with how it is known, in words: "EN 54-4:1997, 5.3.1 b (second-hand)"."""
        how = HOW_KNOWN.get(self.tag)
        return f"{self} ({how})" if how else str(self)


GEOMETRY = Source("Geometry", tag="calc")
STATICS = Source("Statics", "", "moments about the hinge", "calc")
OHMS_LAW = Source("Ohm's law", tag="calc")
# What a person entered: the data sheet of the maker, the fire strategy of the building, the record itself.
PRACTICE = Source("common practice", tag="P")
DATA_SHEET = Source("data sheet", tag="P")
DESIGN_ENTRY = Source("fire strategy", tag="P")
RECORD = Source("the record", tag="P")

IEC_60228 = Source("IEC 60228", "2004", "tables 1 to 3", "S2")
NFPA_70_STRANDED = Source("NFPA 70", "2020", "chapter 9, table 8, brought to 20 °C", "S2")
ASTM_B258 = Source("ASTM B258", "2014", "solid conductors, with IEC 60028", "S2")

EN_12101_2_TIME = Source("EN 12101-2", "2017", "opening within 60 s", "S2")
EN_12101_2_AREA = Source("EN 12101-2", "2017", "aerodynamic free area", "S2")
EN_12101_2_CLASSES = Source("EN 12101-2", "2017", "classes WL, SL, T, Re, B", "M")
EN_12101_10 = Source("EN 12101-10", "2005", "6.2.2", "S2")
BS_5839_1_2025 = Source("BS 5839-1", "2025", "annex E", "S2")
BS_5839_1_2017 = Source("BS 5839-1", "2017", "annex D", "S2")
VDE_0833 = Source("VDE 0833-2", "2017", "standby supply", "S2")
NFPA_72_2019 = Source("NFPA 72", "2019", "10.6.7", "S2")
NFPA_72_2022 = Source("NFPA 72", "2022", "10.6.7", "S2")
IEEE_485 = Source("IEEE 485", "2010", "temperature table", "M")
ISO_8820_3 = Source("ISO 8820-3", "2010", "operating times", "M")
IEC_60127_2 = Source("IEC 60127-2", "2014", "time-current characteristics", "M")
IEC_60898_2 = Source("IEC 60898-2", "2016", "standard ranges of tripping, direct current", "M")
IEC_60364_5_52 = Source("IEC 60364-5-52", "2009", "annex B", "S2")
IEC_60364_5_52_AMBIENT = Source("IEC 60364-5-52", "2009", "table B.52.14", "S2")
IEC_60364_5_52_GROUPING = Source("IEC 60364-5-52", "2009", "table B.52.17, item 1", "S2")
# Below 1.5 mm², where the international table has nothing.
NBR_5410 = Source("ABNT NBR 5410", "2004", "tables 36 and 37", "S2")
IEC_60364_4_43_OVERLOAD = Source("IEC 60364-4-43", "2008", "433.1", "S2")
IEC_60364_4_43_SHORT = Source("IEC 60364-4-43", "2008", "434.5.2 and table 43A", "S2")
IEC_60364_4_41 = Source("IEC 60364-4-41", "2005", "411.3.2.3", "S2")
EN_50200 = Source("EN 50200", "2015", "PH classification", "S2")
EN_50577 = Source("EN 50577", "2015", "P classification", "S2")
DIN_4102_12 = Source("DIN 4102-12", "1998", "circuit integrity of cable systems", "S2")
EN_54_4 = Source("EN 54-4", "1997", "5.3.1 b", "S2")
IEC_60445 = Source("IEC 60445", "2021", "colours of designated conductors", "S2")
IEC_60757 = Source("IEC 60757", "2021", "colour codes", "M")
IEC_61666 = Source("IEC 61666", "2010", "terminal designations", "S2")
EN_54_2 = Source("EN 54-2", "1997", "faults on monitored lines", "M")
PEUKERT = Source("Peukert's law", tag="S2")
AGEING_RULE = Source("Makers' guidance", "", "life halves for each 10 K", "S2")
IEC_60364_6 = Source("IEC 60364-6", "2016", "insulation resistance", "S2")
EN_54_5 = Source("EN 54-5", "2017", "removal of a head is signalled", "S2")
AD_B_1_LOBBY = Source("Approved Document B volume 1", "2019", "3.51", "S2")
AD_B_1_HEAD_OF_STAIR = Source("Approved Document B volume 1", "2019", "section 3", "S2")
AD_B_1_BASEMENT = Source("Approved Document B volume 1", "2019", "section 16", "S2")
BS_9991_STAIR = Source("BS 9991", "2024", "head of the stair", "S2")
MBO_STAIR = Source("German model building code", "2002", "section 35 (8)", "S2")
MBO_LIFT = Source("German model building code", "2002", "section 39 (3)", "S2")
OLD_STAIR_RULE = Source("German building codes before 2002", "", "stairs", "S2")
CODE_DU_TRAVAIL = Source("Code du travail", "2008", "R. 4216-14", "S")
INLET_COEFFICIENTS = Source("DIN 18232-2", "2007", "inlets by opening angle", "M")
PLUME_LARGE_SPACE = Source("BR 368", "1999", "large-fire plume, coefficient 0.188", "S")
PLUME_SMALL_ROOM = Source("BR 368", "1999", "large-fire plume, coefficient 0.337", "S2")
NFPA_92_PLUME = Source("NFPA 92", "2012", "axisymmetric plume", "M")

# Whose the limit is that a check keeps, where the finding rests on another source; `meets` says it.
LIMIT_OF = {
    "air.inlets": DESIGN_ENTRY,
    "air.time": DESIGN_ENTRY,
    "area.zone": DESIGN_ENTRY,
    "cable.voltage": DATA_SHEET,
    "cable.voltage_fire": DATA_SHEET,
    "cable.voltage_fire_starting": DATA_SHEET,
    "cable.voltage_starting": DATA_SHEET,
    "consistency.circuit_end": RECORD,
    "consistency.line_end": RECORD,
    "consistency.zone": DESIGN_ENTRY,
    "line.break": PRACTICE,
    "line.removal": RECORD,
    "line.short": PRACTICE,
    "link.voltage": DATA_SHEET,
}


def every_source() -> tuple[Source, ...]:
    """Every source of this table."""
    return tuple(one for one in globals().values() if isinstance(one, Source))
