"""The fixed words of labels in some languages; tags, places and names stay as they were typed. No database.

Standard words of the trade, from memory, one for each thing: have them read by somebody who speaks the language before
labels are made in numbers. The label of a device that the standard prescribes stays that of its maker.
"""

import re

from zones.engineering.device_kinds import KINDS
from zones.engineering.kind_facts import LABEL_LANGUAGES
from zones.models.languages import name_of

ENGLISH = "en"
# Word in English → (de, es, fr, it, nl, pl).
_RUN = re.compile(r"\b(?:circuit|line|data link|inputs?)\b")
_WORDS = {
    "zone": ("Zone", "zona", "zone", "zona", "zone", "strefa"),
    "circuit": ("Stromkreis", "circuito", "circuit", "circuito", "circuit", "obwód"),
    "line": ("Linie", "línea", "ligne", "linea", "lijn", "linia"),
    "group": ("Gruppe", "grupo", "groupe", "gruppo", "groep", "grupa"),
    "data link": ("Datenlinie", "enlace de datos", "liaison de données", "linea dati", "datalijn", "linia danych"),
    "input": ("Eingang", "entrada", "entrée", "ingresso", "ingang", "wejście"),
    "number at the panel": (
        "Nummer an der Zentrale",
        "número en el cuadro",
        "numéro au tableau",
        "numero in centrale",
        "nummer op de kast",
        "numer w centrali",
    ),
    "to": ("nach", "a", "vers", "verso", "naar", "do"),
    "spare, parked": (
        "Reserve, abgelegt",
        "reserva, aislada",
        "réserve, isolé",
        "riserva, isolato",
        "reserve, geïsoleerd",
        "zapas, zaizolowany",
    ),
    "end not recorded": (
        "Ende nicht erfasst",
        "extremo no registrado",
        "extrémité non relevée",
        "estremità non registrata",
        "einde niet vastgelegd",
        "koniec niezapisany",
    ),
    "end-of-line resistor here": (
        "Endwiderstand hier",
        "resistencia de final de línea aquí",
        "résistance de fin de ligne ici",
        "resistenza di fine linea qui",
        "eindweerstand hier",
        "rezystor końcowy tutaj",
    ),
    "end-of-line module here": (
        "Endmodul hier",
        "módulo de final de línea aquí",
        "module de fin de ligne ici",
        "modulo di fine linea qui",
        "eindmodule hier",
        "moduł końcowy tutaj",
    ),
    **{facts.label: facts.label_words for facts in KINDS.values()},
}
CHOICES = sorted(((code, name_of(code)) for code in (ENGLISH, *LABEL_LANGUAGES)), key=lambda row: row[1])


class LabelWords:
    """The fixed words of a label in one language or in two: `words("zone")` → "zone / Zone"."""

    def __init__(self, first: str = ENGLISH, second: str = ""):
        self.languages = tuple(dict.fromkeys(code for code in (first or ENGLISH, second) if code))

    def __call__(self, word: str) -> str:
        found = (word if code == ENGLISH else _WORDS[word][LABEL_LANGUAGES.index(code)] for code in self.languages)
        by_look = {each.casefold(): each for each in found}  # "zone" in two languages is said once
        return " / ".join(by_look.values())

    def in_text(self, text: str) -> str:
        """A run as it is named in English ("P1 inputs 1 and 2 at CP2") with its word in these languages."""
        if self.languages == (ENGLISH,):
            return text
        found = _RUN.sub(lambda match: self(match[0].removesuffix("s")), text)
        return found.replace(" and ", ", ").replace(" at ", ", ")

    def number_at_the_panel(self, number: int) -> str:
        if self.languages == (ENGLISH,):
            return f"number {number} at the panel"
        return f"{self('number at the panel')} {number}"
