from zones.models.as_installed import AsInstalledRevision
from zones.models.attachments import Attachment
from zones.models.circuits import ActuatorCircuit, DetectionLine
from zones.models.design_basis import DesignBasis, PracticeValue
from zones.models.floor_plans import FloorPlan, PlanPlace
from zones.models.imports import ImportRun
from zones.models.kinds import DeviceKind, Drive, EndPlace
from zones.models.materials import MaterialArrival
from zones.models.panels import BatterySet, ControlPanel, PanelSetting
from zones.models.place_confirmations import PlaceConfirmation
from zones.models.plate_figures import PlateFigure
from zones.models.ports import DataLink, InputDevice, InputPort, LinkEntry
from zones.models.positions import Position
from zones.models.product_models import Maker, ProductModel
from zones.models.proofs import KeptProof, ProofToMake
from zones.models.revision_acts import RevisionAct
from zones.models.rules import CauseAndEffectRule, Coincidence
from zones.models.smoke_zones import AreaKind, SmokeZone, Vent, VentGroup
from zones.models.terminal_links import EndOfLinePart, TerminalLink
from zones.models.terminals import Cable, Core, CoreEnd, Terminal
from zones.models.units import Fitting, Unit

__all__ = [
    "ActuatorCircuit",
    "AreaKind",
    "AsInstalledRevision",
    "Attachment",
    "BatterySet",
    "Cable",
    "CauseAndEffectRule",
    "Coincidence",
    "ControlPanel",
    "Core",
    "CoreEnd",
    "DataLink",
    "DesignBasis",
    "DetectionLine",
    "DeviceKind",
    "Drive",
    "EndOfLinePart",
    "EndPlace",
    "Fitting",
    "FloorPlan",
    "ImportRun",
    "InputDevice",
    "InputPort",
    "KeptProof",
    "LinkEntry",
    "Maker",
    "MaterialArrival",
    "PanelSetting",
    "PlaceConfirmation",
    "PlanPlace",
    "PlateFigure",
    "Position",
    "PracticeValue",
    "ProductModel",
    "ProofToMake",
    "RevisionAct",
    "SmokeZone",
    "Terminal",
    "TerminalLink",
    "Unit",
    "Vent",
    "VentGroup",
]
