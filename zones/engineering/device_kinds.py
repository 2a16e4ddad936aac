"""The kinds of device: a row for each, and all that the register knows of a kind stands in its row. No Django.

A kind is added here and nowhere else; what each fact means says `KindFacts`. Letters of tags and symbols after IEC
81346-2, for tags that the register proposes: any tag is accepted (handbook process.md §2). Words on labels are
standard words of the trade, from memory. What papers a hand-over needs is common practice.
"""

from zones.engineering import pattern_texts as texts
from zones.engineering.cause_and_effect.rules import InputKind
from zones.engineering.detection_lines import LineRole
from zones.engineering.kind_facts import (
    Figures,
    ImportWords,
    KindFacts,
    Run,
    ScheduleColumn,
    Shape,
    Symbol,
    table_of,
)

ANY_BUT_A_CIRCUIT = (Run.LINE, Run.LINK, Run.INPUT)


def words(text: str) -> tuple[str, ...]:
    """Words separated by commas."""
    return tuple(text.split(", "))


KINDS = table_of(
    KindFacts(
        value="control_panel",
        ifc=("IfcUnitaryControlElement", "ALARMPANEL"),
        label="control panel",
        tag_prefix="P",
        has_unit=True,
        needed_figures=words(
            "rated_voltage_v, supply_limit_a, standby_current_a, alarm_current_a, own_voltage_drop_v, "
            "charger_current_a, charger_inhibited"
        ),
        figures=(Figures.PANEL, Figures.LINE),
        hangs_on=(Run.LINE,),
        belongs_on=None,
        offers_ports=False,
        needs_zone=False,
        is_wired=False,
        is_ordered=True,
        is_electronic=False,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=None,
        input_functions=(),
        papers=words("declaration, conformity, manual"),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "A"),
        patterns={"polarity": texts.PANEL_BY_POLARITY, "addressed": texts.PANEL_ADDRESSED},
        import_words=ImportWords(
            words(
                "panel, control unit, control equipment, control cabinet, smoke control panel, smoke vent panel, "
                "vent control panel"
            )
        ),
        label_words=words(
            "Steuerzentrale, cuadro de control, tableau de commande, centrale di comando, besturingskast, "
            "centrala sterująca"
        ),
    ),
    KindFacts(
        value="actuator",
        ifc=("IfcActuator", "ELECTRICACTUATOR"),
        label="actuator",
        tag_prefix="M",
        has_unit=True,
        needed_figures=words("rated_voltage_v, minimum_voltage_v, rated_current_a, stroke_mm, speed_mm_s, drive"),
        figures=(Figures.MOVEMENT,),
        hangs_on=(Run.CIRCUIT, Run.INPUT),
        belongs_on=Run.CIRCUIT,
        offers_ports=False,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=False,
        is_mixed_up=True,
        line_role=LineRole.CONTACT,
        input_kind=None,
        input_functions=(),
        papers=words("conformity, manual"),
        schedule_column=ScheduleColumn(1, "Actuators"),
        symbol=Symbol(Shape.CIRCLE, "M"),
        patterns={
            "polarity": texts.ACTUATOR_BY_POLARITY,
            "addressed": texts.ACTUATOR_ADDRESSED,
            "two-core": texts.TWO_CORE_ACTUATOR,
        },
        import_words=ImportWords(
            words(
                "drive, motor, chain actuator, chain drive, rack actuator, spindle actuator, window actuator, "
                "vent actuator, smoke vent actuator, linear actuator, louvre actuator, folding arm actuator, "
                "actuator 24 v, act"
            ),
            within=words("actuator"),
        ),
        label_words=words("Antrieb, actuador, actionneur, attuatore, aandrijving, siłownik"),
    ),
    KindFacts(
        value="manual_call_point",
        ifc=("IfcAlarm", "MANUALPULLBOX"),
        label="manual call point",
        tag_prefix="CP",
        has_unit=True,
        needed_figures=words("standby_current_a, alarm_resistance_ohm"),
        figures=(Figures.LINE,),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=Run.LINE,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=False,
        is_mixed_up=True,
        line_role=LineRole.CALL_POINT,
        input_kind=InputKind.CALL_POINT,
        input_functions=("open", "close"),
        papers=words("declaration, label"),
        schedule_column=ScheduleColumn(4, "Call points"),
        symbol=Symbol(Shape.RECTANGLE, "S"),
        patterns={"": texts.THROUGH, "data link": texts.LINK_CALL_POINT},
        import_words=ImportWords(
            words(
                "call point, mcp, manual call, break glass, break glass unit, bgu, manual release, "
                "smoke vent call point, manual control point, release point"
            ),
            within=words("mcp"),
        ),
        label_words=words(
            "Handmelder, pulsador manual, déclencheur manuel, pulsante manuale, handmelder, przycisk ręczny"
        ),
    ),
    KindFacts(
        value="smoke_detector",
        ifc=("IfcSensor", "SMOKESENSOR"),
        label="smoke detector",
        tag_prefix="SD",
        has_unit=True,
        needed_figures=words("standby_current_a, alarm_resistance_ohm, removal_opens_line"),
        figures=(Figures.LINE,),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=Run.LINE,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=True,
        line_role=LineRole.DETECTOR,
        input_kind=InputKind.DETECTOR,
        input_functions=("open", "close"),
        papers=words("declaration"),
        schedule_column=ScheduleColumn(2, "Smoke detectors"),
        symbol=Symbol(Shape.RECTANGLE, "B"),
        patterns={"": texts.THROUGH},
        import_words=ImportWords(
            words(
                "smoke, optical detector, optical smoke detector, optical smoke, smoke head, smoke sensor, "
                "point smoke detector, photoelectric detector"
            )
        ),
        label_words=words(
            "Rauchmelder, detector de humo, détecteur de fumée, rivelatore di fumo, rookmelder, czujka dymu"
        ),
    ),
    KindFacts(
        value="heat_detector",
        ifc=("IfcSensor", "HEATSENSOR"),
        label="heat detector",
        tag_prefix="HD",
        has_unit=True,
        needed_figures=words("standby_current_a, alarm_resistance_ohm, removal_opens_line"),
        figures=(Figures.LINE,),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=Run.LINE,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=True,
        line_role=LineRole.DETECTOR,
        input_kind=InputKind.DETECTOR,
        input_functions=("open", "close"),
        papers=words("declaration"),
        schedule_column=ScheduleColumn(3, "Heat detectors"),
        symbol=Symbol(Shape.RECTANGLE, "B"),
        patterns={"": texts.THROUGH},
        import_words=ImportWords(
            words("heat, heat sensor, heat head, fixed heat detector, rate of rise detector, point heat detector")
        ),
        label_words=words(
            "Wärmemelder, detector de calor, détecteur de chaleur, rivelatore di calore, thermische melder, "
            "czujka ciepła"
        ),
    ),
    KindFacts(
        value="ventilation_switch",
        ifc=("IfcSwitchingDevice", "MOMENTARYSWITCH"),
        label="ventilation switch",
        tag_prefix="VS",
        has_unit=True,
        needed_figures=(),
        figures=(),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=None,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=False,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=InputKind.VENTILATION_SWITCH,
        input_functions=("open", "close"),
        papers=words("conformity"),
        schedule_column=ScheduleColumn(5, "Ventilation switches"),
        symbol=Symbol(Shape.RECTANGLE, "S"),
        patterns={"": texts.SWITCH},
        import_words=ImportWords(
            words(
                "vent switch, comfort switch, ventilation push button, ventilation button, open close switch, switch"
            ),
            never_within=words("vent switch"),  # a "smoke vent switch" may be the fire service's
        ),
        label_words=words(
            "Lüftungstaster, pulsador de ventilación, commande de ventilation, pulsante di ventilazione, "
            "ventilatieschakelaar, przycisk przewietrzania"
        ),
    ),
    KindFacts(
        value="rain_sensor",
        ifc=("IfcSensor", "MOISTURESENSOR"),
        label="rain sensor",
        tag_prefix="RS",
        has_unit=True,
        needed_figures=(),
        figures=(),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=None,
        offers_ports=True,
        needs_zone=False,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=InputKind.RAIN,
        input_functions=("rain",),
        papers=words("conformity"),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "B"),
        patterns={"": texts.SENSOR},
        import_words=ImportWords(words("rain, rain detector")),
        label_words=words(
            "Regensensor, sensor de lluvia, détecteur de pluie, sensore di pioggia, regensensor, czujnik deszczu"
        ),
    ),
    KindFacts(
        value="wind_sensor",
        ifc=("IfcSensor", "WINDSENSOR"),
        label="wind sensor",
        tag_prefix="WS",
        has_unit=True,
        needed_figures=(),
        figures=(),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=None,
        offers_ports=True,
        needs_zone=False,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=InputKind.WIND,
        input_functions=("wind",),
        papers=words("conformity"),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "B"),
        patterns={"": texts.SENSOR},
        import_words=ImportWords(
            words("wind, wind detector, anemometer"),
            within=words("anemometer"),
        ),
        label_words=words(
            "Windsensor, sensor de viento, détecteur de vent, sensore di vento, windsensor, czujnik wiatru"
        ),
    ),
    KindFacts(
        value="fire_alarm_interface",
        ifc=("IfcController", "TWOPOSITION"),
        label="fire alarm interface",
        tag_prefix="FA",
        has_unit=True,
        needed_figures=(),
        figures=(Figures.LINE,),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=None,
        offers_ports=True,
        needs_zone=False,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=InputKind.FIRE_ALARM,
        input_functions=("fire_alarm",),
        papers=(),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "K"),
        patterns={"": texts.CONTACT},
        import_words=ImportWords(
            words("fai, fire alarm input, alarm interface, fire alarm relay, fire alarm contact, interface")
        ),
        label_words=words(
            "Schnittstelle zur Brandmeldeanlage, interfaz de alarma de incendio, "
            "interface de détection incendie, interfaccia allarme incendio, koppeling brandmeldinstallatie, "
            "interfejs sygnalizacji pożarowej"
        ),
    ),
    KindFacts(
        value="fire_service_control",
        ifc=("IfcSwitchingDevice", "SELECTORSWITCH"),
        label="fire service control",
        tag_prefix="FS",
        has_unit=True,
        needed_figures=(),
        figures=(),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=None,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=InputKind.FIRE_SERVICE,
        input_functions=("open", "close"),
        papers=(),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "S"),
        patterns={"": texts.SWITCH, "data link": texts.LINK_CALL_POINT},
        import_words=ImportWords(
            words(
                "fire service switch, firefighters switch, fire fighters switch, firemans switch, "
                "fire service override, firefighter control"
            )
        ),
        label_words=words(
            "Feuerwehrbedienung, mando de bomberos, commande des pompiers, comando dei vigili del fuoco, "
            "brandweerbediening, sterowanie straży pożarnej"
        ),
    ),
    KindFacts(
        value="indicator",
        ifc=("IfcAlarm", "LIGHT"),
        label="indicator or sounder",
        tag_prefix="IN",
        has_unit=True,
        needed_figures=(),
        figures=(),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=None,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=None,
        input_functions=("open", "close"),
        papers=(),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "P"),
        patterns={"": texts.SUPPLIED},
        import_words=ImportWords(
            words("sounder, beacon, indicator lamp, lamp, indicator sounder, sounder beacon, status lamp, buzzer"),
            within=words("sounder, beacon"),
        ),
        label_words=words(
            "Anzeige oder Signalgeber, indicador o sirena, voyant ou avertisseur, spia o segnalatore, "
            "lamp of signaalgever, wskaźnik lub sygnalizator"
        ),
    ),
    KindFacts(
        value="battery",
        ifc=("IfcElectricFlowStorageDevice", "BATTERY"),
        label="battery",
        tag_prefix="G",
        has_unit=True,
        needed_figures=words("rated_voltage_v, capacity_ah, discharge_limit_a, service_life_years"),
        figures=(Figures.BATTERY,),
        hangs_on=(Run.LINE,),
        belongs_on=None,
        offers_ports=False,
        needs_zone=False,
        is_wired=False,
        is_ordered=False,
        is_electronic=False,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=None,
        input_functions=(),
        papers=(),
        schedule_column=None,
        symbol=Symbol(Shape.BATTERY),
        patterns={"": texts.BLOCK},
        import_words=ImportWords(words("batteries, battery set, standby battery, standby batteries")),
        label_words=words("Batterie, batería, batterie, batteria, accu, akumulator"),
    ),
    KindFacts(
        value="junction_box",
        ifc=("IfcJunctionBox", "POWER"),
        label="junction box",
        tag_prefix="JB",
        has_unit=False,
        needed_figures=(),
        figures=(),
        hangs_on=(),
        belongs_on=None,
        offers_ports=False,
        needs_zone=False,
        is_wired=False,
        is_ordered=True,
        is_electronic=False,
        is_mixed_up=False,
        line_role=LineRole.CONTACT,
        input_kind=None,
        input_functions=(),
        papers=(),
        schedule_column=None,
        symbol=Symbol(Shape.DASHED, "X"),
        patterns={},
        import_words=ImportWords(words("joint box, connection box, terminal box")),
        label_words=words(
            "Abzweigdose, caja de derivación, boîte de dérivation, scatola di derivazione, lasdoos, puszka rozgałęźna"
        ),
    ),
)
