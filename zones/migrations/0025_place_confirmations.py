"""That a unit is seen at its place is called a confirmation, as on screen; the rows stay as they are."""

from django.db import migrations, models
from django.db.models import Q, deletion


class Migration(migrations.Migration):
    dependencies = [("zones", "0024_end_of_line_parts")]

    operations = [
        migrations.RenameModel("PlaceProof", "PlaceConfirmation"),
        migrations.AlterField(
            "PlaceConfirmation",
            "fitting",
            models.ForeignKey(on_delete=deletion.PROTECT, related_name="place_confirmations", to="zones.fitting"),
        ),
        migrations.RemoveConstraint("PlaceConfirmation", "place_proof_by_operating_has_a_note"),
        migrations.AddConstraint(
            "PlaceConfirmation",
            models.CheckConstraint(
                condition=~Q(method="operated") | ~Q(note=""),
                name="place_confirmation_by_operating_has_a_note",
                violation_error_message="Say which terminal was driven and what was seen.",
            ),
        ),
    ]
