"""Size and digest of every kept file, of those that lie in the data folder already too."""

import django.core.validators
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from sites_registry.whole_files import record_digests


def record_what_lies_there(apps, _schema_editor):
    record_digests(apps.get_model("sites_registry", "KeptFile").objects, settings.MEDIA_ROOT)


class Migration(migrations.Migration):
    dependencies = [("sites_registry", "0005_instruments_and_qualifications")]

    operations = [
        migrations.CreateModel(
            name="KeptFile",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(help_text="Path below the folder of files.", max_length=200, unique=True)),
                ("size_bytes", models.PositiveBigIntegerField()),
                (
                    "sha256",
                    models.CharField(
                        max_length=64, validators=[django.core.validators.RegexValidator("^[0-9a-f]{64}$")]
                    ),
                ),
                ("kept_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "is_recorded_later",
                    models.BooleanField(
                        default=False,
                        help_text="Its digest was taken after the day it was written, of the file as it lay there.",
                    ),
                ),
            ],
            options={
                "ordering": ["name"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("sha256", ""), _negated=True), name="kept_file_has_its_digest"
                    )
                ],
            },
        ),
        migrations.RunPython(record_what_lies_there, migrations.RunPython.noop),
    ]
