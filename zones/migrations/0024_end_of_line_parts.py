"""What stands at the end of a line or an output is called by the trade's word; the rows stay as they are."""

from django.db import migrations, models
from django.db.models import F, Q, deletion

RULES = {
    "between_two_terminals": (
        ~Q(first=F("second")),
        "An end-of-line resistor or module is across two different terminals.",
    ),
    "value_above_zero": (
        Q(value_ohm=None) | Q(value_ohm__gt=0),
        "Value: leave it empty if not known, else more than 0 Ω.",
    ),
    "tolerance_possible": (
        Q(tolerance_percent=None) | Q(tolerance_percent__gte=0, tolerance_percent__lte=50),
        "Tolerance: leave it empty if not known, else 0 to 50 percent.",
    ),
}


def _renamed(rule, condition, sentence):
    return [
        migrations.RemoveConstraint("EndOfLinePart", f"end_element_{rule}"),
        migrations.AddConstraint(
            "EndOfLinePart",
            models.CheckConstraint(
                condition=condition, name=f"end_of_line_part_{rule}", violation_error_message=sentence
            ),
        ),
    ]


class Migration(migrations.Migration):
    dependencies = [("zones", "0023_kinds_named_by_their_table")]

    operations = [
        migrations.RenameModel("EndElement", "EndOfLinePart"),
        migrations.RenameModel("HistoricalEndElement", "HistoricalEndOfLinePart"),
        *(
            migrations.AlterField(
                "EndOfLinePart",
                end,
                models.ForeignKey(
                    on_delete=deletion.PROTECT, related_name=f"end_of_line_parts_{way}", to="zones.terminal"
                ),
            )
            for end, way in (("first", "from"), ("second", "to"))
        ),
        *(step for rule, (condition, sentence) in RULES.items() for step in _renamed(rule, condition, sentence)),
    ]
