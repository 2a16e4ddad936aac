"""The fixed words of labels in some languages; tags, places and names stay as they were typed. No database.

Standard words of the trade, from memory, one for each thing: have them read by somebody who speaks the language before
labels are made in numbers. The label of a device that the standard prescribes stays that of its maker.
"""

import re

from zones.models.kinds import DeviceKind
from zones.models.languages import name_of

ENGLISH = "en"
# Word in English → (de, es, fr, it, nl, pl).
_RUN = re.compile(r"\b(?:circuit|line|data link|inputs?)\b")
_LANGUAGES = ("de", "es", "fr", "it", "nl", "pl")
_WORDS = {
    "zone": ("Zone", "zona", "zone", "zona", "zone", "strefa"),
    "circuit": ("Stromkreis", "circuito", "circuit", "circuito", "circuit", "obwód"),
    "line": ("Linie", "línea", "ligne", "linea", "lijn", "linia"),
    "group": ("Gruppe", "grupo", "groupe", "gruppo", "groep", "grupa"),
    "data link": ("Datenlinie", "enlace de datos", "liaison de données", "linea dati", "datalijn", "linia danych"),
    "input": ("Eingang", "entrada", "entrée", "ingresso", "ingang", "wejście"),
    "number at the panel": (
        "Nummer an der Zentrale", "número en el cuadro", "numéro au tableau", "numero in centrale",
        "nummer op de kast", "numer w centrali",
    ),
    "to": ("nach", "a", "vers", "verso", "naar", "do"),
    "spare, parked": (
        "Reserve, abgelegt", "reserva, aislada", "réserve, isolé", "riserva, isolato", "reserve, geïsoleerd",
        "zapas, zaizolowany",
    ),
    "end not recorded": (
        "Ende nicht erfasst", "extremo no registrado", "extrémité non relevée", "estremità non registrata",
        "einde niet vastgelegd", "koniec niezapisany",
    ),
    "end-of-line resistor here": (
        "Endwiderstand hier", "resistencia de final de línea aquí", "résistance de fin de ligne ici",
        "resistenza di fine linea qui", "eindweerstand hier", "rezystor końcowy tutaj",
    ),
    "end-of-line module here": (
        "Endmodul hier", "módulo de final de línea aquí", "module de fin de ligne ici", "modulo di fine linea qui",
        "eindmodule hier", "moduł końcowy tutaj",
    ),
    DeviceKind.CONTROL_PANEL.label: (
        "Steuerzentrale", "cuadro de control", "tableau de commande", "centrale di comando", "besturingskast",
        "centrala sterująca",
    ),
    DeviceKind.ACTUATOR.label: ("Antrieb", "actuador", "actionneur", "attuatore", "aandrijving", "siłownik"),
    DeviceKind.MANUAL_CALL_POINT.label: (
        "Handmelder", "pulsador manual", "déclencheur manuel", "pulsante manuale", "handmelder", "przycisk ręczny",
    ),
    DeviceKind.SMOKE_DETECTOR.label: (
        "Rauchmelder", "detector de humo", "détecteur de fumée", "rivelatore di fumo", "rookmelder", "czujka dymu",
    ),
    DeviceKind.HEAT_DETECTOR.label: (
        "Wärmemelder", "detector de calor", "détecteur de chaleur", "rivelatore di calore", "thermische melder",
        "czujka ciepła",
    ),
    DeviceKind.VENTILATION_SWITCH.label: (
        "Lüftungstaster", "pulsador de ventilación", "commande de ventilation", "pulsante di ventilazione",
        "ventilatieschakelaar", "przycisk przewietrzania",
    ),
    DeviceKind.RAIN_SENSOR.label: (
        "Regensensor", "sensor de lluvia", "détecteur de pluie", "sensore di pioggia", "regensensor", "czujnik deszczu",
    ),
    DeviceKind.WIND_SENSOR.label: (
        "Windsensor", "sensor de viento", "détecteur de vent", "sensore di vento", "windsensor", "czujnik wiatru",
    ),
    DeviceKind.FIRE_ALARM_INTERFACE.label: (
        "Schnittstelle zur Brandmeldeanlage", "interfaz de alarma de incendio", "interface de détection incendie",
        "interfaccia allarme incendio", "koppeling brandmeldinstallatie", "interfejs sygnalizacji pożarowej",
    ),
    DeviceKind.FIRE_SERVICE_CONTROL.label: (
        "Feuerwehrbedienung", "mando de bomberos", "commande des pompiers", "comando dei vigili del fuoco",
        "brandweerbediening", "sterowanie straży pożarnej",
    ),
    DeviceKind.INDICATOR.label: (
        "Anzeige oder Signalgeber", "indicador o sirena", "voyant ou avertisseur", "spia o segnalatore",
        "lamp of signaalgever", "wskaźnik lub sygnalizator",
    ),
    DeviceKind.BATTERY.label: ("Batterie", "batería", "batterie", "batteria", "accu", "akumulator"),
    DeviceKind.JUNCTION_BOX.label: (
        "Abzweigdose", "caja de derivación", "boîte de dérivation", "scatola di derivazione", "lasdoos",
        "puszka rozgałęźna",
    ),
}  # fmt: skip
CHOICES = sorted(((code, name_of(code)) for code in (ENGLISH, *_LANGUAGES)), key=lambda row: row[1])


class LabelWords:
    """The fixed words of a label in one language or in two: `words("zone")` → "zone / Zone"."""

    def __init__(self, first: str = ENGLISH, second: str = ""):
        self.languages = tuple(dict.fromkeys(code for code in (first or ENGLISH, second) if code))

    def __call__(self, word: str) -> str:
        found = (word if code == ENGLISH else _WORDS[word][_LANGUAGES.index(code)] for code in self.languages)
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
