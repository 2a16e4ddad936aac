"""Common practice in one place: every figure here is tagged [P], has no published source, and is a firm's to edit.

Change one with ``dataclasses.replace(TRADE_PRACTICE, run_time_allowance=1.3)`` and hand the result to the
checks; each finding that rests on such a figure names "common practice" as its source.
"""

from dataclasses import dataclass, fields

from zones.engineering.quantities import QuantityError, check_quantity, require_positive


@dataclass(frozen=True, slots=True)
class TradePractice:
    """Editable common-practice figures. Units are in the names; all [P] unless the comment says otherwise."""

    # Cables
    # Of loaded cores where the laying is not known in full: the limit of thermoplastic insulation, the worst case.
    conductor_temperature_c: float = 70.0
    # As a guide where they are not entered, never for a verdict that a limit is met.
    usual_ambient_c: float = 30.0
    usual_grouped: float = 3.0
    question_drop_fraction: float = 0.10  # a larger drop is questioned even if the minimum voltage is met
    starting_current_required: bool = False  # True: an unknown starting current is "missing", not a note
    # Protection of outputs
    output_protection_required: bool = False  # True: an output without recorded device is "missing", not a note
    disconnection_s: float = 5.0  # IEC 60364-4-41 411.3.2.3, distribution circuits [S2]
    discharged_resistance_factor: float = 2.0  # internal resistance at the end of discharge to that of the data sheet
    # Supply
    cells: int = 12
    end_of_discharge_v_per_cell: float = 1.75  # 12 × 1.75 = 21.0 V; 1.80 gives 21.6 V
    # Battery
    standard_battery_ah: tuple[float, ...] = (
        *(1.2, 2.2, 3.2, 4.5, 7.0, 9.0, 12.0, 17.0, 24.0, 28.0),
        *(33.0, 38.0, 45.0, 55.0, 65.0, 80.0, 100.0, 120.0, 150.0, 200.0),
    )
    peukert_exponent: float = 1.15  # upper end for sealed absorbent-mat batteries [S2]
    peukert_hours: float = 20.0
    discharge_c_rate_questioned: float = 1.0  # the law is rough above about 1C
    charging_efficiency: float = 0.85
    recharge_fraction: float = 0.80  # EN 54-4 5.3.1 b [S2]
    recharge_h: float = 24.0  # EN 54-4 5.3.1 b [S2]
    battery_service_years: float = 4.0  # BS 5839-1 guidance [M]
    due_soon_days: int = 180
    # Monitored lines
    short_below_ohm: float = 100.0
    alarm_low_ohm: float = 250.0
    alarm_high_ohm: float = 2_500.0
    normal_low_ohm: float = 7_500.0
    normal_high_ohm: float = 13_000.0
    open_above_ohm: float = 20_000.0
    element_tolerance: float = 0.05
    meter_tolerance: float = 0.01
    cable_least_fraction: float = 0.85  # real copper may be this much better than the IEC 60228 maximum
    # Time
    opening_limit_s: float = 60.0  # EN 12101-2 [S2]
    run_time_allowance: float = 1.2
    run_time_ceiling_s: float = 180.0  # the proof time of EN 12101-10
    fastest_mm_per_s: float = 40.0  # no faster drive is suggested
    in_step_tolerance: float = 0.05  # actuators on one vent: stroke time may differ by this fraction
    # Vents
    estimated_discharge_coefficient: float = 0.60  # only ever shown as an estimate
    convective_share: float = 0.7  # of a fire's heat that the smoke carries [S2]; only in plume sanity checks
    force_margin: float = 1.2  # force of the actuators over weight, wind and snow: friction, seals, ageing
    # Material
    cable_allowance: float = 0.10  # metres to order beyond the lengths as drawn, for ends and waste
    glands_per_cable: float = 2.0
    spare_elements: float = 0.10  # ends of line to bring beyond those counted; at least one is rounded up

    def __post_init__(self):
        for field in fields(self):
            value = getattr(self, field.name)
            if not isinstance(value, bool | tuple):
                require_positive(field.name, value, subject="trade practice")
        for name in ("element_tolerance", "meter_tolerance"):
            check_quantity("tolerance", getattr(self, name), field=name, subject="trade practice")
        check_quantity("share", self.convective_share, field="convective_share", subject="trade practice")
        if self.force_margin < 1:
            raise QuantityError("force_margin", self.force_margin, "at least 1", subject="trade practice")
        check_quantity("temperature", self.conductor_temperature_c, field="conductor_temperature_c")
        check_quantity("ambient", self.usual_ambient_c, field="usual_ambient_c")
        check_quantity("grouped", self.usual_grouped, field="usual_grouped")
        check_quantity("exponent", self.peukert_exponent, field="peukert_exponent")
        sizes = self.standard_battery_ah
        if not sizes or list(sizes) != sorted(set(sizes)) or not sizes[0] > 0:
            raise QuantityError("standard_battery_ah", sizes, "a rising list of sizes greater than 0")
        limits = (self.short_below_ohm, self.alarm_low_ohm, self.alarm_high_ohm, self.normal_low_ohm)
        limits += (self.normal_high_ohm, self.open_above_ohm)
        if list(limits) != sorted(limits):
            raise QuantityError("resistance ranges", limits, "rising: short, alarm, normal, open")

    def __hash__(self):
        """Of a few figures: it is asked for every line and zone. Whether two are equal, all figures say."""
        return hash((self.opening_limit_s, self.normal_low_ohm, self.normal_high_ohm, self.usual_ambient_c))

    @property
    def end_of_discharge_v(self) -> float:
        """Voltage of the whole battery set at the end of its discharge, where its leads reach the panel.

        There the panel measures it and ends the discharge, so that the drop in the leads lies before it.
        """
        return self.cells * self.end_of_discharge_v_per_cell


TRADE_PRACTICE = TradePractice()
