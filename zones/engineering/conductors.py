"""Resistance of copper conductors: by standard size, by AWG, warm, and in the fire.

The nominal area is a name; the standard fixes the greatest resistance. A limit check therefore takes the
table, never resistivity over area.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from zones.engineering.derived import derived
from zones.engineering.quantities import QuantityError, check_quantity, require_one_of

# Greatest DC resistance of one copper core at 20 °C, ohm/km. Source: IEC 60228:2004, tables 1 to 3 [S2].
# area mm²: (class 1 and 2 plain, class 1 and 2 tinned, class 5 plain, class 5 tinned)
IEC_60228_OHM_PER_KM: Mapping[float, tuple[float, float, float, float]] = MappingProxyType(
    {
        0.5: (36.0, 36.7, 39.0, 40.1),
        0.75: (24.5, 24.8, 26.0, 26.7),
        1.0: (18.1, 18.2, 19.5, 20.0),
        1.5: (12.1, 12.2, 13.3, 13.7),
        2.5: (7.41, 7.56, 7.98, 8.21),
        4.0: (4.61, 4.70, 4.95, 5.09),
        6.0: (3.08, 3.11, 3.30, 3.39),
        10.0: (1.83, 1.84, 1.91, 1.95),
        16.0: (1.15, 1.16, 1.21, 1.24),
    }
)
STANDARD_AREAS_MM2 = tuple(IEC_60228_OHM_PER_KM)
CONDUCTOR_CLASSES = (1, 2, 5)

# Direct-current resistance of stranded copper at 75 °C, ohm per 1000 ft, by AWG number: (uncoated, coated).
# Source: NFPA 70, chapter 9, table 8 [S2]. ASTM B258, in contrast, is solid and nominal.
NFPA_70_TABLE_8_OHM_PER_KFT: Mapping[int, tuple[float, float]] = MappingProxyType(
    {
        18: (7.95, 8.45),
        16: (4.99, 5.29),
        14: (3.14, 3.26),
        12: (1.98, 2.05),
        10: (1.24, 1.29),
        8: (0.778, 0.809),
        6: (0.491, 0.510),
        4: (0.308, 0.321),
        3: (0.245, 0.254),
        2: (0.194, 0.201),
        1: (0.154, 0.160),
        0: (0.122, 0.127),
        -1: (0.0967, 0.101),
        -2: (0.0766, 0.0797),
        -3: (0.0608, 0.0626),
    }
)
_STRANDED_ADDS, _TINNED_STRANDED_ADDS = 1.03, 1.09

COPPER_RESISTIVITY_20C_OHM_MM2_PER_M = 0.017241  # IEC 60028, 1/58, standard annealed copper [S2]
COPPER_TEMPERATURE_COEFFICIENT_PER_K = 0.00393  # at 20 °C, IEC 60028 [S2]


@dataclass(frozen=True)
class Conductor:
    """One copper core. `conductor_class` per IEC 60228: 1 solid, 2 stranded, 5 flexible.

    Give a standard `area_mm2` with its class, or an `awg` size ("18", "2/0"); not both. An AWG core of no class, or of
    any but 1, counts as stranded.
    Raises QuantityError for an area that is not in the table, naming the sizes that are.
    """

    area_mm2: float | None = None
    conductor_class: int | None = None
    tinned: bool = False
    awg: str | None = None

    def __post_init__(self):
        if (self.area_mm2 is None) == (self.awg is None):
            raise QuantityError("area_mm2", self.area_mm2, "given, or an AWG size in its place, not both")
        if self.awg is not None:
            awg_number(self.awg)
            if self.conductor_class is not None:
                require_one_of("conductor_class", self.conductor_class, CONDUCTOR_CLASSES)
            return
        check_quantity("area", self.area_mm2, field="area_mm2")
        require_one_of("area_mm2", self.area_mm2, STANDARD_AREAS_MM2)
        require_one_of("conductor_class", self.conductor_class, CONDUCTOR_CLASSES)

    @derived
    def ohm_per_km(self) -> float:
        """Greatest resistance of one core at 20 °C; of an AWG size what its table says."""
        if self.awg is not None:
            if self.conductor_class == 1 and not self.tinned:
                return awg_ohm_per_km(self.awg)
            return awg_stranded_ohm_per_km(self.awg, tinned=self.tinned)
        return IEC_60228_OHM_PER_KM[self.area_mm2][table_column(self.conductor_class, self.tinned)]

    @derived
    def section_mm2(self) -> float:
        """Cross-section of the copper, mm²."""
        return self.area_mm2 if self.awg is None else awg_area_mm2(self.awg)

    @property
    def in_words(self) -> str:
        """Size with class and surface: "1.5 mm² class 2", "AWG 16 stranded"."""
        if self.awg is not None:
            return f"{self} {'solid' if self.conductor_class == 1 else 'stranded'}{' tinned' if self.tinned else ''}"
        return f"{self} class {self.conductor_class}{' tinned' if self.tinned else ''}"

    def __str__(self) -> str:
        return f"AWG {self.awg}" if self.awg is not None else f"{self.area_mm2:g} mm²"


def table_column(conductor_class: int, tinned: bool) -> int:
    """Column of IEC_60228_OHM_PER_KM for a class (1, 2 or 5) and a surface."""
    return (2 if conductor_class == 5 else 0) + bool(tinned)


def resistance_ohm_per_km(area_mm2: float, conductor_class: int, *, tinned: bool = False) -> float:
    """Greatest resistance of one copper core at 20 °C, ohm/km.

    Args:     area_mm2: a standard size, mm²; conductor_class: 1, 2 or 5.
    Raises:   QuantityError: size or class not in the table.
    Source:   IEC 60228:2004, tables 1 to 3 [S2].
    """
    require_one_of("area_mm2", area_mm2, STANDARD_AREAS_MM2)
    require_one_of("conductor_class", conductor_class, CONDUCTOR_CLASSES)
    return IEC_60228_OHM_PER_KM[area_mm2][table_column(conductor_class, tinned)]


def awg_number(size: str | int) -> int:
    """The number n of an AWG size: "18" is 18, "0" or "1/0" is 0, "00" or "2/0" is -1, "0000" is -3.

    Raises:   QuantityError: not an AWG size from 4/0 to 40.
    """
    text = str(size).strip().upper().removeprefix("AWG").strip()
    if re.fullmatch(r"0{1,4}", text):
        return 1 - len(text)
    if match := re.fullmatch(r"([1-4])/0", text):
        return 1 - int(match[1])
    if re.fullmatch(r"[1-9][0-9]?", text) and int(text) <= 40:
        return int(text)
    raise QuantityError("awg", size, "an AWG size from 4/0 to 40")


def awg_diameter_mm(size: str | int) -> float:
    """Diameter of a solid AWG conductor, mm. Source: ASTM B258, d = 0.127 × 92^((36 - n)/39) [S2]."""
    return 0.127 * 92 ** ((36 - awg_number(size)) / 39)


def awg_area_mm2(size: str | int) -> float:
    """Cross-section of a solid AWG conductor, mm². Source: ASTM B258 [S2]."""
    return math.pi * awg_diameter_mm(size) ** 2 / 4


def awg_ohm_per_km(size: str | int) -> float:
    """Nominal resistance of one solid AWG core at 20 °C, ohm/km. Source: ASTM B258 with IEC 60028 [S2]."""
    return 1000 * COPPER_RESISTIVITY_20C_OHM_MM2_PER_M / awg_area_mm2(size)


def awg_stranded_ohm_per_km(size: str | int, *, tinned: bool = False) -> float:
    """Resistance of one stranded AWG core at 20 °C, ohm/km.

    Source:   NFPA 70, chapter 9, table 8 (75 °C), brought to 20 °C by the table's own note 2 [S2]; sizes that it lacks
              by the solid core and what stranding adds at most in the table [calc].
    """
    number = awg_number(size)
    if number not in NFPA_70_TABLE_8_OHM_PER_KFT:
        return awg_ohm_per_km(size) * (_TINNED_STRANDED_ADDS if tinned else _STRANDED_ADDS)
    per_kft = NFPA_70_TABLE_8_OHM_PER_KFT[number][bool(tinned)]
    return per_kft / 0.3048 * (1 + 0.00323 * (20 - 75))


def warm_factor(temperature_c: float) -> float:
    """R(T)/R(20 °C) of copper in the normal range, about -20 to +90 °C. Source: IEC 60028 [S2]."""
    return 1 + COPPER_TEMPERATURE_COEFFICIENT_PER_K * (temperature_c - 20)


def factor_to_20c(measured_at_c: float) -> float:
    """Factor that turns a resistance measured at a temperature into that at 20 °C, exact form.

    Source:   IEC 60228, annex: k = 254.5/(234.5 + T) [M]. The rounded table in circulation is
              250/(230 + T) [S2]; the two differ by 0.4 % at 100 °C: do not mix them.
    """
    check_quantity("temperature", measured_at_c, field="measured_at_c")
    return 254.5 / (234.5 + measured_at_c)


def standard_fire_temperature_c(minutes: float) -> float:
    """Furnace temperature after some minutes of the standard curve, °C.

    Source:   EN 1363-1 / ISO 834, T = 20 + 345 log10(8 t + 1) [M].
    """
    check_quantity("fire_minutes", minutes, field="minutes")
    return 20 + 345 * math.log10(8 * minutes + 1)


def hot_factor(temperature_c: float) -> float:
    """R(T)/R(20 °C) of copper in the fire; on the safe side of linear rise and of the evaluated data of pure copper.

    Args:     temperature_c: 20 to 1300 °C, scalar.
    Raises:   QuantityError: outside that range; nothing is extrapolated.
    Source:   (T/293 K)^1.16, German functional-integrity practice [M]. How the rise must be designed for is the
              fire engineer's to say.
    """
    check_quantity("fire_temperature", temperature_c, field="temperature_c")
    return ((temperature_c + 273.15) / 293.0) ** 1.16
