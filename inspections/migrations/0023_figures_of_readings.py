"""What belongs to a reading is kept with it: the voltage with which insulation was tested."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("inspections", "0022_sign_offs")]

    operations = [
        migrations.AddField(
            "Result",
            "figures",
            models.JSONField(
                null=True,
                blank=True,
                editable=False,
                help_text="What belongs to the reading: the voltage with which insulation was tested. Name → number.",
            ),
        ),
    ]
