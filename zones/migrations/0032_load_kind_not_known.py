"""How the current of an actuator answers to the voltage may be not known; it was a constant current unless changed.

Of a model without a rated current nobody can have meant a constant one: those become not known. Of all others it cannot
be told whether somebody chose what stands there, so it stays.
"""

from django.db import migrations, models

CHOICES = [
    ("constant current", "constant current"),
    ("constant power", "constant power (switching electronics)"),
    ("resistive", "resistive"),
]


def forget_what_nobody_entered(apps, schema_editor):
    product_models = apps.get_model("zones", "ProductModel").objects.filter(kind="actuator", rated_current_a=None)
    product_models.filter(load_kind="constant current").update(load_kind="")


def assume_a_constant_current(apps, schema_editor):
    apps.get_model("zones", "ProductModel").objects.filter(load_kind="").update(load_kind="constant current")
    apps.get_model("zones", "HistoricalProductModel").objects.filter(load_kind="").update(load_kind="constant current")


class Migration(migrations.Migration):
    dependencies = [("zones", "0031_protection_of_outputs_and_cables")]

    operations = [
        *(
            migrations.AlterField(
                name, "load_kind", models.CharField("load", blank=True, choices=CHOICES, default="", max_length=16)
            )
            for name in ("ProductModel", "HistoricalProductModel")
        ),
        migrations.RunPython(forget_what_nobody_entered, assume_a_constant_current),
    ]
