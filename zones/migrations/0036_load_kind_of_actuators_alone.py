"""Only an actuator has a kind of load. Others bear the one that every model began with until it could be not known.

What says anything else than that beginning was chosen by somebody and stays, whatever it may mean.
"""

from django.db import migrations


def forget_what_nobody_entered(apps, schema_editor):
    others = apps.get_model("zones", "ProductModel").objects.exclude(kind="actuator")
    others.filter(load_kind="constant current").update(load_kind="")


class Migration(migrations.Migration):
    dependencies = [("zones", "0035_floor_plans")]

    # The way back leaves them empty, which the step before allows.
    operations = [migrations.RunPython(forget_what_nobody_entered, migrations.RunPython.noop)]
