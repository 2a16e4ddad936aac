import uuid

import django.core.serializers.json
import django.db.models.deletion
import django.utils.timezone
import simple_history.models
from django.conf import settings
from django.db import migrations, models

import inspections.models.certificates
import sites_registry.tables_at_once
import zones.models.kinds


class Migration(migrations.Migration):
    replaces = [
        ("inspections", "0001_initial"),
        ("inspections", "0002_results_and_links"),
        ("inspections", "0003_asked_of_called_off_reason_and_retest"),
        ("inspections", "0004_junction_boxes"),
        ("inspections", "0005_settings_found"),
        ("inspections", "0006_commissioning_plans"),
        ("inspections", "0007_hazards_of_checks"),
        ("inspections", "0008_edition_of_the_standard_protocols"),
        ("inspections", "0009_certificate_not_withdrawn"),
        ("inspections", "0010_results_by_corrected_time"),
        ("inspections", "0011_longer_cautions"),
        ("inspections", "0012_plain_words"),
        ("inspections", "0013_limits_from_design_and_first_value"),
        ("inspections", "0014_readings_by_the_record"),
        ("inspections", "0015_accepted_matters"),
        ("inspections", "0016_walk_of_commissioning"),
        ("inspections", "0017_hand_overs"),
        ("inspections", "0018_kinds_named_by_their_table"),
        ("inspections", "0019_photographs"),
        ("inspections", "0020_intervals_and_extent"),
        ("inspections", "0021_instruments_used"),
        ("inspections", "0022_sign_offs"),
        ("inspections", "0023_figures_of_readings"),
        ("inspections", "0024_certificates_by_their_form"),
        ("inspections", "0025_reading_links"),
        ("inspections", "0026_calendar_links"),
        ("inspections", "0027_ledger_and_papers"),
        ("inspections", "0028_papers_in_the_ledger"),
        ("inspections", "0029_whole_hand_over_file"),
        ("inspections", "0030_building_files"),
        ("inspections", "0031_notices"),
    ]

    initial = True

    dependencies = [
        ("sites_registry", "0007_mails"),
        ("zones", "0031_protection_of_outputs_and_cables"),
    ]

    operations = [
        sites_registry.tables_at_once.CreateTables(
            state_operations=[
                migrations.CreateModel(
                    name="Certificate",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.CharField(max_length=12, unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("commissioning", "commissioning certificate"),
                                    ("inspection", "inspection certificate"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("in_force", "not withdrawn"),
                                    ("superseded", "superseded"),
                                    ("revoked", "revoked"),
                                ],
                                default="in_force",
                                max_length=12,
                            ),
                        ),
                        ("is_limited", models.BooleanField(default=False, verbose_name="limited")),
                        ("statement", models.JSONField()),
                        ("digest_sha256", models.CharField(max_length=64)),
                        (
                            "token",
                            models.CharField(
                                default=inspections.models.certificates.new_token, max_length=40, unique=True
                            ),
                        ),
                        ("issued_on", models.DateField()),
                        ("issued_at", models.DateTimeField()),
                        ("next_due_on", models.DateField(blank=True, null=True)),
                        ("revoked_at", models.DateTimeField(blank=True, null=True)),
                        ("revoked_reason", models.CharField(blank=True, max_length=400)),
                        ("pdf", models.FileField(blank=True, max_length=200, upload_to="certificates")),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="certificates",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "issued_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="certificates_issued",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "revoked_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "supersedes",
                            models.OneToOneField(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="superseded_by",
                                to="inspections.certificate",
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="certificates",
                                to="inspections.visit",
                            ),
                        ),
                        ("submission_key", models.UUIDField(blank=True, editable=False, null=True, unique=True)),
                    ],
                    options={
                        "ordering": ["-issued_on", "-number"],
                        "indexes": [
                            models.Index(fields=["building", "kind", "-issued_on"], name="certificate_building_kind")
                        ],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("state", "in_force")),
                                fields=("building", "kind"),
                                name="certificate_one_in_force_per_kind",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("state", "revoked"), _negated=True),
                                    models.Q(
                                        ("revoked_at__isnull", False), models.Q(("revoked_reason", ""), _negated=True)
                                    ),
                                    _connector="OR",
                                ),
                                name="certificate_revoked_has_a_reason",
                                violation_error_message="Say why the certificate is revoked.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Defect",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "severity",
                            models.CharField(
                                choices=[
                                    ("impaired", "impaired"),
                                    ("degraded", "degraded"),
                                    ("minor", "minor"),
                                    ("advice", "advice"),
                                ],
                                max_length=12,
                            ),
                        ),
                        ("description", models.CharField(max_length=600)),
                        (
                            "interim_measure",
                            models.CharField(
                                blank=True,
                                help_text="What the building does until it is put right.",
                                max_length=400,
                                verbose_name="meanwhile",
                            ),
                        ),
                        ("told_to", models.CharField(blank=True, max_length=200, verbose_name="who was told")),
                        ("told_at", models.DateTimeField(blank=True, null=True, verbose_name="told at")),
                        ("found_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("closed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("closing_note", models.CharField(blank=True, editable=False, max_length=400)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="defects",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "found_by",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="defects",
                                to="zones.position",
                            ),
                        ),
                        (
                            "closed_by_result",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="defects_closed",
                                to="inspections.result",
                            ),
                        ),
                        (
                            "found_by_result",
                            models.OneToOneField(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="defect",
                                to="inspections.result",
                            ),
                        ),
                        (
                            "found_on",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="defects_found",
                                to="inspections.visit",
                            ),
                        ),
                        (
                            "closed_by_setting",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="defects_closed",
                                to="inspections.settingfound",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-found_at", "-pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("closed_at", None), ("closed_by_result", None), ("closed_by_setting", None)
                                    ),
                                    models.Q(
                                        ("closed_at__isnull", False),
                                        ("closed_by_result__isnull", False),
                                        ("closed_by_setting", None),
                                    ),
                                    models.Q(
                                        ("closed_at__isnull", False),
                                        ("closed_by_result", None),
                                        ("closed_by_setting__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="defect_closed_by_a_result",
                                violation_error_message="A defect is closed by the result of a visit, or by its setting found as left.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalDefect",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "severity",
                            models.CharField(
                                choices=[
                                    ("impaired", "impaired"),
                                    ("degraded", "degraded"),
                                    ("minor", "minor"),
                                    ("advice", "advice"),
                                ],
                                max_length=12,
                            ),
                        ),
                        ("description", models.CharField(max_length=600)),
                        (
                            "interim_measure",
                            models.CharField(
                                blank=True,
                                help_text="What the building does until it is put right.",
                                max_length=400,
                                verbose_name="meanwhile",
                            ),
                        ),
                        ("told_to", models.CharField(blank=True, max_length=200, verbose_name="who was told")),
                        ("told_at", models.DateTimeField(blank=True, null=True, verbose_name="told at")),
                        ("found_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("closed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("closing_note", models.CharField(blank=True, editable=False, max_length=400)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        ("history_id", models.AutoField(primary_key=True, serialize=False)),
                        ("history_date", models.DateTimeField(db_index=True)),
                        ("history_change_reason", models.TextField(null=True)),
                        (
                            "history_type",
                            models.CharField(
                                choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "found_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "history_user",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                            ),
                        ),
                        (
                            "closed_by_result",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="inspections.result",
                            ),
                        ),
                        (
                            "found_by_result",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="inspections.result",
                            ),
                        ),
                        (
                            "found_on",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="inspections.visit",
                            ),
                        ),
                        (
                            "closed_by_setting",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="inspections.settingfound",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical defect",
                        "verbose_name_plural": "historical defects",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalProtocol",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("commissioning", "commissioning"),
                                    ("inspection", "periodic inspection"),
                                    ("remedial", "remedial work"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("version", models.PositiveSmallIntegerField()),
                        ("title", models.CharField(max_length=120)),
                        (
                            "state",
                            models.CharField(
                                choices=[("draft", "draft"), ("published", "published"), ("withdrawn", "withdrawn")],
                                default="draft",
                                max_length=12,
                            ),
                        ),
                        (
                            "basis",
                            models.CharField(
                                blank=True, help_text="Standards with edition, or common practice.", max_length=300
                            ),
                        ),
                        ("published_on", models.DateField(blank=True, editable=False, null=True)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        ("history_id", models.AutoField(primary_key=True, serialize=False)),
                        ("history_date", models.DateTimeField(db_index=True)),
                        ("history_change_reason", models.TextField(null=True)),
                        (
                            "history_type",
                            models.CharField(
                                choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                            ),
                        ),
                        (
                            "history_user",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "standard_edition",
                            models.PositiveSmallIntegerField(
                                default=0,
                                editable=False,
                                help_text="Edition of the standard protocol that it is; 0: the office's own.",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical protocol",
                        "verbose_name_plural": "historical protocols",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalProtocolCheck",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "device_kind",
                            models.CharField(
                                choices=zones.models.kinds.choices_of_kinds,
                                max_length=24,
                                verbose_name="kind of device",
                            ),
                        ),
                        (
                            "code",
                            models.SlugField(
                                help_text="Stays the same over versions: readings are compared by it.", max_length=40
                            ),
                        ),
                        ("order", models.PositiveSmallIntegerField(default=0)),
                        ("title", models.CharField(max_length=120)),
                        ("instruction", models.CharField(blank=True, max_length=400, verbose_name="what to do")),
                        ("expected", models.CharField(max_length=300)),
                        ("caution", models.CharField(blank=True, max_length=300)),
                        (
                            "quantity",
                            models.CharField(
                                blank=True,
                                help_text="Empty: no reading is taken.",
                                max_length=60,
                                verbose_name="reading",
                            ),
                        ),
                        ("unit", models.CharField(blank=True, max_length=12)),
                        ("lower_limit", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        ("upper_limit", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        (
                            "limit_source",
                            models.CharField(blank=True, max_length=200, verbose_name="source of the limits"),
                        ),
                        ("is_reading_required", models.BooleanField(default=False, verbose_name="reading required")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        ("history_id", models.AutoField(primary_key=True, serialize=False)),
                        ("history_date", models.DateTimeField(db_index=True)),
                        ("history_change_reason", models.TextField(null=True)),
                        (
                            "history_type",
                            models.CharField(
                                choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                            ),
                        ),
                        (
                            "history_user",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "protocol",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="inspections.protocol",
                            ),
                        ),
                        (
                            "asked_of",
                            models.CharField(
                                choices=[
                                    ("every", "every position of the kind"),
                                    ("first", "the first position of the kind in the building"),
                                    ("last_on_line", "the last position of each line or circuit"),
                                    ("last_addressed", "the last position of each addressed circuit"),
                                ],
                                default="every",
                                max_length=16,
                                verbose_name="applies to",
                            ),
                        ),
                        ("hazards", models.CharField(blank=True, default="", max_length=40)),
                        (
                            "within_percent_of_first",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                help_text="In place of limits: how far a reading may be from the first one of the unit; beyond it, a remark.",
                                null=True,
                                verbose_name="within % of the first value",
                            ),
                        ),
                        (
                            "done_by",
                            models.CharField(
                                choices=[("engineer", "service engineer"), ("user", "user of the building")],
                                default="engineer",
                                max_length=12,
                                verbose_name="who makes it",
                            ),
                        ),
                        (
                            "interval",
                            models.CharField(
                                choices=[
                                    ("weekly", "weekly"),
                                    ("monthly", "monthly"),
                                    ("quarterly", "quarterly"),
                                    ("half_yearly", "half-yearly"),
                                    ("yearly", "yearly"),
                                    ("two_yearly", "two-yearly"),
                                    ("five_yearly", "five-yearly"),
                                ],
                                default="yearly",
                                max_length=12,
                            ),
                        ),
                        (
                            "is_spread",
                            models.BooleanField(
                                default=False,
                                help_text="A visit that asks what is due takes a share of the positions, those longest not tested first, so that each is reached within the interval.",
                                verbose_name="spread over the visits",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical protocol check",
                        "verbose_name_plural": "historical protocol checks",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalVisit",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("commissioning", "commissioning"),
                                    ("inspection", "periodic inspection"),
                                    ("remedial", "remedial work"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("planned", "planned"),
                                    ("under_way", "under way"),
                                    ("finished", "finished"),
                                    ("called_off", "called off"),
                                ],
                                default="planned",
                                editable=False,
                                max_length=12,
                            ),
                        ),
                        ("planned_on", models.DateField()),
                        ("started_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("finished_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("witness", models.CharField(blank=True, max_length=120)),
                        (
                            "instruments",
                            models.TextField(
                                blank=True, help_text="Serial and calibration due of each.", max_length=1000
                            ),
                        ),
                        ("notes", models.TextField(blank=True, max_length=4000)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        ("history_id", models.AutoField(primary_key=True, serialize=False)),
                        ("history_date", models.DateTimeField(db_index=True)),
                        ("history_change_reason", models.TextField(null=True)),
                        (
                            "history_type",
                            models.CharField(
                                choices=[("+", "Created"), ("~", "Changed"), ("-", "Deleted")], max_length=1
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "engineer",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                limit_choices_to={"role": "engineer"},
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "history_user",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="sites_registry.job",
                            ),
                        ),
                        (
                            "protocol",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="inspections.protocol",
                            ),
                        ),
                        ("called_off_reason", models.CharField(blank=True, editable=False, max_length=400)),
                        ("due_before", models.DateField(blank=True, editable=False, null=True)),
                        (
                            "extent",
                            models.CharField(
                                choices=[
                                    ("everything", "every check of the protocol"),
                                    ("due", "what falls due before the next visit"),
                                ],
                                default="everything",
                                max_length=12,
                                verbose_name="asks",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical visit",
                        "verbose_name_plural": "historical visits",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="LogEntry",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("weekly_check", "weekly check"),
                                    ("monthly_check", "monthly check"),
                                    ("alarm", "alarm, genuine"),
                                    ("false_alarm", "false alarm"),
                                    ("fault", "fault"),
                                    ("disablement", "disablement"),
                                    ("visit", "visit"),
                                    ("change", "change in the building"),
                                    ("other", "other"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("happened_at", models.DateTimeField(verbose_name="when")),
                        (
                            "seen_by",
                            models.CharField(
                                help_text="Who made the check or saw it happen.", max_length=120, verbose_name="who"
                            ),
                        ),
                        ("what", models.CharField(max_length=600, verbose_name="what happened")),
                        (
                            "check_result",
                            models.CharField(
                                blank=True,
                                choices=[("in_order", "in order"), ("not_in_order", "not in order")],
                                max_length=16,
                                verbose_name="result",
                            ),
                        ),
                        ("cause", models.CharField(blank=True, max_length=200)),
                        ("action", models.CharField(blank=True, max_length=400, verbose_name="what was done")),
                        ("planned_end_at", models.DateTimeField(blank=True, null=True, verbose_name="planned end")),
                        ("interim_measure", models.CharField(blank=True, max_length=400, verbose_name="meanwhile")),
                        ("told_to", models.CharField(blank=True, max_length=200, verbose_name="who was told")),
                        (
                            "ended_at",
                            models.DateTimeField(blank=True, editable=False, null=True, verbose_name="ended at"),
                        ),
                        ("ending_note", models.CharField(blank=True, editable=False, max_length=400)),
                        ("entered_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="log_entries",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "corrects",
                            models.OneToOneField(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="corrected_by",
                                to="inspections.logentry",
                            ),
                        ),
                        (
                            "ended_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "entered_by",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="log_entries",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="log_entries",
                                to="zones.position",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="log_entries",
                                to="zones.smokezone",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "log entries",
                        "ordering": ["-happened_at", "-pk"],
                        "indexes": [models.Index(fields=["building", "-happened_at"], name="log_entry_building_when")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("kind", "disablement"), _negated=True),
                                    models.Q(
                                        ("planned_end_at__isnull", False),
                                        models.Q(("interim_measure", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="log_entry_disablement_has_end_and_measure",
                                violation_error_message="A disablement needs a planned end and what is done meanwhile.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("planned_end_at", None),
                                    ("planned_end_at__gte", models.F("happened_at")),
                                    _connector="OR",
                                ),
                                name="log_entry_planned_end_after_start",
                                violation_error_message="The planned end is before the start.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("ended_at", None), ("ended_at__gte", models.F("happened_at")), _connector="OR"
                                ),
                                name="log_entry_ends_after_start",
                                violation_error_message="It cannot end before it began.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Protocol",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("commissioning", "commissioning"),
                                    ("inspection", "periodic inspection"),
                                    ("remedial", "remedial work"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("version", models.PositiveSmallIntegerField()),
                        ("title", models.CharField(max_length=120)),
                        (
                            "state",
                            models.CharField(
                                choices=[("draft", "draft"), ("published", "published"), ("withdrawn", "withdrawn")],
                                default="draft",
                                max_length=12,
                            ),
                        ),
                        (
                            "basis",
                            models.CharField(
                                blank=True, help_text="Standards with edition, or common practice.", max_length=300
                            ),
                        ),
                        ("published_on", models.DateField(blank=True, editable=False, null=True)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "standard_edition",
                            models.PositiveSmallIntegerField(
                                default=0,
                                editable=False,
                                help_text="Edition of the standard protocol that it is; 0: the office's own.",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["kind", "-version"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("kind", "version"),
                                name="protocol_version_unique_per_kind",
                                violation_error_message="This version exists already.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("state", "published")),
                                fields=("kind",),
                                name="protocol_one_published_per_kind",
                                violation_error_message="Withdraw the published version first.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ProtocolCheck",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "device_kind",
                            models.CharField(
                                choices=zones.models.kinds.choices_of_kinds,
                                max_length=24,
                                verbose_name="kind of device",
                            ),
                        ),
                        (
                            "code",
                            models.SlugField(
                                help_text="Stays the same over versions: readings are compared by it.", max_length=40
                            ),
                        ),
                        ("order", models.PositiveSmallIntegerField(default=0)),
                        ("title", models.CharField(max_length=120)),
                        ("instruction", models.CharField(blank=True, max_length=400, verbose_name="what to do")),
                        ("expected", models.CharField(max_length=300)),
                        ("caution", models.CharField(blank=True, max_length=300)),
                        (
                            "quantity",
                            models.CharField(
                                blank=True,
                                help_text="Empty: no reading is taken.",
                                max_length=60,
                                verbose_name="reading",
                            ),
                        ),
                        ("unit", models.CharField(blank=True, max_length=12)),
                        ("lower_limit", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        ("upper_limit", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        (
                            "limit_source",
                            models.CharField(blank=True, max_length=200, verbose_name="source of the limits"),
                        ),
                        ("is_reading_required", models.BooleanField(default=False, verbose_name="reading required")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "protocol",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="checks",
                                to="inspections.protocol",
                            ),
                        ),
                        (
                            "asked_of",
                            models.CharField(
                                choices=[
                                    ("every", "every position of the kind"),
                                    ("first", "the first position of the kind in the building"),
                                    ("last_on_line", "the last position of each line or circuit"),
                                    ("last_addressed", "the last position of each addressed circuit"),
                                ],
                                default="every",
                                max_length=16,
                                verbose_name="applies to",
                            ),
                        ),
                        ("hazards", models.CharField(blank=True, default="", max_length=40)),
                        (
                            "within_percent_of_first",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                help_text="In place of limits: how far a reading may be from the first one of the unit; beyond it, a remark.",
                                null=True,
                                verbose_name="within % of the first value",
                            ),
                        ),
                        (
                            "done_by",
                            models.CharField(
                                choices=[("engineer", "service engineer"), ("user", "user of the building")],
                                default="engineer",
                                max_length=12,
                                verbose_name="who makes it",
                            ),
                        ),
                        (
                            "interval",
                            models.CharField(
                                choices=[
                                    ("weekly", "weekly"),
                                    ("monthly", "monthly"),
                                    ("quarterly", "quarterly"),
                                    ("half_yearly", "half-yearly"),
                                    ("yearly", "yearly"),
                                    ("two_yearly", "two-yearly"),
                                    ("five_yearly", "five-yearly"),
                                ],
                                default="yearly",
                                max_length=12,
                            ),
                        ),
                        (
                            "is_spread",
                            models.BooleanField(
                                default=False,
                                help_text="A visit that asks what is due takes a share of the positions, those longest not tested first, so that each is reached within the interval.",
                                verbose_name="spread over the visits",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["device_kind", "order", "pk"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("protocol", "device_kind", "code"),
                                name="protocol_check_code_unique_per_kind",
                                violation_error_message="This kind of device has a check of this code already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("lower_limit", None),
                                    ("upper_limit", None),
                                    ("upper_limit__gte", models.F("lower_limit")),
                                    _connector="OR",
                                ),
                                name="protocol_check_limits_in_order",
                                violation_error_message="The upper limit is below the lower limit.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("quantity", ""), _negated=True),
                                    models.Q(
                                        ("is_reading_required", False),
                                        ("lower_limit", None),
                                        ("unit", ""),
                                        ("upper_limit", None),
                                    ),
                                    _connector="OR",
                                ),
                                name="protocol_check_limits_need_a_reading",
                                violation_error_message="Limits and a unit need the name of the reading.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "hazards__in",
                                        (
                                            "",
                                            "none",
                                            "live",
                                            "moving",
                                            "live,moving",
                                            "height",
                                            "live,height",
                                            "moving,height",
                                            "live,moving,height",
                                            "alarm",
                                            "live,alarm",
                                            "moving,alarm",
                                            "live,moving,alarm",
                                            "height,alarm",
                                            "live,height,alarm",
                                            "moving,height,alarm",
                                            "live,moving,height,alarm",
                                        ),
                                    )
                                ),
                                name="protocol_check_hazards_known",
                                violation_error_message="Choose hazards from the list.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("within_percent_of_first", None),
                                    models.Q(
                                        ("lower_limit", None),
                                        ("upper_limit", None),
                                        ("within_percent_of_first__gt", 0),
                                        models.Q(("quantity", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="protocol_check_percent_stands_for_limits",
                                violation_error_message="A share of the first value stands in place of limits and needs a reading.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "interval__in",
                                        [
                                            "weekly",
                                            "monthly",
                                            "quarterly",
                                            "half_yearly",
                                            "yearly",
                                            "two_yearly",
                                            "five_yearly",
                                        ],
                                    )
                                ),
                                name="protocol_check_interval_known",
                                violation_error_message="Choose the interval from the list.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("done_by", "engineer"),
                                    models.Q(
                                        ("done_by", "user"),
                                        ("interval__in", ["weekly", "monthly"]),
                                        ("is_spread", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="protocol_check_of_user_is_weekly_or_monthly",
                                violation_error_message="A check of the user is weekly or monthly and not spread: the log book holds no others.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Result",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "client_uuid",
                            models.UUIDField(
                                default=uuid.uuid4,
                                help_text="Given by the phone: the same answer sent twice is taken once.",
                                unique=True,
                            ),
                        ),
                        (
                            "outcome",
                            models.CharField(
                                choices=[
                                    ("pass", "pass"),
                                    ("remark", "pass with remark"),
                                    ("fail", "fail"),
                                    ("not_accessible", "not accessible"),
                                    ("not_applicable", "not applicable"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("reading", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        ("remark", models.CharField(blank=True, max_length=400)),
                        (
                            "reason",
                            models.CharField(
                                blank=True, help_text="Why not accessible, or not applicable.", max_length=400
                            ),
                        ),
                        ("correction_reason", models.CharField(blank=True, max_length=200)),
                        (
                            "seen_at",
                            models.DateTimeField(
                                help_text="By the register's clock: the device's time, corrected by its offset."
                            ),
                        ),
                        ("received_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        (
                            "recorded_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="results",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "test_point",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="results",
                                to="inspections.testpoint",
                            ),
                        ),
                        ("clock_offset_at_sending_s", models.BigIntegerField(blank=True, editable=False, null=True)),
                        ("clock_offset_s", models.BigIntegerField(blank=True, editable=False, null=True)),
                        (
                            "device_at",
                            models.DateTimeField(
                                blank=True, editable=False, help_text="By the clock of the device.", null=True
                            ),
                        ),
                        (
                            "known_results",
                            models.JSONField(
                                blank=True,
                                editable=False,
                                help_text="Identifiers of the results at this point that the person had before them; empty: not asked then.",
                                null=True,
                            ),
                        ),
                        (
                            "figures",
                            models.JSONField(
                                blank=True,
                                editable=False,
                                help_text="What belongs to the reading: the voltage with which insulation was tested. Name → number.",
                                null=True,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["test_point", "seen_at", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("outcome__in", ["not_accessible", "not_applicable"]), _negated=True),
                                    models.Q(("reason", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="result_not_done_has_a_reason",
                                violation_error_message="Say why it was not accessible or not applicable.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("outcome", "remark"), _negated=True),
                                    models.Q(("remark", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="result_remark_has_a_text",
                                violation_error_message="Write the remark.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="TestPoint",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("code", models.SlugField(max_length=40)),
                        ("order", models.PositiveSmallIntegerField(default=0)),
                        ("title", models.CharField(max_length=200)),
                        ("instruction", models.CharField(blank=True, max_length=1000)),
                        ("expected", models.CharField(max_length=1000)),
                        ("caution", models.CharField(blank=True, max_length=500)),
                        ("quantity", models.CharField(blank=True, max_length=60)),
                        ("unit", models.CharField(blank=True, max_length=12)),
                        ("lower_limit", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        ("upper_limit", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        ("limit_source", models.CharField(blank=True, max_length=600)),
                        ("is_reading_required", models.BooleanField(default=False)),
                        (
                            "check_of",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="test_points",
                                to="inspections.protocolcheck",
                            ),
                        ),
                        (
                            "latest_result",
                            models.OneToOneField(
                                blank=True,
                                help_text="The one that counts: see services.counting.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="latest_of",
                                to="inspections.result",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="test_points",
                                to="zones.position",
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="test_points",
                                to="inspections.visit",
                            ),
                        ),
                        ("retest_reason", models.CharField(blank=True, max_length=300)),
                        ("retest_since", models.DateTimeField(blank=True, null=True)),
                        ("hazards", models.CharField(blank=True, default="", max_length=40)),
                        (
                            "is_contradicted",
                            models.BooleanField(
                                default=False,
                                editable=False,
                                help_text="A pass stands beside a fail, recorded without knowing of each other.",
                            ),
                        ),
                        ("first_read_on", models.DateField(blank=True, null=True)),
                        ("first_reading", models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                        ("within_percent_of_first", models.PositiveSmallIntegerField(blank=True, null=True)),
                        (
                            "reading_rule",
                            models.JSONField(
                                blank=True,
                                editable=False,
                                help_text="How a reading is judged (zones.engineering.readings.rule), as the limits follow from it.",
                                null=True,
                            ),
                        ),
                        (
                            "done_at",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="zones.position",
                            ),
                        ),
                        (
                            "leg",
                            models.PositiveSmallIntegerField(
                                choices=[(0, "first, at the panel"), (1, "on the walk"), (2, "last, at the panel")],
                                default=1,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["visit", "position", "order", "pk"],
                        "indexes": [
                            models.Index(fields=["position", "code"], name="test_point_position_code"),
                            models.Index(
                                condition=models.Q(("is_contradicted", True)),
                                fields=["visit"],
                                name="test_point_contradicted",
                            ),
                        ],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("visit", "position", "code"), name="test_point_once_per_visit_and_position"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "hazards__in",
                                        (
                                            "",
                                            "none",
                                            "live",
                                            "moving",
                                            "live,moving",
                                            "height",
                                            "live,height",
                                            "moving,height",
                                            "live,moving,height",
                                            "alarm",
                                            "live,alarm",
                                            "moving,alarm",
                                            "live,moving,alarm",
                                            "height,alarm",
                                            "live,height,alarm",
                                            "moving,height,alarm",
                                            "live,moving,height,alarm",
                                        ),
                                    )
                                ),
                                name="test_point_hazards_known",
                                violation_error_message="Choose hazards from the list.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("leg__in", [0, 1, 2])), name="test_point_leg_known"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Visit",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("commissioning", "commissioning"),
                                    ("inspection", "periodic inspection"),
                                    ("remedial", "remedial work"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("planned", "planned"),
                                    ("under_way", "under way"),
                                    ("finished", "finished"),
                                    ("called_off", "called off"),
                                ],
                                default="planned",
                                editable=False,
                                max_length=12,
                            ),
                        ),
                        ("planned_on", models.DateField()),
                        ("started_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("finished_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("witness", models.CharField(blank=True, max_length=120)),
                        (
                            "instruments",
                            models.TextField(
                                blank=True, help_text="Serial and calibration due of each.", max_length=1000
                            ),
                        ),
                        ("notes", models.TextField(blank=True, max_length=4000)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="visits",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "engineer",
                            models.ForeignKey(
                                blank=True,
                                limit_choices_to={"role": "engineer"},
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="visits",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="visits",
                                to="sites_registry.job",
                            ),
                        ),
                        (
                            "protocol",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="visits",
                                to="inspections.protocol",
                            ),
                        ),
                        ("called_off_reason", models.CharField(blank=True, editable=False, max_length=400)),
                        ("due_before", models.DateField(blank=True, editable=False, null=True)),
                        (
                            "extent",
                            models.CharField(
                                choices=[
                                    ("everything", "every check of the protocol"),
                                    ("due", "what falls due before the next visit"),
                                ],
                                default="everything",
                                max_length=12,
                                verbose_name="asks",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-planned_on", "-pk"],
                        "indexes": [models.Index(fields=["state", "planned_on"], name="visit_state_planned")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("state", "finished"), _negated=True),
                                    ("finished_at__isnull", False),
                                    _connector="OR",
                                ),
                                name="visit_finished_has_a_time",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("state", "called_off"), _negated=True),
                                    models.Q(("called_off_reason", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="visit_called_off_has_a_reason",
                                violation_error_message="Say why the visit is called off.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("due_before", None), ("extent", "everything")),
                                    models.Q(("extent", "due"), ("kind", "inspection")),
                                    _connector="OR",
                                ),
                                name="visit_asks_what_is_due_only_of_an_inspection",
                                violation_error_message="Only a periodic inspection can ask what is due; other visits ask everything.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SettingFound",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("key", models.CharField(max_length=80)),
                        ("name", models.CharField(max_length=240)),
                        ("value_left", models.TextField()),
                        ("unit", models.CharField(blank=True, max_length=20)),
                        (
                            "answer",
                            models.CharField(
                                choices=[
                                    ("as_left", "as left"),
                                    ("differs", "differs"),
                                    ("recorded", "found, not known before"),
                                    ("not_seen", "not seen"),
                                ],
                                max_length=12,
                            ),
                        ),
                        ("found", models.CharField(blank=True, max_length=200)),
                        ("reason", models.CharField(blank=True, max_length=300, verbose_name="why not seen")),
                        ("recorded_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "defect",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="settings_found",
                                to="inspections.defect",
                            ),
                        ),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="settings_found",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "recorded_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="settings_found",
                                to="inspections.visit",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "settings found",
                        "ordering": ["visit", "panel", "pk"],
                        "indexes": [models.Index(fields=["visit", "panel", "key"], name="setting_found_of_visit")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("answer__in", ["differs", "recorded"]), models.Q(("found", ""), _negated=True)
                                    ),
                                    models.Q(("answer__in", ["as_left", "not_seen"]), ("found", "")),
                                    _connector="OR",
                                ),
                                name="setting_found_has_a_value_where_it_differs",
                                violation_error_message="Enter what was found.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("answer", "not_seen"), _negated=True),
                                    models.Q(("reason", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="setting_not_seen_has_a_reason",
                                violation_error_message="Say why it was not seen.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("answer", "differs"), _negated=True),
                                    ("defect__isnull", False),
                                    _connector="OR",
                                ),
                                name="setting_difference_is_a_defect",
                                violation_error_message="A difference is a defect.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SettingTakenOver",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "entry",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="taken_over",
                                to="inspections.settingfound",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "settings taken over",
                        "ordering": ["-at", "-pk"],
                    },
                ),
                migrations.CreateModel(
                    name="CommissioningPlan",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("inputs_of", models.PositiveIntegerField()),
                        ("rules_of", models.PositiveIntegerField()),
                        ("pairs_of", models.PositiveIntegerField()),
                        ("lines_of", models.PositiveIntegerField()),
                        ("resets", models.PositiveIntegerField()),
                        ("not_covered", models.JSONField(blank=True, default=list)),
                        ("made_at", models.DateTimeField()),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plans",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plans",
                                to="inspections.visit",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["visit", "panel__position__tag_key"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("visit", "panel"),
                                name="commissioning_plan_once_per_visit_and_panel",
                                violation_error_message="This visit has the plan of this panel already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="PlannedStep",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("round", models.PositiveSmallIntegerField()),
                        ("phase", models.CharField(max_length=40)),
                        ("must", models.JSONField(default=list)),
                        ("must_not", models.JSONField(default=list)),
                        ("readings", models.JSONField(default=list)),
                        (
                            "events",
                            models.TextField(blank=True, help_text="From rest up to this step, for the simulator."),
                        ),
                        (
                            "tries",
                            models.JSONField(
                                default=dict, help_text="Keys of inputs, rules, pairs and lines that it covers."
                            ),
                        ),
                        (
                            "plan",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="steps",
                                to="inspections.commissioningplan",
                            ),
                        ),
                        (
                            "test_point",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="planned_step",
                                to="inspections.testpoint",
                            ),
                        ),
                        (
                            "moves",
                            models.JSONField(
                                default=list, help_text="One after the other: do, must, must_not. Empty on older plans."
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["plan", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("plan", "number"), name="planned_step_number_unique_per_plan"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("number__gte", 1)), name="planned_step_number_from_one"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="AcceptedMatter",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("wiring", "wiring"),
                                    ("design", "design check"),
                                    ("settings", "settings not compared"),
                                    ("documents", "documents missing"),
                                    ("visits", "open visits of the job"),
                                    ("contradictions", "answers that contradict each other"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("about", models.CharField(max_length=200)),
                        ("words", models.TextField()),
                        ("digest_sha256", models.CharField(max_length=64)),
                        ("reason", models.CharField(max_length=400, verbose_name="why it is accepted")),
                        ("accepted_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("taken_back_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "accepted_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="accepted_matters",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="accepted_matters",
                                to="sites_registry.job",
                            ),
                        ),
                        (
                            "taken_back_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-accepted_at", "-pk"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("taken_back_at", None)),
                                fields=("building", "digest_sha256"),
                                name="accepted_matter_stands_once_per_building",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("reason", ""), _negated=True),
                                name="accepted_matter_has_a_reason",
                                violation_error_message="Say why it is accepted as it stands.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("kind", "contradictions"), _negated=True),
                                name="accepted_matter_is_no_contradiction",
                                violation_error_message="Answers that contradict each other are settled, not accepted.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("taken_back_at", None), ("taken_back_by", None)),
                                    models.Q(("taken_back_at__isnull", False), ("taken_back_by__isnull", False)),
                                    _connector="OR",
                                ),
                                name="accepted_matter_is_taken_back_by_somebody",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HandOver",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("note", models.CharField(blank=True, max_length=400)),
                        ("missing", models.JSONField(blank=True, default=list)),
                        ("begun_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("handed_over_at", models.DateTimeField(blank=True, null=True)),
                        ("received_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="hand_overs",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "handed_over_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="hand_overs",
                                to="sites_registry.job",
                            ),
                        ),
                        (
                            "received_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "to",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="handed over to",
                            ),
                        ),
                        (
                            "whole_file",
                            models.FileField(blank=True, editable=False, max_length=200, upload_to="hand_overs"),
                        ),
                        ("whole_sha256", models.CharField(blank=True, editable=False, max_length=64)),
                        ("whole_sheets", models.PositiveIntegerField(blank=True, editable=False, null=True)),
                        ("whole_size_bytes", models.PositiveBigIntegerField(blank=True, editable=False, null=True)),
                    ],
                    options={
                        "ordering": ["-begun_at", "-pk"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("handed_over_at", None)),
                                fields=("job",),
                                name="hand_over_one_in_the_making_per_job",
                                violation_error_message="A hand-over of this job is being put together already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("received_at", None), ("received_by", None)),
                                    models.Q(
                                        ("handed_over_at__isnull", False),
                                        ("received_at__isnull", False),
                                        ("received_by__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="hand_over_is_received_by_somebody_after_it_was_given",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("whole_file", ""),
                                        ("whole_sha256", ""),
                                        ("whole_sheets", None),
                                        ("whole_size_bytes", None),
                                    ),
                                    models.Q(
                                        models.Q(("whole_file", ""), _negated=True),
                                        models.Q(("whole_sha256", ""), _negated=True),
                                        ("handed_over_at__isnull", False),
                                        ("whole_sheets__isnull", False),
                                        ("whole_size_bytes__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="hand_over_file_is_kept_with_its_digest_once_it_was_given",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HandOverFile",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        (
                            "folder",
                            models.CharField(
                                choices=[
                                    ("certificates", "Certificates and reports"),
                                    ("drawings", "Drawings"),
                                    ("schedules", "Schedules"),
                                    ("cause_and_effect", "Cause and effect"),
                                    ("settings", "Settings"),
                                    ("declarations", "Declarations"),
                                    ("manuals", "Manuals"),
                                    ("labels", "Labels"),
                                    ("other", "Other files"),
                                ],
                                max_length=20,
                            ),
                        ),
                        ("title", models.CharField(max_length=240)),
                        ("language", models.CharField(blank=True, max_length=8)),
                        ("paper", models.CharField(blank=True, max_length=80)),
                        ("file", models.FileField(blank=True, max_length=200, upload_to="hand_overs")),
                        ("file_name", models.CharField(max_length=240)),
                        ("media_type", models.CharField(max_length=100)),
                        ("size_bytes", models.PositiveIntegerField(blank=True, null=True)),
                        ("sha256", models.CharField(blank=True, max_length=64)),
                        (
                            "attachment",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="zones.attachment",
                            ),
                        ),
                        (
                            "certificate",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="inspections.certificate",
                            ),
                        ),
                        (
                            "hand_over",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="files",
                                to="inspections.handover",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["hand_over", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("hand_over", "number"), name="hand_over_file_number_is_used_once"
                            ),
                            models.UniqueConstraint(
                                fields=("hand_over", "folder", "file_name"), name="hand_over_file_name_is_used_once"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        models.Q(("paper", ""), _negated=True),
                                        ("attachment", None),
                                        ("certificate", None),
                                    ),
                                    models.Q(("attachment", None), ("certificate__isnull", False), ("paper", "")),
                                    models.Q(("attachment__isnull", False), ("certificate", None), ("paper", "")),
                                    _connector="OR",
                                ),
                                name="hand_over_file_has_one_source",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("sha256", ""), ("size_bytes", None)),
                                    models.Q(
                                        models.Q(("sha256", ""), _negated=True),
                                        models.Q(("file", ""), _negated=True),
                                        ("size_bytes__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="hand_over_file_has_its_digest_with_its_bytes",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ArrivingPhoto",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("client_uuid", models.UUIDField(unique=True)),
                        ("told", models.JSONField()),
                        ("size_bytes", models.PositiveIntegerField()),
                        ("sha256", models.CharField(max_length=64)),
                        ("begun_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "person",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos_arriving",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos_arriving",
                                to="inspections.visit",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["begun_at", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("size_bytes__gt", 0)), name="arriving_photo_has_a_size"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Photo",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "stage",
                            models.CharField(
                                blank=True,
                                choices=[("before", "before"), ("after", "after")],
                                help_text="Before or after a defect was put right.",
                                max_length=8,
                            ),
                        ),
                        ("caption", models.CharField(blank=True, max_length=200)),
                        (
                            "client_uuid",
                            models.UUIDField(
                                help_text="Given by the phone: sent twice, it is taken once.", unique=True
                            ),
                        ),
                        ("taken_at", models.DateTimeField(blank=True, null=True)),
                        ("device_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("clock_offset_s", models.BigIntegerField(blank=True, editable=False, null=True)),
                        ("received_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("latitude", models.DecimalField(blank=True, decimal_places=5, max_digits=8, null=True)),
                        ("longitude", models.DecimalField(blank=True, decimal_places=5, max_digits=8, null=True)),
                        (
                            "marks",
                            models.JSONField(
                                blank=True,
                                default=list,
                                help_text="Arrows and circles, in parts of its width and height.",
                            ),
                        ),
                        ("file", models.FileField(max_length=200, upload_to="")),
                        ("shown", models.FileField(help_text="With its marks.", max_length=200, upload_to="")),
                        ("small", models.FileField(help_text="With its marks, small.", max_length=200, upload_to="")),
                        (
                            "sha256",
                            models.CharField(editable=False, help_text="Of the file as it is kept.", max_length=64),
                        ),
                        (
                            "sent_sha256",
                            models.CharField(editable=False, help_text="Of the file as it came.", max_length=64),
                        ),
                        ("width_px", models.PositiveIntegerField(editable=False)),
                        ("height_px", models.PositiveIntegerField(editable=False)),
                        ("withdrawn_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("withdrawn_reason", models.CharField(blank=True, editable=False, max_length=200)),
                        (
                            "defect",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="inspections.defect",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="zones.position",
                            ),
                        ),
                        (
                            "taken_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos_taken",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "test_point",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="inspections.testpoint",
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="inspections.visit",
                            ),
                        ),
                        (
                            "withdrawn_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["visit", "taken_at", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("defect__isnull", True),
                                        ("position__isnull", True),
                                        ("test_point__isnull", True),
                                    ),
                                    models.Q(
                                        ("defect__isnull", True),
                                        ("position__isnull", True),
                                        ("test_point__isnull", False),
                                    ),
                                    models.Q(
                                        ("defect__isnull", True),
                                        ("position__isnull", False),
                                        ("test_point__isnull", True),
                                    ),
                                    models.Q(
                                        ("defect__isnull", False),
                                        ("position__isnull", True),
                                        ("test_point__isnull", True),
                                    ),
                                    _connector="OR",
                                ),
                                name="photo_is_of_one_thing",
                                violation_error_message="A photograph is of one test, position or defect, or of the visit as a whole.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("stage", ""),
                                    models.Q(
                                        ("stage__in", ["before", "after"]),
                                        models.Q(
                                            ("defect__isnull", True),
                                            ("position__isnull", True),
                                            ("test_point__isnull", True),
                                            _negated=True,
                                        ),
                                    ),
                                    _connector="OR",
                                ),
                                name="photo_before_or_after_is_of_something",
                                violation_error_message="Before and after are told of a defect, a test or a position.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("withdrawn_at", None), ("withdrawn_by", None), ("withdrawn_reason", "")),
                                    models.Q(
                                        ("withdrawn_at__isnull", False),
                                        ("withdrawn_by__isnull", False),
                                        models.Q(("withdrawn_reason", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="photo_is_withdrawn_by_somebody_with_a_reason",
                                violation_error_message="Say why the photograph is withdrawn.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("latitude", None), ("longitude", None)),
                                    models.Q(
                                        ("latitude__isnull", False),
                                        ("longitude__isnull", False),
                                        ("latitude__gte", -90),
                                        ("latitude__lte", 90),
                                        ("longitude__gte", -180),
                                        ("longitude__lte", 180),
                                    ),
                                    _connector="OR",
                                ),
                                name="photo_place_is_on_earth",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("height_px__gt", 0), ("width_px__gt", 0)), name="photo_has_a_size"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="PhotoPart",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("offset", models.PositiveIntegerField()),
                        ("content", models.BinaryField()),
                        (
                            "arriving",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="parts",
                                to="inspections.arrivingphoto",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["arriving", "offset"],
                        "constraints": [
                            models.UniqueConstraint(fields=("arriving", "offset"), name="photo_part_is_kept_once")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="InstrumentUsed",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=80)),
                        ("own_number", models.CharField(max_length=20)),
                        ("serial", models.CharField(blank=True, max_length=60)),
                        ("units", models.JSONField(default=list, help_text="Units of the readings that it takes.")),
                        ("calibrated_on", models.DateField(blank=True, null=True)),
                        ("calibration_due_on", models.DateField(blank=True, null=True)),
                        ("chosen_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "chosen_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "instrument",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="uses",
                                to="sites_registry.instrument",
                            ),
                        ),
                        (
                            "visit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="instruments_used",
                                to="inspections.visit",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "instruments used",
                        "ordering": ["visit", "own_number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("visit", "instrument"), name="instrument_used_once_per_visit"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SignOff",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "how",
                            models.CharField(
                                choices=[
                                    ("glass", "signed on this phone"),
                                    ("paper", "signed on paper, which the firm keeps"),
                                    ("nobody", "nobody was there"),
                                ],
                                max_length=8,
                            ),
                        ),
                        (
                            "name",
                            models.CharField(blank=True, help_text="Who signed for the building.", max_length=120),
                        ),
                        ("signature", models.JSONField(blank=True, editable=False, null=True)),
                        ("why_nobody", models.CharField(blank=True, max_length=400)),
                        (
                            "notice_given",
                            models.CharField(
                                blank=True,
                                help_text="To whom, and how, the notice of impaired points was handed over.",
                                max_length=400,
                            ),
                        ),
                        (
                            "stood",
                            models.JSONField(
                                editable=False,
                                encoder=django.core.serializers.json.DjangoJSONEncoder,
                                help_text="How the visit stood then.",
                            ),
                        ),
                        ("taken_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        (
                            "taken_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="sign_offs",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "visit",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="sign_off",
                                to="inspections.visit",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("how", "nobody"), models.Q(("name", ""), _negated=True), _connector="OR"
                                ),
                                name="sign_off_names_who_signed",
                                violation_error_message="Enter who signed.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("how", "nobody"), _negated=True),
                                    models.Q(("why_nobody", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="sign_off_of_nobody_says_why",
                                violation_error_message="Say why nobody signed, and who was told.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("how", "glass"), _negated=True),
                                    ("signature__isnull", False),
                                    _connector="OR",
                                ),
                                name="sign_off_on_glass_has_a_signature",
                                violation_error_message="There is no signature.",
                            ),
                        ],
                        "verbose_name": "sign-off",
                    },
                ),
                migrations.CreateModel(
                    name="ReadingLink",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("reader", models.CharField(max_length=160)),
                        ("digest_sha256", models.CharField(max_length=64, unique=True)),
                        ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("ends_on", models.DateField()),
                        ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="reading_links",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "certificate",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="reading_links",
                                to="inspections.certificate",
                            ),
                        ),
                        (
                            "hand_over",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="reading_links",
                                to="inspections.handover",
                            ),
                        ),
                        (
                            "made_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "withdrawn_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-made_at", "-pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("certificate", None), ("hand_over__isnull", False)),
                                    models.Q(("certificate__isnull", False), ("hand_over", None)),
                                    _connector="OR",
                                ),
                                name="reading_link_reads_one_paper",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("withdrawn_at", None), ("withdrawn_by", None)),
                                    models.Q(("withdrawn_at__isnull", False), ("withdrawn_by__isnull", False)),
                                    _connector="OR",
                                ),
                                name="reading_link_is_withdrawn_by_somebody",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("withdrawn_at", None), ("withdrawn_at__gte", models.F("made_at")), _connector="OR"
                                ),
                                name="reading_link_is_withdrawn_after_it_was_made",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ReadingLinkOpening",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("opened_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("what", models.CharField(max_length=240)),
                        (
                            "link",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="openings",
                                to="inspections.readinglink",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-opened_at", "-pk"],
                        "indexes": [models.Index(fields=["link", "-opened_at"], name="reading_link_openings")],
                    },
                ),
                migrations.CreateModel(
                    name="CalendarLink",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("digest_sha256", models.CharField(max_length=64, unique=True)),
                        ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "person",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="calendar_link",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                ),
                migrations.CreateModel(
                    name="Verification",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("ran_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("took_s", models.FloatField()),
                        ("looked_at", models.JSONField(default=dict)),
                        ("ledger_head", models.CharField(blank=True, max_length=40)),
                        ("faults", models.JSONField(default=list)),
                        ("faults_count", models.PositiveIntegerField(default=0)),
                    ],
                    options={
                        "ordering": ["-ran_at", "-pk"],
                    },
                ),
                migrations.CreateModel(
                    name="CertificatePaper",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("sha256", models.CharField(db_index=True, max_length=64)),
                        (
                            "signature",
                            models.BinaryField(
                                help_text="Its last bytes: what was composed, and these, are the paper again."
                            ),
                        ),
                        ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "certificate",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="papers",
                                to="inspections.certificate",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["certificate", "pk"],
                    },
                ),
                migrations.CreateModel(
                    name="LedgerEntry",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveIntegerField(unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("issue", "certificate issued"),
                                    ("supersession", "certificate superseded"),
                                    ("revocation", "certificate revoked"),
                                    ("sign_off", "visit signed off"),
                                    ("log_entry", "entry in a log book"),
                                    ("log_end", "end noted in a log book"),
                                    ("paper", "paper of a certificate given out"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "about",
                            models.BigIntegerField(
                                help_text="Key of the certificate, sign-off, entry of a log book or paper."
                            ),
                        ),
                        ("named", models.CharField(help_text="What a person calls it.", max_length=80)),
                        ("content", models.JSONField()),
                        ("is_later", models.BooleanField(default=False, verbose_name="entered later")),
                        ("entered_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "previous",
                            models.CharField(
                                help_text="Digest of the entry before; zeros for the first.", max_length=64
                            ),
                        ),
                        ("digest", models.CharField(max_length=64, unique=True)),
                        ("seal", models.CharField(max_length=128)),
                        ("public_key", models.CharField(max_length=64)),
                    ],
                    options={
                        "verbose_name_plural": "ledger entries",
                        "ordering": ["number"],
                        "constraints": [
                            models.UniqueConstraint(fields=("kind", "about"), name="ledger_tells_a_thing_once"),
                            models.CheckConstraint(
                                condition=models.Q(("number__gte", 1)), name="ledger_counts_from_one"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="CheckAttempt",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "who",
                            models.CharField(
                                help_text="Digest of the address, made with the key of the register.", max_length=64
                            ),
                        ),
                        ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "certificate",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="+",
                                to="inspections.certificate",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["certificate", "who", "asked_at"], name="check_attempt_of_late")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="BuildingFile",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=200)),
                        ("sha256", models.CharField(max_length=64)),
                        ("content", models.BinaryField()),
                        ("uploaded_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("taken_over_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "building",
                            models.OneToOneField(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="taken_over_from",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "taken_over_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "uploaded_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-uploaded_at"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("building", None), ("taken_over_at", None), ("taken_over_by", None)),
                                    models.Q(
                                        ("building__isnull", False),
                                        ("taken_over_at__isnull", False),
                                        ("taken_over_by__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="building_file_taken_over_by_somebody_at_a_moment",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Notice",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("event", models.CharField(max_length=80)),
                        ("words", models.CharField(max_length=300)),
                        ("is_impairment", models.BooleanField(default=False)),
                        ("noted_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "mail",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="notices",
                                to="sites_registry.mail",
                            ),
                        ),
                        (
                            "person",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="notices",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["pk"],
                        "constraints": [
                            models.UniqueConstraint(fields=("person", "event"), name="notice_once_per_person_and_event")
                        ],
                    },
                ),
            ],
        ),
    ]
