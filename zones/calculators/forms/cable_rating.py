"""What may be typed about a cable that must carry a current for good."""

from zones.calculators.forms.base import FigureField
from zones.calculators.forms.cables import LAYING, LaidCableForm


class CableRatingForm(LaidCableForm):
    groups = (
        ("Cable", ("size", "conductor_class", "cores_per_pole")),
        ("How it is laid", LAYING),
        ("Load", ("load_a",)),
    )

    load_a = FigureField(
        "Current that it carries", "current", help_text="The greatest, starts included. Empty: the rating alone."
    )
