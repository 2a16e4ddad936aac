from django.conf import settings
from django.db import migrations, models

from zones.models.languages import ANOTHER, code_of


def name_languages_by_code(apps, schema_editor):
    """Typed names become codes; what is no language known here goes into the title, so that no word is lost."""
    Attachment = apps.get_model("zones", "Attachment")
    for attachment in Attachment.objects.exclude(language=""):
        typed, code = attachment.language, code_of(attachment.language)
        if not code:
            title = attachment.title or attachment.file_name
            attachment.title = f"{title[: 197 - len(typed)]} ({typed})"
        attachment.language = code or ANOTHER
        attachment.save(update_fields=["title", "language"])


class Migration(migrations.Migration):
    dependencies = [
        ("sites_registry", "0004_standards_named_and_receipts"),
        ("zones", "0018_figures_read_off_data_plates"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AlterField(
            model_name="attachment",
            name="kind",
            field=models.CharField(
                choices=[
                    ("declaration", "declaration of performance"),
                    ("conformity", "declaration of conformity"),
                    ("manual", "manual"),
                    ("label", "label"),
                    ("data_sheet", "data sheet"),
                    ("drawing", "drawing"),
                    ("photo", "photo"),
                    ("other", "other"),
                ],
                max_length=16,
            ),
        ),
        migrations.RunPython(name_languages_by_code, migrations.RunPython.noop),
        migrations.AlterField(
            model_name="attachment",
            name="language",
            field=models.CharField(
                blank=True,
                choices=[
                    ("sq", "Albanian"),
                    ("bs", "Bosnian"),
                    ("bg", "Bulgarian"),
                    ("hr", "Croatian"),
                    ("cs", "Czech"),
                    ("da", "Danish"),
                    ("nl", "Dutch"),
                    ("en", "English"),
                    ("et", "Estonian"),
                    ("fi", "Finnish"),
                    ("fr", "French"),
                    ("de", "German"),
                    ("el", "Greek"),
                    ("hu", "Hungarian"),
                    ("is", "Icelandic"),
                    ("ga", "Irish"),
                    ("it", "Italian"),
                    ("lv", "Latvian"),
                    ("lt", "Lithuanian"),
                    ("lb", "Luxembourgish"),
                    ("mt", "Maltese"),
                    ("nb", "Norwegian"),
                    ("pl", "Polish"),
                    ("pt", "Portuguese"),
                    ("ro", "Romanian"),
                    ("ru", "Russian"),
                    ("sr", "Serbian"),
                    ("sk", "Slovak"),
                    ("sl", "Slovenian"),
                    ("es", "Spanish"),
                    ("sv", "Swedish"),
                    ("tr", "Turkish"),
                    ("uk", "Ukrainian"),
                    ("cy", "Welsh"),
                    ("und", "another language, see the title"),
                    ("mul", "several languages"),
                ],
                max_length=40,
            ),
        ),
        migrations.AddConstraint(
            model_name="attachment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "language__in",
                        [
                            "",
                            "bg",
                            "bs",
                            "cs",
                            "cy",
                            "da",
                            "de",
                            "el",
                            "en",
                            "es",
                            "et",
                            "fi",
                            "fr",
                            "ga",
                            "hr",
                            "hu",
                            "is",
                            "it",
                            "lb",
                            "lt",
                            "lv",
                            "mt",
                            "mul",
                            "nb",
                            "nl",
                            "pl",
                            "pt",
                            "ro",
                            "ru",
                            "sk",
                            "sl",
                            "sq",
                            "sr",
                            "sv",
                            "tr",
                            "uk",
                            "und",
                        ],
                    )
                ),
                name="attachment_language_has_a_code",
                violation_error_message="Choose the language from the list.",
            ),
        ),
    ]
