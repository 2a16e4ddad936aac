from django.db import migrations


def name_the_first_edition(apps, schema_editor):
    """Version 1 of a protocol is the standard as installed: only drafts of later versions could ever be edited."""
    for model in ("Protocol", "HistoricalProtocol"):
        apps.get_model("inspections", model).objects.filter(version=1).update(standard_edition=1)


class Migration(migrations.Migration):
    dependencies = [("inspections", "0007_hazards_of_checks")]

    operations = [migrations.RunPython(name_the_first_edition, migrations.RunPython.noop)]
