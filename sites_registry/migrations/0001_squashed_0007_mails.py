import django.core.validators
import django.db.models.deletion
import django.db.models.functions.text
import django.utils.timezone
import simple_history.models
from django.conf import settings
from django.db import migrations, models

import sites_registry.tables_at_once


class Migration(migrations.Migration):
    replaces = [
        ("sites_registry", "0001_initial"),
        ("sites_registry", "0002_firm"),
        ("sites_registry", "0003_building_country"),
        ("sites_registry", "0004_standards_named_and_receipts"),
        ("sites_registry", "0005_instruments_and_qualifications"),
        ("sites_registry", "0006_kept_files"),
        ("sites_registry", "0007_mails"),
    ]

    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        sites_registry.tables_at_once.CreateTables(
            state_operations=[
                migrations.CreateModel(
                    name="Counter",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("series", models.CharField(max_length=40, unique=True)),
                        ("last_number", models.PositiveIntegerField(default=0)),
                    ],
                ),
                migrations.CreateModel(
                    name="Person",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("password", models.CharField(max_length=128, verbose_name="password")),
                        ("last_login", models.DateTimeField(blank=True, null=True, verbose_name="last login")),
                        (
                            "is_superuser",
                            models.BooleanField(
                                default=False,
                                help_text="Designates that this user has all permissions without explicitly assigning them.",
                                verbose_name="superuser status",
                            ),
                        ),
                        ("email", models.EmailField(max_length=254, unique=True, verbose_name="e-mail")),
                        ("full_name", models.CharField(max_length=120, verbose_name="name")),
                        (
                            "role",
                            models.CharField(
                                choices=[
                                    ("office", "office staff"),
                                    ("engineer", "service engineer"),
                                    ("manager", "building manager"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        (
                            "competence",
                            models.CharField(
                                blank=True,
                                help_text="Training and evidence, as it is to stand on certificates.",
                                max_length=300,
                            ),
                        ),
                        (
                            "competence_expires_on",
                            models.DateField(blank=True, null=True, verbose_name="competence lapses on"),
                        ),
                        ("is_active", models.BooleanField(default=True, verbose_name="can log in")),
                        ("is_staff", models.BooleanField(default=False, verbose_name="support access")),
                        ("joined_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "groups",
                            models.ManyToManyField(
                                blank=True,
                                help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                                related_name="user_set",
                                related_query_name="user",
                                to="auth.group",
                                verbose_name="groups",
                            ),
                        ),
                        (
                            "user_permissions",
                            models.ManyToManyField(
                                blank=True,
                                help_text="Specific permissions for this user.",
                                related_name="user_set",
                                related_query_name="user",
                                to="auth.permission",
                                verbose_name="user permissions",
                            ),
                        ),
                        (
                            "mails",
                            models.CharField(
                                choices=[
                                    ("at_once", "a digest a day, an impairment at once"),
                                    ("digest", "a digest a day"),
                                    ("off", "no mails"),
                                ],
                                default="at_once",
                                max_length=8,
                                verbose_name="mails",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "people",
                        "ordering": ["full_name"],
                        "constraints": [
                            models.UniqueConstraint(
                                django.db.models.functions.text.Lower("email"),
                                name="person_email_unique",
                                violation_error_message="This e-mail has a log-in already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Client",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=120)),
                        ("address", models.TextField(blank=True, max_length=400)),
                        (
                            "certificate_address",
                            models.TextField(
                                blank=True,
                                help_text="Only if it differs from the address.",
                                max_length=400,
                                verbose_name="address on certificates",
                            ),
                        ),
                        ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        (
                            "call_out_hours",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                help_text="From report to attendance, by contract.",
                                null=True,
                                verbose_name="agreed call-out time (h)",
                            ),
                        ),
                        ("notes", models.TextField(blank=True, max_length=4000)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                    ],
                    options={
                        "ordering": ["name"],
                        "constraints": [
                            models.UniqueConstraint(
                                django.db.models.functions.text.Lower("name"),
                                name="client_name_unique",
                                violation_error_message="A client of this name exists.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Building",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=120)),
                        ("slug", models.SlugField(max_length=80, unique=True, verbose_name="address in the register")),
                        (
                            "use",
                            models.CharField(
                                choices=[
                                    ("flats", "flats"),
                                    ("office", "offices"),
                                    ("school", "school"),
                                    ("care", "care home or hospital"),
                                    ("assembly", "assembly hall"),
                                    ("retail", "shops"),
                                    ("industry", "factory or workshop"),
                                    ("storage", "warehouse"),
                                    ("hotel", "hotel"),
                                    ("transport", "station or garage"),
                                    ("other", "other"),
                                ],
                                default="other",
                                max_length=16,
                            ),
                        ),
                        ("address", models.TextField(blank=True, max_length=400)),
                        (
                            "storeys",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                null=True,
                                validators=[
                                    django.core.validators.MinValueValidator(1),
                                    django.core.validators.MaxValueValidator(200),
                                ],
                            ),
                        ),
                        (
                            "height_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=5,
                                null=True,
                                validators=[
                                    django.core.validators.MinValueValidator(0),
                                    django.core.validators.MaxValueValidator(999),
                                ],
                                verbose_name="height of top storey (m)",
                            ),
                        ),
                        ("responsible_person", models.CharField(blank=True, max_length=120)),
                        ("responsible_person_contact", models.CharField(blank=True, max_length=200)),
                        ("access_notes", models.TextField(blank=True, max_length=2000, verbose_name="keys and access")),
                        (
                            "roof_access_notes",
                            models.TextField(blank=True, max_length=2000, verbose_name="roof access"),
                        ),
                        ("asbestos_notes", models.TextField(blank=True, max_length=2000, verbose_name="asbestos")),
                        (
                            "alarm_receiving_centre",
                            models.CharField(
                                blank=True, help_text="Name and telephone. Never a code word.", max_length=200
                            ),
                        ),
                        (
                            "fire_strategy_reference",
                            models.CharField(blank=True, max_length=200, verbose_name="fire strategy"),
                        ),
                        ("standards_applied", models.CharField(blank=True, help_text="With edition.", max_length=300)),
                        (
                            "inspection_interval_months",
                            models.PositiveSmallIntegerField(
                                default=12,
                                validators=[
                                    django.core.validators.MinValueValidator(1),
                                    django.core.validators.MaxValueValidator(36),
                                ],
                                verbose_name="inspection every (months)",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "managers",
                            models.ManyToManyField(
                                blank=True,
                                limit_choices_to={"role": "manager"},
                                related_name="buildings",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "client",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="buildings",
                                to="sites_registry.client",
                            ),
                        ),
                        (
                            "country",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("GB-ENG", "England"),
                                    ("GB-WLS", "Wales"),
                                    ("GB-SCT", "Scotland"),
                                    ("GB-NIR", "Northern Ireland"),
                                    ("other", "another country"),
                                ],
                                help_text="Some duties and remarks are the law of one country only.",
                                max_length=8,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["name"],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("client"),
                                django.db.models.functions.text.Lower("name"),
                                name="building_name_unique_per_client",
                                violation_error_message="This client has a building of this name already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("inspection_interval_months__gte", 1)),
                                name="building_inspection_interval_at_least_one_month",
                                violation_error_message="The interval is at least one month.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("country__in", ["", "GB-ENG", "GB-WLS", "GB-SCT", "GB-NIR", "other"])
                                ),
                                name="building_country_is_one_of_the_list",
                                violation_error_message="Choose the country from the list, or leave it empty.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Contact",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=120)),
                        (
                            "function",
                            models.CharField(blank=True, help_text="For instance: facilities manager.", max_length=120),
                        ),
                        ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        ("language", models.CharField(blank=True, max_length=40)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "client",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="contacts",
                                to="sites_registry.client",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["name"],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalBuilding",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(max_length=120)),
                        ("slug", models.SlugField(max_length=80, verbose_name="address in the register")),
                        (
                            "use",
                            models.CharField(
                                choices=[
                                    ("flats", "flats"),
                                    ("office", "offices"),
                                    ("school", "school"),
                                    ("care", "care home or hospital"),
                                    ("assembly", "assembly hall"),
                                    ("retail", "shops"),
                                    ("industry", "factory or workshop"),
                                    ("storage", "warehouse"),
                                    ("hotel", "hotel"),
                                    ("transport", "station or garage"),
                                    ("other", "other"),
                                ],
                                default="other",
                                max_length=16,
                            ),
                        ),
                        ("address", models.TextField(blank=True, max_length=400)),
                        (
                            "storeys",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                null=True,
                                validators=[
                                    django.core.validators.MinValueValidator(1),
                                    django.core.validators.MaxValueValidator(200),
                                ],
                            ),
                        ),
                        (
                            "height_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=5,
                                null=True,
                                validators=[
                                    django.core.validators.MinValueValidator(0),
                                    django.core.validators.MaxValueValidator(999),
                                ],
                                verbose_name="height of top storey (m)",
                            ),
                        ),
                        ("responsible_person", models.CharField(blank=True, max_length=120)),
                        ("responsible_person_contact", models.CharField(blank=True, max_length=200)),
                        ("access_notes", models.TextField(blank=True, max_length=2000, verbose_name="keys and access")),
                        (
                            "roof_access_notes",
                            models.TextField(blank=True, max_length=2000, verbose_name="roof access"),
                        ),
                        ("asbestos_notes", models.TextField(blank=True, max_length=2000, verbose_name="asbestos")),
                        (
                            "alarm_receiving_centre",
                            models.CharField(
                                blank=True, help_text="Name and telephone. Never a code word.", max_length=200
                            ),
                        ),
                        (
                            "fire_strategy_reference",
                            models.CharField(blank=True, max_length=200, verbose_name="fire strategy"),
                        ),
                        ("standards_applied", models.CharField(blank=True, help_text="With edition.", max_length=300)),
                        (
                            "inspection_interval_months",
                            models.PositiveSmallIntegerField(
                                default=12,
                                validators=[
                                    django.core.validators.MinValueValidator(1),
                                    django.core.validators.MaxValueValidator(36),
                                ],
                                verbose_name="inspection every (months)",
                            ),
                        ),
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
                            "client",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="sites_registry.client",
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
                            "country",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("GB-ENG", "England"),
                                    ("GB-WLS", "Wales"),
                                    ("GB-SCT", "Scotland"),
                                    ("GB-NIR", "Northern Ireland"),
                                    ("other", "another country"),
                                ],
                                help_text="Some duties and remarks are the law of one country only.",
                                max_length=8,
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical building",
                        "verbose_name_plural": "historical buildings",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalBuilding_managers",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("m2m_history_id", models.AutoField(primary_key=True, serialize=False)),
                        (
                            "building",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                db_tablespace="",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "history",
                            models.ForeignKey(
                                db_constraint=False,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                to="sites_registry.historicalbuilding",
                            ),
                        ),
                        (
                            "person",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                db_tablespace="",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "HistoricalBuilding_managers",
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalClient",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(max_length=120)),
                        ("address", models.TextField(blank=True, max_length=400)),
                        (
                            "certificate_address",
                            models.TextField(
                                blank=True,
                                help_text="Only if it differs from the address.",
                                max_length=400,
                                verbose_name="address on certificates",
                            ),
                        ),
                        ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        (
                            "call_out_hours",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                help_text="From report to attendance, by contract.",
                                null=True,
                                verbose_name="agreed call-out time (h)",
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
                            "history_user",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical client",
                        "verbose_name_plural": "historical clients",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalContact",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(max_length=120)),
                        (
                            "function",
                            models.CharField(blank=True, help_text="For instance: facilities manager.", max_length=120),
                        ),
                        ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        ("language", models.CharField(blank=True, max_length=40)),
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
                            "client",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="sites_registry.client",
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
                    ],
                    options={
                        "verbose_name": "historical contact",
                        "verbose_name_plural": "historical contacts",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalJob",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("number", models.CharField(db_index=True, editable=False, max_length=20)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("new", "new installation"),
                                    ("extension", "extension"),
                                    ("take_over", "take-over"),
                                    ("remedial", "remedial work"),
                                    ("service", "service"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("scope", models.TextField(help_text="What is to be done, and what is not.", max_length=2000)),
                        (
                            "standard",
                            models.CharField(
                                blank=True,
                                help_text="With edition.",
                                max_length=200,
                                verbose_name="standard named by the client",
                            ),
                        ),
                        (
                            "label_language",
                            models.CharField(blank=True, max_length=40, verbose_name="language of the labels"),
                        ),
                        ("opened_on", models.DateField(default=django.utils.timezone.localdate)),
                        ("closed_on", models.DateField(blank=True, editable=False, null=True)),
                        (
                            "receipt_signed_by",
                            models.CharField(blank=True, max_length=120, verbose_name="papers received by"),
                        ),
                        (
                            "receipt_signed_on",
                            models.DateField(blank=True, null=True, verbose_name="papers received on"),
                        ),
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
                            "history_user",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "lead",
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
                    ],
                    options={
                        "verbose_name": "historical job",
                        "verbose_name_plural": "historical jobs",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalPerson",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "is_superuser",
                            models.BooleanField(
                                default=False,
                                help_text="Designates that this user has all permissions without explicitly assigning them.",
                                verbose_name="superuser status",
                            ),
                        ),
                        ("email", models.EmailField(db_index=True, max_length=254, verbose_name="e-mail")),
                        ("full_name", models.CharField(max_length=120, verbose_name="name")),
                        (
                            "role",
                            models.CharField(
                                choices=[
                                    ("office", "office staff"),
                                    ("engineer", "service engineer"),
                                    ("manager", "building manager"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        (
                            "competence",
                            models.CharField(
                                blank=True,
                                help_text="Training and evidence, as it is to stand on certificates.",
                                max_length=300,
                            ),
                        ),
                        (
                            "competence_expires_on",
                            models.DateField(blank=True, null=True, verbose_name="competence lapses on"),
                        ),
                        ("is_active", models.BooleanField(default=True, verbose_name="can log in")),
                        ("is_staff", models.BooleanField(default=False, verbose_name="support access")),
                        ("joined_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
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
                            "mails",
                            models.CharField(
                                choices=[
                                    ("at_once", "a digest a day, an impairment at once"),
                                    ("digest", "a digest a day"),
                                    ("off", "no mails"),
                                ],
                                default="at_once",
                                max_length=8,
                                verbose_name="mails",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical person",
                        "verbose_name_plural": "historical people",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="Invitation",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("email", models.EmailField(max_length=254, verbose_name="e-mail")),
                        ("full_name", models.CharField(max_length=120, verbose_name="name")),
                        (
                            "role",
                            models.CharField(
                                choices=[
                                    ("office", "office staff"),
                                    ("engineer", "service engineer"),
                                    ("manager", "building manager"),
                                ],
                                default="manager",
                                max_length=16,
                            ),
                        ),
                        ("token_hash", models.CharField(editable=False, max_length=64, unique=True)),
                        ("invited_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("expires_at", models.DateTimeField()),
                        ("accepted_at", models.DateTimeField(blank=True, null=True)),
                        ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "accepted_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "buildings",
                            models.ManyToManyField(
                                blank=True, related_name="invitations", to="sites_registry.building"
                            ),
                        ),
                        (
                            "invited_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="invitations_sent",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-invited_at"],
                    },
                ),
                migrations.CreateModel(
                    name="Job",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.CharField(editable=False, max_length=20, unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("new", "new installation"),
                                    ("extension", "extension"),
                                    ("take_over", "take-over"),
                                    ("remedial", "remedial work"),
                                    ("service", "service"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("scope", models.TextField(help_text="What is to be done, and what is not.", max_length=2000)),
                        (
                            "standard",
                            models.CharField(
                                blank=True,
                                help_text="With edition.",
                                max_length=200,
                                verbose_name="standard named by the client",
                            ),
                        ),
                        (
                            "label_language",
                            models.CharField(blank=True, max_length=40, verbose_name="language of the labels"),
                        ),
                        ("opened_on", models.DateField(default=django.utils.timezone.localdate)),
                        ("closed_on", models.DateField(blank=True, editable=False, null=True)),
                        (
                            "receipt_signed_by",
                            models.CharField(blank=True, max_length=120, verbose_name="papers received by"),
                        ),
                        (
                            "receipt_signed_on",
                            models.DateField(blank=True, null=True, verbose_name="papers received on"),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="jobs",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "lead",
                            models.ForeignKey(
                                blank=True,
                                limit_choices_to={"role": "engineer"},
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="jobs_led",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-opened_on", "-number"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("closed_on", None), ("closed_on__gte", models.F("opened_on")), _connector="OR"
                                ),
                                name="job_closes_on_or_after_its_start",
                                violation_error_message="A job cannot close before it was opened.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalVariation",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("what", models.CharField(max_length=400)),
                        ("why", models.CharField(max_length=400)),
                        ("agreed_by", models.CharField(max_length=200)),
                        ("agreed_on", models.DateField()),
                        ("removed_on", models.DateField(blank=True, null=True, verbose_name="no longer stands since")),
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
                    ],
                    options={
                        "verbose_name": "historical variation",
                        "verbose_name_plural": "historical variations",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalHandedOverDocument",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("certificate", "certificate"),
                                    ("drawings", "as-installed drawings"),
                                    ("schedules", "device and terminal schedules"),
                                    ("cause_and_effect", "cause-and-effect matrix"),
                                    ("settings", "settings"),
                                    ("instructions", "operating and maintenance instructions"),
                                    ("declaration", "declaration of performance"),
                                    ("log_book", "log book"),
                                    ("training", "training record"),
                                    ("other", "other"),
                                ],
                                max_length=20,
                            ),
                        ),
                        ("title", models.CharField(max_length=200)),
                        ("language", models.CharField(default="English", max_length=40)),
                        ("handed_over_on", models.DateField(default=django.utils.timezone.localdate)),
                        ("handed_over_to", models.CharField(max_length=120)),
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
                    ],
                    options={
                        "verbose_name": "historical handed over document",
                        "verbose_name_plural": "historical handed over documents",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HandedOverDocument",
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
                                    ("certificate", "certificate"),
                                    ("drawings", "as-installed drawings"),
                                    ("schedules", "device and terminal schedules"),
                                    ("cause_and_effect", "cause-and-effect matrix"),
                                    ("settings", "settings"),
                                    ("instructions", "operating and maintenance instructions"),
                                    ("declaration", "declaration of performance"),
                                    ("log_book", "log book"),
                                    ("training", "training record"),
                                    ("other", "other"),
                                ],
                                max_length=20,
                            ),
                        ),
                        ("title", models.CharField(max_length=200)),
                        ("language", models.CharField(default="English", max_length=40)),
                        ("handed_over_on", models.DateField(default=django.utils.timezone.localdate)),
                        ("handed_over_to", models.CharField(max_length=120)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "job",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="handed_over",
                                to="sites_registry.job",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["handed_over_on", "pk"],
                    },
                ),
                migrations.CreateModel(
                    name="Submission",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("key", models.UUIDField(unique=True)),
                        ("led_to", models.CharField(max_length=300)),
                        ("taken_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "person",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                ),
                migrations.CreateModel(
                    name="Variation",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("what", models.CharField(max_length=400)),
                        ("why", models.CharField(max_length=400)),
                        ("agreed_by", models.CharField(max_length=200)),
                        ("agreed_on", models.DateField()),
                        ("removed_on", models.DateField(blank=True, null=True, verbose_name="no longer stands since")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="variations",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="variations",
                                to="sites_registry.job",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["agreed_on", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("removed_on", None), ("removed_on__gte", models.F("agreed_on")), _connector="OR"
                                ),
                                name="variation_ends_on_or_after_its_start",
                                violation_error_message="A variation cannot end before it was agreed.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Firm",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(default="The contracting firm", max_length=120)),
                        ("address", models.TextField(blank=True, max_length=400)),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                        (
                            "registration",
                            models.CharField(
                                blank=True,
                                help_text="As it is to stand on certificates.",
                                max_length=200,
                                verbose_name="registration or scheme",
                            ),
                        ),
                        (
                            "due_soon_days",
                            models.PositiveSmallIntegerField(
                                default=30,
                                help_text="Common practice; the firm decides.",
                                verbose_name="due soon means within (days)",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                    ],
                    options={
                        "verbose_name_plural": "firm",
                        "constraints": [models.CheckConstraint(condition=models.Q(("pk", 1)), name="firm_is_one")],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalFirm",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(default="The contracting firm", max_length=120)),
                        ("address", models.TextField(blank=True, max_length=400)),
                        ("phone", models.CharField(blank=True, max_length=40)),
                        ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                        (
                            "registration",
                            models.CharField(
                                blank=True,
                                help_text="As it is to stand on certificates.",
                                max_length=200,
                                verbose_name="registration or scheme",
                            ),
                        ),
                        (
                            "due_soon_days",
                            models.PositiveSmallIntegerField(
                                default=30,
                                help_text="Common practice; the firm decides.",
                                verbose_name="due soon means within (days)",
                            ),
                        ),
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
                    ],
                    options={
                        "verbose_name": "historical firm",
                        "verbose_name_plural": "historical firm",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalInstrument",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "name",
                            models.CharField(
                                help_text="Multimeter, insulation tester, clamp meter …",
                                max_length=80,
                                verbose_name="what it is",
                            ),
                        ),
                        (
                            "own_number",
                            models.CharField(
                                help_text="As on the firm's label.", max_length=20, verbose_name="own number"
                            ),
                        ),
                        ("serial", models.CharField(blank=True, max_length=60)),
                        (
                            "voltage_to_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures voltage up to (V)",
                            ),
                        ),
                        (
                            "current_to_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures current up to (A)",
                            ),
                        ),
                        (
                            "resistance_to_kohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures resistance up to (kΩ)",
                            ),
                        ),
                        (
                            "insulation_to_mohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures insulation up to (MΩ)",
                            ),
                        ),
                        ("calibrated_on", models.DateField(blank=True, null=True)),
                        (
                            "calibration_due_on",
                            models.DateField(blank=True, null=True, verbose_name="calibration due on"),
                        ),
                        ("notes", models.CharField(blank=True, max_length=400)),
                        ("retired_on", models.DateField(blank=True, null=True, verbose_name="no longer used since")),
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
                    ],
                    options={
                        "verbose_name": "historical instrument",
                        "verbose_name_plural": "historical instruments",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalQualification",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "subject",
                            models.CharField(
                                choices=[
                                    ("service", "inspection and service of smoke control"),
                                    ("commissioning", "commissioning of smoke control"),
                                    ("live", "work near live parts"),
                                    ("height", "work at height"),
                                    ("other", "other"),
                                ],
                                max_length=16,
                                verbose_name="trained for",
                            ),
                        ),
                        (
                            "title",
                            models.CharField(
                                help_text="What it is called, and by whom.",
                                max_length=160,
                                verbose_name="training or appointment",
                            ),
                        ),
                        ("obtained_on", models.DateField(verbose_name="since")),
                        (
                            "valid_until",
                            models.DateField(
                                blank=True, help_text="Empty: it does not lapse.", null=True, verbose_name="until"
                            ),
                        ),
                        ("notes", models.CharField(blank=True, max_length=400)),
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
                            "person",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical qualification",
                        "verbose_name_plural": "historical qualifications",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="Instrument",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "name",
                            models.CharField(
                                help_text="Multimeter, insulation tester, clamp meter …",
                                max_length=80,
                                verbose_name="what it is",
                            ),
                        ),
                        (
                            "own_number",
                            models.CharField(
                                help_text="As on the firm's label.", max_length=20, verbose_name="own number"
                            ),
                        ),
                        ("serial", models.CharField(blank=True, max_length=60)),
                        (
                            "voltage_to_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures voltage up to (V)",
                            ),
                        ),
                        (
                            "current_to_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures current up to (A)",
                            ),
                        ),
                        (
                            "resistance_to_kohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures resistance up to (kΩ)",
                            ),
                        ),
                        (
                            "insulation_to_mohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=12,
                                null=True,
                                verbose_name="measures insulation up to (MΩ)",
                            ),
                        ),
                        ("calibrated_on", models.DateField(blank=True, null=True)),
                        (
                            "calibration_due_on",
                            models.DateField(blank=True, null=True, verbose_name="calibration due on"),
                        ),
                        ("notes", models.CharField(blank=True, max_length=400)),
                        ("retired_on", models.DateField(blank=True, null=True, verbose_name="no longer used since")),
                    ],
                    options={
                        "ordering": ["own_number"],
                        "constraints": [
                            models.UniqueConstraint(
                                django.db.models.functions.text.Upper("own_number"),
                                name="instrument_own_number_unique",
                                violation_error_message="An instrument has this number already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("calibrated_on", None),
                                    ("calibration_due_on", None),
                                    ("calibration_due_on__gt", models.F("calibrated_on")),
                                    _connector="OR",
                                ),
                                name="instrument_due_after_its_calibration",
                                violation_error_message="The calibration is due after the day on which it was made.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("voltage_to_v", None), ("voltage_to_v__gt", 0), _connector="OR"),
                                name="instrument_voltage_to_v_positive",
                                violation_error_message="A range ends above 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("current_to_a", None), ("current_to_a__gt", 0), _connector="OR"),
                                name="instrument_current_to_a_positive",
                                violation_error_message="A range ends above 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("resistance_to_kohm", None), ("resistance_to_kohm__gt", 0), _connector="OR"
                                ),
                                name="instrument_resistance_to_kohm_positive",
                                violation_error_message="A range ends above 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("insulation_to_mohm", None), ("insulation_to_mohm__gt", 0), _connector="OR"
                                ),
                                name="instrument_insulation_to_mohm_positive",
                                violation_error_message="A range ends above 0.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Qualification",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "subject",
                            models.CharField(
                                choices=[
                                    ("service", "inspection and service of smoke control"),
                                    ("commissioning", "commissioning of smoke control"),
                                    ("live", "work near live parts"),
                                    ("height", "work at height"),
                                    ("other", "other"),
                                ],
                                max_length=16,
                                verbose_name="trained for",
                            ),
                        ),
                        (
                            "title",
                            models.CharField(
                                help_text="What it is called, and by whom.",
                                max_length=160,
                                verbose_name="training or appointment",
                            ),
                        ),
                        ("obtained_on", models.DateField(verbose_name="since")),
                        (
                            "valid_until",
                            models.DateField(
                                blank=True, help_text="Empty: it does not lapse.", null=True, verbose_name="until"
                            ),
                        ),
                        ("notes", models.CharField(blank=True, max_length=400)),
                        (
                            "person",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="qualifications",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["subject", "-obtained_on"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("valid_until", None),
                                    ("valid_until__gte", models.F("obtained_on")),
                                    _connector="OR",
                                ),
                                name="qualification_ends_on_or_after_its_start",
                                violation_error_message="It cannot lapse before it was obtained.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("subject__in", ["service", "commissioning", "live", "height", "other"])
                                ),
                                name="qualification_subject_known",
                                violation_error_message="Choose from the list what the person is trained for.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="KeptFile",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "name",
                            models.CharField(help_text="Path below the folder of files.", max_length=200, unique=True),
                        ),
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
                migrations.CreateModel(
                    name="Mail",
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
                                    ("digest", "digest"),
                                    ("impaired", "impairment"),
                                    ("invitation", "invitation"),
                                ],
                                max_length=12,
                            ),
                        ),
                        ("address", models.EmailField(max_length=254)),
                        ("subject", models.CharField(max_length=200)),
                        ("body", models.TextField()),
                        (
                            "state",
                            models.CharField(
                                choices=[("queued", "waiting"), ("sent", "sent"), ("failed", "not sent")],
                                default="queued",
                                max_length=8,
                            ),
                        ),
                        ("queued_at", models.DateTimeField(default=django.utils.timezone.now, verbose_name="made")),
                        ("next_try_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("tries", models.PositiveSmallIntegerField(default=0)),
                        ("sent_at", models.DateTimeField(blank=True, null=True)),
                        ("reason", models.CharField(blank=True, help_text="Why the last try failed.", max_length=300)),
                        (
                            "person",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="mails_to",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-queued_at", "-pk"],
                        "indexes": [models.Index(fields=["state", "next_try_at"], name="mail_to_send")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("sent_at__isnull", False), ("state", "sent")),
                                    models.Q(models.Q(("state", "sent"), _negated=True), ("sent_at", None)),
                                    _connector="OR",
                                ),
                                name="mail_sent_at_a_moment",
                            )
                        ],
                    },
                ),
            ],
        ),
    ]
