import django.db.models.deletion
import django.db.models.expressions
import django.db.models.functions.text
import django.utils.timezone
import simple_history.models
from django.conf import settings
from django.db import migrations, models

import sites_registry.folded
import sites_registry.tables_at_once
import zones.models.attachments
import zones.models.kinds
import zones.models.product_models
import zones.models.smoke_zones
import zones.models.terminals


class Migration(migrations.Migration):
    replaces = [
        ("zones", "0001_initial"),
        ("zones", "0002_import_run"),
        ("zones", "0003_attachment_withdrawn_by"),
        ("zones", "0004_what_the_design_check_reads"),
        ("zones", "0005_windows_of_a_panels_lines"),
        ("zones", "0006_as_installed_revision"),
        ("zones", "0007_wiring_core_by_core"),
        ("zones", "0008_causes_of_a_rule"),
        ("zones", "0009_material_arrival"),
        ("zones", "0010_terminals_seen_on_site"),
        ("zones", "0011_place_proof"),
        ("zones", "0012_tolerances_in_words"),
        ("zones", "0013_battery_batch"),
        ("zones", "0014_codes_folded_for_finding"),
        ("zones", "0015_orders_of_the_maker"),
        ("zones", "0016_plain_words"),
        ("zones", "0017_highest_and_lowest_priority"),
        ("zones", "0018_figures_read_off_data_plates"),
        ("zones", "0019_languages_and_kinds_of_files"),
        ("zones", "0020_ports_of_devices"),
        ("zones", "0021_rules_of_data_links"),
        ("zones", "0022_record_kept_against_plate_figures"),
        ("zones", "0023_kinds_named_by_their_table"),
        ("zones", "0024_end_of_line_parts"),
        ("zones", "0025_place_confirmations"),
        ("zones", "0026_operating_point_figures"),
        ("zones", "0027_angle_of_test"),
        ("zones", "0028_words_of_data_sheets"),
        ("zones", "0029_vent_loads_and_forces"),
        ("zones", "0030_methods_and_inlets"),
        ("zones", "0031_protection_of_outputs_and_cables"),
        ("zones", "0032_load_kind_not_known"),
        ("zones", "0033_files_of_instruments_and_qualifications"),
        ("zones", "0034_length_of_battery_leads"),
        ("zones", "0035_floor_plans"),
        ("zones", "0036_load_kind_of_actuators_alone"),
        ("zones", "0037_versions_of_floor_plans"),
        ("zones", "0038_sides_of_a_vent_not_known"),
    ]

    initial = True

    dependencies = [
        ("sites_registry", "0005_instruments_and_qualifications"),
    ]

    operations = [
        sites_registry.tables_at_once.CreateTables(
            state_operations=[
                migrations.CreateModel(
                    name="Cable",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("tag", models.CharField(max_length=40)),
                        ("cable_type", models.CharField(blank=True, max_length=80, verbose_name="type")),
                        (
                            "cores_count",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="number of cores"),
                        ),
                        (
                            "area_mm2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="area of a core (mm²)",
                            ),
                        ),
                        (
                            "conductor_class",
                            models.CharField(
                                blank=True,
                                choices=[("1", "1 solid"), ("2", "2 stranded"), ("5", "5 flexible")],
                                max_length=1,
                                verbose_name="class (IEC 60228)",
                            ),
                        ),
                        (
                            "length_m",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="length (m)"
                            ),
                        ),
                        ("fire_rating", models.CharField(blank=True, max_length=40)),
                        ("from_place", models.CharField(blank=True, max_length=80, verbose_name="from")),
                        ("to_place", models.CharField(blank=True, max_length=80, verbose_name="to")),
                        ("route", models.CharField(blank=True, max_length=200)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="cables",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "actuator_circuit",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="cables",
                                to="zones.actuatorcircuit",
                                verbose_name="actuator circuit",
                            ),
                        ),
                        ("awg", models.CharField(blank=True, max_length=4, verbose_name="size (AWG)")),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="cables",
                                to="zones.detectionline",
                                verbose_name="detection line",
                            ),
                        ),
                        (
                            "feeds",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="fed_by",
                                to="zones.position",
                                verbose_name="device at its far end",
                            ),
                        ),
                        (
                            "hot_length_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="length exposed to fire (m)",
                            ),
                        ),
                        ("is_tinned", models.BooleanField(default=False, verbose_name="tinned copper")),
                        (
                            "upstream",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="continued_by",
                                to="zones.cable",
                                verbose_name="goes on from cable",
                            ),
                        ),
                        (
                            "far_box",
                            models.ForeignKey(
                                blank=True,
                                limit_choices_to={"kind": "junction_box"},
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="cables_in",
                                to="zones.position",
                                verbose_name="junction box at its far end",
                            ),
                        ),
                        (
                            "ambient_c",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="ambient temperature (°C)",
                            ),
                        ),
                        (
                            "cores_per_pole",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="cores in parallel per pole"
                            ),
                        ),
                        (
                            "fire_class",
                            models.CharField(
                                blank=True,
                                choices=[("ph", "PH (EN 50200)"), ("p", "P (EN 50577)"), ("e", "E (DIN 4102-12)")],
                                max_length=2,
                                verbose_name="class of circuit integrity",
                            ),
                        ),
                        (
                            "fixing_min",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="its fixings hold in a fire for (min)"
                            ),
                        ),
                        (
                            "grouped_circuits",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="circuits bunched"),
                        ),
                        (
                            "insulation",
                            models.CharField(
                                blank=True,
                                choices=zones.models.terminals.choices_of_insulation,
                                max_length=16,
                                verbose_name="insulation of the cores",
                            ),
                        ),
                        (
                            "integrity_min",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="keeps its circuit in a fire for (min)"
                            ),
                        ),
                        (
                            "method",
                            models.CharField(
                                blank=True,
                                choices=zones.models.terminals.choices_of_methods,
                                max_length=2,
                                verbose_name="method of installation",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["building", "tag"],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("building"),
                                django.db.models.functions.text.Upper("tag"),
                                name="cable_tag_unique_per_building",
                                violation_error_message="This building has a cable with this tag already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("cores_count", None), ("cores_count__gt", 0), _connector="OR"),
                                name="cable_cores_count_above_zero",
                                violation_error_message="Cores, area and length: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("area_mm2", None), ("area_mm2__gt", 0), _connector="OR"),
                                name="cable_area_mm2_above_zero",
                                violation_error_message="Cores, area and length: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("length_m", None), ("length_m__gt", 0), _connector="OR"),
                                name="cable_length_m_above_zero",
                                violation_error_message="Cores, area and length: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("hot_length_m", None),
                                    models.Q(("hot_length_m__gte", 0), ("length_m", None)),
                                    models.Q(("hot_length_m__gte", 0), ("hot_length_m__lte", models.F("length_m"))),
                                    _connector="OR",
                                ),
                                name="cable_hot_length_within_its_length",
                                violation_error_message="The part in the fire is 0 m or more, and at most the length of the cable.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("area_mm2", None), ("awg", ""), _connector="OR"),
                                name="cable_area_or_awg",
                                violation_error_message="Give the area in mm² or the AWG size, not both.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("actuator_circuit", None), ("detection_line", None), _connector="OR"
                                ),
                                name="cable_of_a_circuit_or_of_a_line",
                                violation_error_message="A cable is a run of a circuit or of a line, not of both.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("actuator_circuit__isnull", False),
                                    ("detection_line__isnull", False),
                                    models.Q(("feeds", None), ("upstream", None)),
                                    _connector="OR",
                                ),
                                name="cable_run_belongs_to_a_circuit_or_a_line",
                                violation_error_message="Say of which circuit or line it is a run, or clear where it goes on from and what it feeds.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("feeds__isnull", False)),
                                fields=("feeds",),
                                name="cable_one_per_fed_device",
                                violation_error_message="Another cable feeds this device already. Change that one first.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("feeds", None), ("far_box", None), _connector="OR"),
                                name="cable_feeds_a_device_or_ends_in_a_box",
                                violation_error_message="A cable ends at a device or in a junction box, not at both.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("cores_per_pole", None),
                                    models.Q(
                                        ("cores_count", None), ("cores_per_pole__gte", 1), ("cores_per_pole__lte", 8)
                                    ),
                                    models.Q(
                                        (
                                            "cores_count__gte",
                                            django.db.models.expressions.CombinedExpression(
                                                models.Value(2), "*", models.F("cores_per_pole")
                                            ),
                                        ),
                                        ("cores_per_pole__gte", 1),
                                        ("cores_per_pole__lte", 8),
                                    ),
                                    _connector="OR",
                                ),
                                name="cable_cores_per_pole_possible",
                                violation_error_message="Cores in parallel per pole: 1 to 8, and both poles need them in the cable.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("grouped_circuits", None),
                                    models.Q(("grouped_circuits__gte", 1), ("grouped_circuits__lte", 100)),
                                    _connector="OR",
                                ),
                                name="cable_grouped_circuits_possible",
                                violation_error_message="Circuits bunched: empty if not known, else 1 to 100, its own counted.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("ambient_c", None),
                                    models.Q(("ambient_c__gte", -40), ("ambient_c__lte", 80)),
                                    _connector="OR",
                                ),
                                name="cable_ambient_possible",
                                violation_error_message="Ambient temperature of a cable: empty if not known, else -40 to 80 °C.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("integrity_min", None),
                                    models.Q(("integrity_min__gte", 1), ("integrity_min__lte", 240)),
                                    _connector="OR",
                                ),
                                name="cable_integrity_min_possible",
                                violation_error_message="Minutes in a fire: leave them empty if not known, else 1 to 240.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("fixing_min", None),
                                    models.Q(("fixing_min__gte", 1), ("fixing_min__lte", 240)),
                                    _connector="OR",
                                ),
                                name="cable_fixing_min_possible",
                                violation_error_message="Minutes in a fire: leave them empty if not known, else 1 to 240.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ControlPanel",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "supply_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Only if it differs from the product model's.",
                                max_digits=7,
                                null=True,
                                verbose_name="supply limit (A)",
                            ),
                        ),
                        (
                            "quiescent_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=4,
                                help_text="With all its devices, measured if possible. Empty: the model's, and those of its devices added.",
                                max_digits=7,
                                null=True,
                                verbose_name="quiescent current (A)",
                            ),
                        ),
                        ("settings_revision", models.CharField(blank=True, max_length=40)),
                        (
                            "mains_feed",
                            models.CharField(
                                blank=True, help_text="Board, circuit, protective device.", max_length=200
                            ),
                        ),
                        ("earth", models.CharField(blank=True, max_length=120)),
                        (
                            "access_code_changed",
                            models.BooleanField(default=False, verbose_name="default access code changed"),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="panels",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "position",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="control_panel",
                                to="zones.position",
                            ),
                        ),
                        (
                            "alarm_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=4,
                                help_text="Motors not counted. Empty: the model's.",
                                max_digits=7,
                                null=True,
                                verbose_name="current in alarm (A)",
                            ),
                        ),
                        (
                            "battery_coldest_c",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="coldest temperature at the battery (°C)",
                            ),
                        ),
                        (
                            "battery_fuse_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: the model's.",
                                max_digits=7,
                                null=True,
                                verbose_name="fuse of the battery (A)",
                            ),
                        ),
                        (
                            "battery_usual_c",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="usual temperature at the battery (°C)",
                            ),
                        ),
                        (
                            "charger_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                help_text="Empty: the model's.",
                                max_digits=6,
                                null=True,
                                verbose_name="charger current (A)",
                            ),
                        ),
                        (
                            "charger_inhibited",
                            models.BooleanField(
                                blank=True,
                                help_text="Unknown: as the model says.",
                                null=True,
                                verbose_name="charger stops while motors run",
                            ),
                        ),
                        (
                            "gap_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                help_text="Only one group after another. Empty: none.",
                                max_digits=5,
                                null=True,
                                verbose_name="gap between groups (s)",
                            ),
                        ),
                        (
                            "operation",
                            models.CharField(
                                choices=[("simultaneous", "all at once"), ("sequential", "one group after another")],
                                default="simultaneous",
                                max_length=12,
                                verbose_name="outputs open",
                            ),
                        ),
                        (
                            "own_voltage_drop_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: the model's.",
                                max_digits=5,
                                null=True,
                                verbose_name="drop inside the panel (V)",
                            ),
                        ),
                        (
                            "stagger_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: all start at once.",
                                max_digits=5,
                                null=True,
                                verbose_name="stagger between starts (s)",
                            ),
                        ),
                        (
                            "after_reset",
                            models.CharField(
                                choices=[("stay", "stay open until told to close"), ("close", "close")],
                                default="stay",
                                max_length=8,
                                verbose_name="vents after a reset",
                            ),
                        ),
                        (
                            "mains_guard",
                            models.BooleanField(blank=True, null=True, verbose_name="guard over the mains terminals"),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["building", "position__tag"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("supply_limit_a", None), ("supply_limit_a__gt", 0), _connector="OR"
                                ),
                                name="panel_supply_limit_above_zero",
                                violation_error_message="Supply limit: leave it empty if not known, else more than 0 A.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("quiescent_current_a", None), ("quiescent_current_a__gt", 0), _connector="OR"
                                ),
                                name="panel_quiescent_current_above_zero",
                                violation_error_message="Quiescent current: leave it empty if not known, else more than 0 A.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("alarm_current_a", None), ("alarm_current_a__gte", 0), _connector="OR"
                                ),
                                name="panel_alarm_current_a_from_zero",
                                violation_error_message="Current in alarm, drop and times: leave them empty if not known, else 0 or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("own_voltage_drop_v", None), ("own_voltage_drop_v__gte", 0), _connector="OR"
                                ),
                                name="panel_own_voltage_drop_v_from_zero",
                                violation_error_message="Current in alarm, drop and times: leave them empty if not known, else 0 or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("gap_s", None), ("gap_s__gte", 0), _connector="OR"),
                                name="panel_gap_s_from_zero",
                                violation_error_message="Current in alarm, drop and times: leave them empty if not known, else 0 or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("stagger_s", None), ("stagger_s__gte", 0), _connector="OR"),
                                name="panel_stagger_s_from_zero",
                                violation_error_message="Current in alarm, drop and times: leave them empty if not known, else 0 or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("charger_current_a", None), ("charger_current_a__gt", 0), _connector="OR"
                                ),
                                name="panel_charger_current_a_above_zero",
                                violation_error_message="Charger and fuse: leave them empty if not known, else more than 0 A.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_fuse_a", None), ("battery_fuse_a__gt", 0), _connector="OR"
                                ),
                                name="panel_battery_fuse_a_above_zero",
                                violation_error_message="Charger and fuse: leave them empty if not known, else more than 0 A.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_coldest_c", None),
                                    models.Q(("battery_coldest_c__gte", -60), ("battery_coldest_c__lte", 80)),
                                    _connector="OR",
                                ),
                                name="panel_battery_coldest_c_possible",
                                violation_error_message="Temperatures at the battery are from -60 to 80 °C.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_usual_c", None),
                                    models.Q(("battery_usual_c__gte", -60), ("battery_usual_c__lte", 80)),
                                    _connector="OR",
                                ),
                                name="panel_battery_usual_c_possible",
                                violation_error_message="Temperatures at the battery are from -60 to 80 °C.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_coldest_c", None),
                                    ("battery_usual_c", None),
                                    ("battery_coldest_c__lte", models.F("battery_usual_c")),
                                    _connector="OR",
                                ),
                                name="panel_battery_coldest_below_usual",
                                violation_error_message="The coldest temperature at the battery cannot be above the usual one.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("wiring_complete_by", None), ("wiring_complete_on", None)),
                                    models.Q(
                                        ("wiring_complete_by__isnull", False), ("wiring_complete_on__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="controlpanel_declared_complete_by_somebody",
                                violation_error_message="Say both who declared the wiring complete and when.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ActuatorCircuit",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField(verbose_name="output")),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "drive",
                            models.CharField(
                                blank=True,
                                choices=[("addressed", "addressed"), ("polarity", "polarity")],
                                max_length=12,
                            ),
                        ),
                        ("expected_actuators", models.PositiveSmallIntegerField(blank=True, null=True)),
                        (
                            "run_time_s",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="run time (s)"),
                        ),
                        (
                            "current_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="limit of the output (A)",
                            ),
                        ),
                        (
                            "end_place",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("last_device", "at the last device"),
                                    ("in_box", "in a junction box"),
                                    ("panel_terminal", "at its own terminals (unused)"),
                                    ("missing", "missing"),
                                    ("none_needed", "none needed"),
                                ],
                                max_length=16,
                                verbose_name="end of line",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="actuator_circuits",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "delay_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=5,
                                null=True,
                                verbose_name="delay of the output (s)",
                            ),
                        ),
                        (
                            "found_actuators",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="actuators the panel reports"
                            ),
                        ),
                        (
                            "monitored_by",
                            models.CharField(
                                blank=True,
                                choices=[("two", "its two feed cores"), ("three", "a third core of its own")],
                                max_length=8,
                                verbose_name="cable monitored by",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                        (
                            "sequence_step",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="step in the sequence"
                            ),
                        ),
                        (
                            "device_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="rating of its protective device (A)",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("panel", "number"),
                                name="actuator_circuit_number_unique_per_panel",
                                violation_error_message="This panel has a circuit on this output already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("run_time_s", None), ("run_time_s__gt", 0), _connector="OR"),
                                name="actuator_circuit_run_time_above_zero",
                                violation_error_message="Run time: leave it empty if not known, else more than 0 s.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("current_limit_a", None), ("current_limit_a__gt", 0), _connector="OR"
                                ),
                                name="actuator_circuit_current_limit_above_zero",
                                violation_error_message="Limit of the output: leave it empty if not known, else more than 0 A.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("delay_s", None), ("delay_s__gte", 0), _connector="OR"),
                                name="actuator_circuit_delay_from_zero",
                                violation_error_message="Delay: leave it empty if there is none, else 0 s or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("wiring_complete_by", None), ("wiring_complete_on", None)),
                                    models.Q(
                                        ("wiring_complete_by__isnull", False), ("wiring_complete_on__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="actuatorcircuit_declared_complete_by_somebody",
                                violation_error_message="Say both who declared the wiring complete and when.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("sequence_step", None),
                                    models.Q(("sequence_step__gte", 1), ("sequence_step__lte", 250)),
                                    _connector="OR",
                                ),
                                name="actuator_circuit_sequence_step_possible",
                                violation_error_message="Step in the sequence: leave it empty if there is none, else 1 to 250.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("device_a", None), ("device_a__gt", 0), _connector="OR"),
                                name="actuator_circuit_device_above_zero",
                                violation_error_message="Rating of its protective device: leave it empty if not known, else more than 0 A.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Core",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        (
                            "colour",
                            models.CharField(blank=True, help_text="IEC 60757 code: BK, BN, GNYE …", max_length=8),
                        ),
                        ("is_spare", models.BooleanField(default=False, verbose_name="spare, parked on purpose")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "cable",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT, related_name="cores", to="zones.cable"
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["cable", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("cable", "number"),
                                name="core_number_unique_per_cable",
                                violation_error_message="This cable has a core of this number already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="DetectionLine",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "end_of_line_ohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="end-of-line resistor (Ω)",
                            ),
                        ),
                        (
                            "end_place",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("last_device", "at the last device"),
                                    ("in_box", "in a junction box"),
                                    ("panel_terminal", "at its own terminals (unused)"),
                                    ("missing", "missing"),
                                    ("none_needed", "none needed"),
                                ],
                                max_length=16,
                                verbose_name="place of the resistor",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="detection_lines",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="detection_lines",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "end_of_line_tolerance_percent",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="tolerance of the resistor (%)",
                            ),
                        ),
                        (
                            "line_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: as the panel's data sheet says.",
                                max_digits=7,
                                null=True,
                                verbose_name="voltage of the line (V)",
                            ),
                        ),
                        (
                            "starts_at",
                            models.ForeignKey(
                                blank=True,
                                help_text="Empty: at the panel.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="lines_offered",
                                to="zones.position",
                                verbose_name="starts at device",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("panel", "number"),
                                name="detection_line_number_unique_per_panel",
                                violation_error_message="This panel has a line of this number already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("end_of_line_ohm", None), ("end_of_line_ohm__gt", 0), _connector="OR"
                                ),
                                name="detection_line_element_above_zero",
                                violation_error_message="End-of-line resistor: leave it empty if not known, else more than 0 Ω.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("end_of_line_tolerance_percent", None),
                                    models.Q(
                                        ("end_of_line_tolerance_percent__gte", 0),
                                        ("end_of_line_tolerance_percent__lte", 50),
                                    ),
                                    _connector="OR",
                                ),
                                name="detection_line_tolerance_possible",
                                violation_error_message="Tolerance of the resistor: leave it empty if not known, else 0 to 50 percent.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("line_voltage_v", None), ("line_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="detection_line_voltage_above_zero",
                                violation_error_message="Voltage of the line: leave it empty if not known, else more than 0 V.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("wiring_complete_by", None), ("wiring_complete_on", None)),
                                    models.Q(
                                        ("wiring_complete_by__isnull", False), ("wiring_complete_on__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="detectionline_declared_complete_by_somebody",
                                violation_error_message="Say both who declared the wiring complete and when.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalActuatorCircuit",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("number", models.PositiveSmallIntegerField(verbose_name="output")),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "drive",
                            models.CharField(
                                blank=True,
                                choices=[("addressed", "addressed"), ("polarity", "polarity")],
                                max_length=12,
                            ),
                        ),
                        ("expected_actuators", models.PositiveSmallIntegerField(blank=True, null=True)),
                        (
                            "run_time_s",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="run time (s)"),
                        ),
                        (
                            "current_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="limit of the output (A)",
                            ),
                        ),
                        (
                            "end_place",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("last_device", "at the last device"),
                                    ("in_box", "in a junction box"),
                                    ("panel_terminal", "at its own terminals (unused)"),
                                    ("missing", "missing"),
                                    ("none_needed", "none needed"),
                                ],
                                max_length=16,
                                verbose_name="end of line",
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
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "delay_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=5,
                                null=True,
                                verbose_name="delay of the output (s)",
                            ),
                        ),
                        (
                            "found_actuators",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="actuators the panel reports"
                            ),
                        ),
                        (
                            "monitored_by",
                            models.CharField(
                                blank=True,
                                choices=[("two", "its two feed cores"), ("three", "a third core of its own")],
                                max_length=8,
                                verbose_name="cable monitored by",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                        (
                            "sequence_step",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="step in the sequence"
                            ),
                        ),
                        (
                            "device_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="rating of its protective device (A)",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical actuator circuit",
                        "verbose_name_plural": "historical actuator circuits",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalCable",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("tag", models.CharField(max_length=40)),
                        ("cable_type", models.CharField(blank=True, max_length=80, verbose_name="type")),
                        (
                            "cores_count",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="number of cores"),
                        ),
                        (
                            "area_mm2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="area of a core (mm²)",
                            ),
                        ),
                        (
                            "conductor_class",
                            models.CharField(
                                blank=True,
                                choices=[("1", "1 solid"), ("2", "2 stranded"), ("5", "5 flexible")],
                                max_length=1,
                                verbose_name="class (IEC 60228)",
                            ),
                        ),
                        (
                            "length_m",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="length (m)"
                            ),
                        ),
                        ("fire_rating", models.CharField(blank=True, max_length=40)),
                        ("from_place", models.CharField(blank=True, max_length=80, verbose_name="from")),
                        ("to_place", models.CharField(blank=True, max_length=80, verbose_name="to")),
                        ("route", models.CharField(blank=True, max_length=200)),
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
                            "actuator_circuit",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.actuatorcircuit",
                                verbose_name="actuator circuit",
                            ),
                        ),
                        ("awg", models.CharField(blank=True, max_length=4, verbose_name="size (AWG)")),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.detectionline",
                                verbose_name="detection line",
                            ),
                        ),
                        (
                            "feeds",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                                verbose_name="device at its far end",
                            ),
                        ),
                        (
                            "hot_length_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="length exposed to fire (m)",
                            ),
                        ),
                        ("is_tinned", models.BooleanField(default=False, verbose_name="tinned copper")),
                        (
                            "upstream",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.cable",
                                verbose_name="goes on from cable",
                            ),
                        ),
                        (
                            "far_box",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                limit_choices_to={"kind": "junction_box"},
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                                verbose_name="junction box at its far end",
                            ),
                        ),
                        (
                            "ambient_c",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="ambient temperature (°C)",
                            ),
                        ),
                        (
                            "cores_per_pole",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="cores in parallel per pole"
                            ),
                        ),
                        (
                            "fire_class",
                            models.CharField(
                                blank=True,
                                choices=[("ph", "PH (EN 50200)"), ("p", "P (EN 50577)"), ("e", "E (DIN 4102-12)")],
                                max_length=2,
                                verbose_name="class of circuit integrity",
                            ),
                        ),
                        (
                            "fixing_min",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="its fixings hold in a fire for (min)"
                            ),
                        ),
                        (
                            "grouped_circuits",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="circuits bunched"),
                        ),
                        (
                            "insulation",
                            models.CharField(
                                blank=True,
                                choices=zones.models.terminals.choices_of_insulation,
                                max_length=16,
                                verbose_name="insulation of the cores",
                            ),
                        ),
                        (
                            "integrity_min",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="keeps its circuit in a fire for (min)"
                            ),
                        ),
                        (
                            "method",
                            models.CharField(
                                blank=True,
                                choices=zones.models.terminals.choices_of_methods,
                                max_length=2,
                                verbose_name="method of installation",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical cable",
                        "verbose_name_plural": "historical cables",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalCore",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("number", models.PositiveSmallIntegerField()),
                        (
                            "colour",
                            models.CharField(blank=True, help_text="IEC 60757 code: BK, BN, GNYE …", max_length=8),
                        ),
                        ("is_spare", models.BooleanField(default=False, verbose_name="spare, parked on purpose")),
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
                            "cable",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.cable",
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
                        "verbose_name": "historical core",
                        "verbose_name_plural": "historical cores",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalPanelSetting",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(max_length=120)),
                        ("value", models.CharField(max_length=120)),
                        ("unit", models.CharField(blank=True, max_length=20)),
                        ("allowed_range", models.CharField(blank=True, max_length=80)),
                        ("set_on", models.DateField(blank=True, null=True)),
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
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "set_by",
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
                        "verbose_name": "historical panel setting",
                        "verbose_name_plural": "historical panel settings",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalSmokeZone",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(max_length=120)),
                        ("storey", models.CharField(blank=True, max_length=40)),
                        ("extent", models.CharField(blank=True, max_length=300)),
                        (
                            "required_area_m2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="required free area (m²)",
                            ),
                        ),
                        (
                            "required_area_kind",
                            models.CharField(
                                blank=True,
                                choices=[("aerodynamic", "aerodynamic"), ("geometric", "geometric")],
                                max_length=12,
                                verbose_name="kind of area",
                            ),
                        ),
                        (
                            "required_area_source",
                            models.CharField(blank=True, max_length=200, verbose_name="source of the requirement"),
                        ),
                        (
                            "needs_automatic_detection",
                            models.BooleanField(default=True, verbose_name="automatic detection asked for"),
                        ),
                        (
                            "lockout_group",
                            models.CharField(
                                blank=True,
                                help_text="Zones of one group: the first in alarm keeps the others shut.",
                                max_length=40,
                                verbose_name="lock-out group",
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
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "fault_lamp",
                            models.CharField(
                                blank=True,
                                help_text="The lamp at the panel that shows a fault of this zone.",
                                max_length=80,
                                verbose_name="fault lamp",
                            ),
                        ),
                        (
                            "area_method",
                            models.CharField(
                                blank=True,
                                choices=zones.models.smoke_zones.choices_of_methods,
                                max_length=32,
                                verbose_name="method of the required area",
                            ),
                        ),
                        (
                            "clear_height_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="clear height below the smoke (m)",
                            ),
                        ),
                        (
                            "fire_perimeter_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="perimeter of the fire (m)",
                            ),
                        ),
                        (
                            "floor_area_m2",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=9, null=True, verbose_name="floor area (m²)"
                            ),
                        ),
                        (
                            "floor_percent",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="percentage of the floor (%)",
                            ),
                        ),
                        (
                            "heat_release_kw",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="heat release of the fire (kW)",
                            ),
                        ),
                        (
                            "inlet_ratio",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="replacement air, inlets ÷ outlets",
                            ),
                        ),
                        (
                            "inlet_ratio_kind",
                            models.CharField(
                                blank=True,
                                choices=[("aerodynamic", "aerodynamic"), ("geometric", "geometric")],
                                max_length=12,
                                verbose_name="areas of inlets and outlets",
                            ),
                        ),
                        (
                            "layer_depth_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="depth of the smoke below the vents (m)",
                            ),
                        ),
                        (
                            "needs_no_inlets",
                            models.BooleanField(default=False, verbose_name="no replacement air asked for"),
                        ),
                    ],
                    options={
                        "verbose_name": "historical smoke zone",
                        "verbose_name_plural": "historical smoke zones",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="Maker",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=80)),
                    ],
                    options={
                        "ordering": ["name"],
                        "constraints": [
                            models.UniqueConstraint(
                                django.db.models.functions.text.Lower("name"),
                                name="maker_name_unique",
                                violation_error_message="This maker exists already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalProductModel",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(max_length=80, verbose_name="model")),
                        ("kind", models.CharField(choices=zones.models.kinds.choices_of_kinds, max_length=24)),
                        (
                            "rated_voltage_v",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="rated voltage (V)"
                            ),
                        ),
                        (
                            "minimum_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="least voltage it runs at (V)",
                            ),
                        ),
                        (
                            "rated_current_a",
                            models.DecimalField(
                                blank=True, decimal_places=3, max_digits=7, null=True, verbose_name="rated current (A)"
                            ),
                        ),
                        (
                            "starting_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=7,
                                null=True,
                                verbose_name="starting current (A)",
                            ),
                        ),
                        (
                            "standby_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=6,
                                max_digits=9,
                                null=True,
                                verbose_name="standby current (A)",
                            ),
                        ),
                        (
                            "alarm_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=7,
                                null=True,
                                verbose_name="current in alarm (A)",
                            ),
                        ),
                        (
                            "stroke_mm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="stroke (mm)"
                            ),
                        ),
                        (
                            "speed_mm_s",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=6, null=True, verbose_name="speed (mm/s)"
                            ),
                        ),
                        (
                            "drive",
                            models.CharField(
                                blank=True,
                                choices=[("addressed", "addressed"), ("polarity", "polarity")],
                                max_length=12,
                            ),
                        ),
                        (
                            "supply_limit_a",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="supply limit (A)"
                            ),
                        ),
                        (
                            "output_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="limit of one output (A)",
                            ),
                        ),
                        (
                            "capacity_ah",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="rated capacity (Ah)",
                            ),
                        ),
                        (
                            "end_of_line_ohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="end-of-line resistor (Ω)",
                            ),
                        ),
                        (
                            "alarm_resistance_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="alarm resistor (Ω)"
                            ),
                        ),
                        (
                            "service_life_years",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="service life (years)",
                            ),
                        ),
                        (
                            "declaration_reference",
                            models.CharField(blank=True, max_length=120, verbose_name="declaration of performance"),
                        ),
                        ("is_current", models.BooleanField(default=True, verbose_name="still fitted to new work")),
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
                        (
                            "maker",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.maker",
                            ),
                        ),
                        (
                            "alarm_wiring",
                            models.CharField(
                                choices=[
                                    ("parallel", "switches its resistor across the line"),
                                    ("series", "switches its resistor into the line"),
                                ],
                                default="parallel",
                                max_length=8,
                                verbose_name="in alarm",
                            ),
                        ),
                        (
                            "battery_fuse_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="fuse of the battery (A)",
                            ),
                        ),
                        (
                            "charger_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=6,
                                null=True,
                                verbose_name="charger current (A)",
                            ),
                        ),
                        (
                            "charger_inhibited",
                            models.BooleanField(blank=True, null=True, verbose_name="charger stops while motors run"),
                        ),
                        (
                            "discharge_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="greatest discharge current (A)",
                            ),
                        ),
                        (
                            "line_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="voltage of its monitored lines (V)",
                            ),
                        ),
                        (
                            "load_kind",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("constant current", "constant current"),
                                    ("constant power", "constant power (switching electronics)"),
                                    ("resistive", "resistive"),
                                ],
                                default="",
                                max_length=16,
                                verbose_name="load",
                            ),
                        ),
                        (
                            "own_voltage_drop_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="drop inside the panel (V)",
                            ),
                        ),
                        (
                            "peukert_exponent",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=4,
                                null=True,
                                verbose_name="discharge exponent (Peukert)",
                            ),
                        ),
                        (
                            "removal_opens_line",
                            models.BooleanField(blank=True, null=True, verbose_name="taking it out opens the line"),
                        ),
                        (
                            "alarm_high_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="alarm to (Ω)"
                            ),
                        ),
                        (
                            "alarm_low_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="alarm from (Ω)"
                            ),
                        ),
                        (
                            "normal_high_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="normal to (Ω)"
                            ),
                        ),
                        (
                            "normal_low_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="normal from (Ω)"
                            ),
                        ),
                        (
                            "open_above_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="open above (Ω)"
                            ),
                        ),
                        (
                            "short_below_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="short below (Ω)"
                            ),
                        ),
                        ("wiring_pattern", models.TextField(blank=True, max_length=8000)),
                        (
                            "isolation_order",
                            models.TextField(
                                blank=True,
                                help_text="One step a line, in the maker's words.",
                                max_length=2000,
                                verbose_name="isolation order by the maker",
                            ),
                        ),
                        (
                            "power_order_source",
                            models.CharField(
                                blank=True,
                                help_text="Document with number, edition and page.",
                                max_length=200,
                                verbose_name="source of these orders",
                            ),
                        ),
                        (
                            "power_up_order",
                            models.TextField(
                                blank=True,
                                help_text="One step a line, in the maker's words.",
                                max_length=2000,
                                verbose_name="power-up order by the maker",
                            ),
                        ),
                        (
                            "confirmed_by",
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
                            "proposed_by",
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
                            "battery_fuse_kind",
                            models.CharField(
                                blank=True,
                                choices=zones.models.product_models.choices_of_fuses,
                                max_length=12,
                                verbose_name="kind of battery fuse",
                            ),
                        ),
                        (
                            "charging_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="greatest charging current (A)",
                            ),
                        ),
                        (
                            "highest_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="greatest voltage allowed (V)",
                            ),
                        ),
                        (
                            "keeps_first_alarm",
                            models.BooleanField(blank=True, null=True, verbose_name="keeps the first alarm of a line"),
                        ),
                        (
                            "lower_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=7,
                                null=True,
                                verbose_name="current at lower voltage (A)",
                            ),
                        ),
                        (
                            "lower_speed_mm_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="speed at lower voltage (mm/s)",
                            ),
                        ),
                        (
                            "lower_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="lower voltage on its data sheet (V)",
                            ),
                        ),
                        (
                            "output_highest_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="greatest voltage of its outputs (V)",
                            ),
                        ),
                        (
                            "output_peak_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="peak current of one output (A)",
                            ),
                        ),
                        (
                            "starting_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="starting current lasts (s)",
                            ),
                        ),
                        (
                            "supply_peak_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="peak current of the supply (A)",
                            ),
                        ),
                        (
                            "holding_force_n",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="holding force when closed (N)",
                            ),
                        ),
                        (
                            "lower_pull_force_n",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="pull force at lower voltage (N)",
                            ),
                        ),
                        (
                            "lower_push_force_n",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="push force at lower voltage (N)",
                            ),
                        ),
                        (
                            "pull_force_n",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="pull force (N)"
                            ),
                        ),
                        (
                            "push_force_n",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="push force (N)"
                            ),
                        ),
                        (
                            "battery_lead_mm2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="area of the battery leads (mm²)",
                            ),
                        ),
                        (
                            "internal_resistance_mohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="internal resistance of a block (mΩ)",
                            ),
                        ),
                        (
                            "output_device_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="rating of that device (A)",
                            ),
                        ),
                        (
                            "output_device_kind",
                            models.CharField(
                                blank=True,
                                choices=zones.models.product_models.choices_of_devices,
                                max_length=12,
                                verbose_name="protective device of each output",
                            ),
                        ),
                        (
                            "output_trip_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="output trips at (A)",
                            ),
                        ),
                        (
                            "output_trip_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=6,
                                null=True,
                                verbose_name="output trips within (s)",
                            ),
                        ),
                        (
                            "supply_fault_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="current of the supply into a short circuit (A)",
                            ),
                        ),
                        (
                            "supply_fuse_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="fuse between supply and outputs (A)",
                            ),
                        ),
                        (
                            "supply_fuse_kind",
                            models.CharField(
                                blank=True,
                                choices=zones.models.product_models.choices_of_fuses,
                                max_length=12,
                                verbose_name="kind of fuse between supply and outputs",
                            ),
                        ),
                        (
                            "battery_lead_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="length of the battery leads, one way (m)",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical product model",
                        "verbose_name_plural": "historical product models",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="PanelSetting",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=120)),
                        ("value", models.CharField(max_length=120)),
                        ("unit", models.CharField(blank=True, max_length=20)),
                        ("allowed_range", models.CharField(blank=True, max_length=80)),
                        ("set_on", models.DateField(blank=True, null=True)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="settings",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "set_by",
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
                        "ordering": ["name"],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("panel"),
                                django.db.models.functions.text.Lower("name"),
                                name="panel_setting_unique_per_panel",
                                violation_error_message="This panel has a setting of this name already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Position",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("tag", models.CharField(max_length=40)),
                        ("tag_key", models.CharField(editable=False, max_length=120)),
                        ("kind", models.CharField(choices=zones.models.kinds.choices_of_kinds, max_length=24)),
                        ("storey", models.CharField(blank=True, max_length=40)),
                        ("room", models.CharField(blank=True, max_length=80)),
                        (
                            "place",
                            models.CharField(
                                blank=True,
                                help_text="In detail: above door 2.14, reached by 3 m steps.",
                                max_length=200,
                            ),
                        ),
                        (
                            "access_need",
                            models.CharField(
                                blank=True, help_text="Ladder, tower, lift key …", max_length=120, verbose_name="access"
                            ),
                        ),
                        ("walking_order", models.PositiveIntegerField(default=0)),
                        (
                            "order_on_line",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="order on its line or circuit"
                            ),
                        ),
                        ("retired_on", models.DateField(blank=True, null=True, verbose_name="no longer used since")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "actuator_circuit",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.actuatorcircuit",
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.detectionline",
                            ),
                        ),
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.productmodel",
                                verbose_name="model planned",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "vent",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="actuators",
                                to="zones.vent",
                            ),
                        ),
                        (
                            "vent_group",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.ventgroup",
                            ),
                        ),
                        (
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="positions",
                                to="zones.datalink",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["building", "tag_key"],
                        "indexes": [
                            models.Index(fields=["building", "walking_order", "tag_key"], name="position_walk"),
                            models.Index(sites_registry.folded.Folded("tag"), name="position_tag_folded"),
                        ],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("building"),
                                django.db.models.functions.text.Upper("tag"),
                                name="position_tag_unique_per_building",
                                violation_error_message="This building has a position with this tag already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("tag", ""), _negated=True),
                                name="position_has_a_tag",
                                violation_error_message="A position needs a tag.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("actuator_circuit", None), ("detection_line", None), _connector="OR"
                                ),
                                name="position_on_a_circuit_or_a_line",
                                violation_error_message="A position is on an actuator circuit or on a detection line, not on both.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("data_link", None),
                                    models.Q(("actuator_circuit", None), ("detection_line", None)),
                                    _connector="OR",
                                ),
                                name="position_on_a_data_link_alone",
                                violation_error_message="A position on a data link is on no circuit and on no detection line besides.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalTerminal",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("block", models.CharField(help_text="X3 of -X3:5.", max_length=16)),
                        ("number", models.CharField(help_text="5 of -X3:5.", max_length=16)),
                        ("order_key", models.CharField(editable=False, max_length=120)),
                        ("function", models.CharField(blank=True, max_length=120)),
                        (
                            "electrical_kind",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("supply", "mains supply"),
                                    ("battery", "battery"),
                                    ("output", "actuator output"),
                                    ("data", "data"),
                                    ("monitor", "monitoring core"),
                                    ("line", "monitored line"),
                                    ("link", "data link"),
                                    ("input", "input"),
                                    ("contact", "signal contact"),
                                    ("earth", "protective earth"),
                                    ("other", "other"),
                                ],
                                max_length=12,
                                verbose_name="electrical kind",
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
                            "building",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
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
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="The device that has it.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                            ),
                        ),
                        (
                            "actuator_circuit",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.actuatorcircuit",
                                verbose_name="output",
                            ),
                        ),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.detectionline",
                                verbose_name="line",
                            ),
                        ),
                        (
                            "passing",
                            models.CharField(
                                blank=True,
                                choices=[("in", "goes in here"), ("out", "goes out here")],
                                max_length=3,
                                verbose_name="line or output",
                            ),
                        ),
                        ("pole", models.CharField(blank=True, choices=[("+", "+"), ("-", "−")], max_length=1)),
                        (
                            "rated_voltage_v",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=6, null=True, verbose_name="rated voltage (V)"
                            ),
                        ),
                        ("checked_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        (
                            "checked_by",
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
                        ("cores_allowed", models.PositiveSmallIntegerField(default=1, verbose_name="cores it takes")),
                        (
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.datalink",
                                verbose_name="data link",
                            ),
                        ),
                        (
                            "input_port",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.inputport",
                                verbose_name="input",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical terminal",
                        "verbose_name_plural": "historical terminals",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalControlPanel",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "supply_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Only if it differs from the product model's.",
                                max_digits=7,
                                null=True,
                                verbose_name="supply limit (A)",
                            ),
                        ),
                        (
                            "quiescent_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=4,
                                help_text="With all its devices, measured if possible. Empty: the model's, and those of its devices added.",
                                max_digits=7,
                                null=True,
                                verbose_name="quiescent current (A)",
                            ),
                        ),
                        ("settings_revision", models.CharField(blank=True, max_length=40)),
                        (
                            "mains_feed",
                            models.CharField(
                                blank=True, help_text="Board, circuit, protective device.", max_length=200
                            ),
                        ),
                        ("earth", models.CharField(blank=True, max_length=120)),
                        (
                            "access_code_changed",
                            models.BooleanField(default=False, verbose_name="default access code changed"),
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
                            "alarm_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=4,
                                help_text="Motors not counted. Empty: the model's.",
                                max_digits=7,
                                null=True,
                                verbose_name="current in alarm (A)",
                            ),
                        ),
                        (
                            "battery_coldest_c",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="coldest temperature at the battery (°C)",
                            ),
                        ),
                        (
                            "battery_fuse_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: the model's.",
                                max_digits=7,
                                null=True,
                                verbose_name="fuse of the battery (A)",
                            ),
                        ),
                        (
                            "battery_usual_c",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="usual temperature at the battery (°C)",
                            ),
                        ),
                        (
                            "charger_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                help_text="Empty: the model's.",
                                max_digits=6,
                                null=True,
                                verbose_name="charger current (A)",
                            ),
                        ),
                        (
                            "charger_inhibited",
                            models.BooleanField(
                                blank=True,
                                help_text="Unknown: as the model says.",
                                null=True,
                                verbose_name="charger stops while motors run",
                            ),
                        ),
                        (
                            "gap_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                help_text="Only one group after another. Empty: none.",
                                max_digits=5,
                                null=True,
                                verbose_name="gap between groups (s)",
                            ),
                        ),
                        (
                            "operation",
                            models.CharField(
                                choices=[("simultaneous", "all at once"), ("sequential", "one group after another")],
                                default="simultaneous",
                                max_length=12,
                                verbose_name="outputs open",
                            ),
                        ),
                        (
                            "own_voltage_drop_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: the model's.",
                                max_digits=5,
                                null=True,
                                verbose_name="drop inside the panel (V)",
                            ),
                        ),
                        (
                            "stagger_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: all start at once.",
                                max_digits=5,
                                null=True,
                                verbose_name="stagger between starts (s)",
                            ),
                        ),
                        (
                            "after_reset",
                            models.CharField(
                                choices=[("stay", "stay open until told to close"), ("close", "close")],
                                default="stay",
                                max_length=8,
                                verbose_name="vents after a reset",
                            ),
                        ),
                        (
                            "mains_guard",
                            models.BooleanField(blank=True, null=True, verbose_name="guard over the mains terminals"),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical control panel",
                        "verbose_name_plural": "historical control panels",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="ProductModel",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=80, verbose_name="model")),
                        ("kind", models.CharField(choices=zones.models.kinds.choices_of_kinds, max_length=24)),
                        (
                            "rated_voltage_v",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="rated voltage (V)"
                            ),
                        ),
                        (
                            "minimum_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="least voltage it runs at (V)",
                            ),
                        ),
                        (
                            "rated_current_a",
                            models.DecimalField(
                                blank=True, decimal_places=3, max_digits=7, null=True, verbose_name="rated current (A)"
                            ),
                        ),
                        (
                            "starting_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=7,
                                null=True,
                                verbose_name="starting current (A)",
                            ),
                        ),
                        (
                            "standby_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=6,
                                max_digits=9,
                                null=True,
                                verbose_name="standby current (A)",
                            ),
                        ),
                        (
                            "alarm_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=7,
                                null=True,
                                verbose_name="current in alarm (A)",
                            ),
                        ),
                        (
                            "stroke_mm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="stroke (mm)"
                            ),
                        ),
                        (
                            "speed_mm_s",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=6, null=True, verbose_name="speed (mm/s)"
                            ),
                        ),
                        (
                            "drive",
                            models.CharField(
                                blank=True,
                                choices=[("addressed", "addressed"), ("polarity", "polarity")],
                                max_length=12,
                            ),
                        ),
                        (
                            "supply_limit_a",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="supply limit (A)"
                            ),
                        ),
                        (
                            "output_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="limit of one output (A)",
                            ),
                        ),
                        (
                            "capacity_ah",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="rated capacity (Ah)",
                            ),
                        ),
                        (
                            "end_of_line_ohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="end-of-line resistor (Ω)",
                            ),
                        ),
                        (
                            "alarm_resistance_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="alarm resistor (Ω)"
                            ),
                        ),
                        (
                            "service_life_years",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="service life (years)",
                            ),
                        ),
                        (
                            "declaration_reference",
                            models.CharField(blank=True, max_length=120, verbose_name="declaration of performance"),
                        ),
                        ("is_current", models.BooleanField(default=True, verbose_name="still fitted to new work")),
                        ("notes", models.TextField(blank=True, max_length=4000)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "maker",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="product_models",
                                to="zones.maker",
                            ),
                        ),
                        (
                            "alarm_wiring",
                            models.CharField(
                                choices=[
                                    ("parallel", "switches its resistor across the line"),
                                    ("series", "switches its resistor into the line"),
                                ],
                                default="parallel",
                                max_length=8,
                                verbose_name="in alarm",
                            ),
                        ),
                        (
                            "battery_fuse_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="fuse of the battery (A)",
                            ),
                        ),
                        (
                            "charger_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=6,
                                null=True,
                                verbose_name="charger current (A)",
                            ),
                        ),
                        (
                            "charger_inhibited",
                            models.BooleanField(blank=True, null=True, verbose_name="charger stops while motors run"),
                        ),
                        (
                            "discharge_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="greatest discharge current (A)",
                            ),
                        ),
                        (
                            "line_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="voltage of its monitored lines (V)",
                            ),
                        ),
                        (
                            "load_kind",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("constant current", "constant current"),
                                    ("constant power", "constant power (switching electronics)"),
                                    ("resistive", "resistive"),
                                ],
                                default="",
                                max_length=16,
                                verbose_name="load",
                            ),
                        ),
                        (
                            "own_voltage_drop_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="drop inside the panel (V)",
                            ),
                        ),
                        (
                            "peukert_exponent",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=4,
                                null=True,
                                verbose_name="discharge exponent (Peukert)",
                            ),
                        ),
                        (
                            "removal_opens_line",
                            models.BooleanField(blank=True, null=True, verbose_name="taking it out opens the line"),
                        ),
                        (
                            "alarm_high_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="alarm to (Ω)"
                            ),
                        ),
                        (
                            "alarm_low_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="alarm from (Ω)"
                            ),
                        ),
                        (
                            "normal_high_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="normal to (Ω)"
                            ),
                        ),
                        (
                            "normal_low_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="normal from (Ω)"
                            ),
                        ),
                        (
                            "open_above_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="open above (Ω)"
                            ),
                        ),
                        (
                            "short_below_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="short below (Ω)"
                            ),
                        ),
                        ("wiring_pattern", models.TextField(blank=True, max_length=8000)),
                        (
                            "isolation_order",
                            models.TextField(
                                blank=True,
                                help_text="One step a line, in the maker's words.",
                                max_length=2000,
                                verbose_name="isolation order by the maker",
                            ),
                        ),
                        (
                            "power_order_source",
                            models.CharField(
                                blank=True,
                                help_text="Document with number, edition and page.",
                                max_length=200,
                                verbose_name="source of these orders",
                            ),
                        ),
                        (
                            "power_up_order",
                            models.TextField(
                                blank=True,
                                help_text="One step a line, in the maker's words.",
                                max_length=2000,
                                verbose_name="power-up order by the maker",
                            ),
                        ),
                        (
                            "confirmed_by",
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
                            "proposed_by",
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
                            "battery_fuse_kind",
                            models.CharField(
                                blank=True,
                                choices=zones.models.product_models.choices_of_fuses,
                                max_length=12,
                                verbose_name="kind of battery fuse",
                            ),
                        ),
                        (
                            "charging_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="greatest charging current (A)",
                            ),
                        ),
                        (
                            "highest_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="greatest voltage allowed (V)",
                            ),
                        ),
                        (
                            "keeps_first_alarm",
                            models.BooleanField(blank=True, null=True, verbose_name="keeps the first alarm of a line"),
                        ),
                        (
                            "lower_current_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=7,
                                null=True,
                                verbose_name="current at lower voltage (A)",
                            ),
                        ),
                        (
                            "lower_speed_mm_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="speed at lower voltage (mm/s)",
                            ),
                        ),
                        (
                            "lower_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="lower voltage on its data sheet (V)",
                            ),
                        ),
                        (
                            "output_highest_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="greatest voltage of its outputs (V)",
                            ),
                        ),
                        (
                            "output_peak_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="peak current of one output (A)",
                            ),
                        ),
                        (
                            "starting_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="starting current lasts (s)",
                            ),
                        ),
                        (
                            "supply_peak_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="peak current of the supply (A)",
                            ),
                        ),
                        (
                            "holding_force_n",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="holding force when closed (N)",
                            ),
                        ),
                        (
                            "lower_pull_force_n",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="pull force at lower voltage (N)",
                            ),
                        ),
                        (
                            "lower_push_force_n",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=7,
                                null=True,
                                verbose_name="push force at lower voltage (N)",
                            ),
                        ),
                        (
                            "pull_force_n",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="pull force (N)"
                            ),
                        ),
                        (
                            "push_force_n",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="push force (N)"
                            ),
                        ),
                        (
                            "battery_lead_mm2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="area of the battery leads (mm²)",
                            ),
                        ),
                        (
                            "internal_resistance_mohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="internal resistance of a block (mΩ)",
                            ),
                        ),
                        (
                            "output_device_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="rating of that device (A)",
                            ),
                        ),
                        (
                            "output_device_kind",
                            models.CharField(
                                blank=True,
                                choices=zones.models.product_models.choices_of_devices,
                                max_length=12,
                                verbose_name="protective device of each output",
                            ),
                        ),
                        (
                            "output_trip_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="output trips at (A)",
                            ),
                        ),
                        (
                            "output_trip_s",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=6,
                                null=True,
                                verbose_name="output trips within (s)",
                            ),
                        ),
                        (
                            "supply_fault_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="current of the supply into a short circuit (A)",
                            ),
                        ),
                        (
                            "supply_fuse_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="fuse between supply and outputs (A)",
                            ),
                        ),
                        (
                            "supply_fuse_kind",
                            models.CharField(
                                blank=True,
                                choices=zones.models.product_models.choices_of_fuses,
                                max_length=12,
                                verbose_name="kind of fuse between supply and outputs",
                            ),
                        ),
                        (
                            "battery_lead_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="length of the battery leads, one way (m)",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["kind", "maker__name", "name"],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("maker"),
                                django.db.models.functions.text.Lower("name"),
                                name="product_model_unique_per_maker",
                                violation_error_message="This maker has a model of this name already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("rated_voltage_v", None), ("rated_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="product_model_rated_voltage_v_above_zero",
                                violation_error_message="Rated voltage: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("minimum_voltage_v", None), ("minimum_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="product_model_minimum_voltage_v_above_zero",
                                violation_error_message="Minimum voltage: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("rated_current_a", None), ("rated_current_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_rated_current_a_above_zero",
                                violation_error_message="Rated current: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("starting_current_a", None), ("starting_current_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_starting_current_a_above_zero",
                                violation_error_message="Starting current: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("alarm_current_a", None), ("alarm_current_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_alarm_current_a_above_zero",
                                violation_error_message="Alarm current: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("stroke_mm", None), ("stroke_mm__gt", 0), _connector="OR"),
                                name="product_model_stroke_mm_above_zero",
                                violation_error_message="Stroke: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("speed_mm_s", None), ("speed_mm_s__gt", 0), _connector="OR"),
                                name="product_model_speed_mm_s_above_zero",
                                violation_error_message="Speed mm: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("supply_limit_a", None), ("supply_limit_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_supply_limit_a_above_zero",
                                violation_error_message="Supply limit: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("output_limit_a", None), ("output_limit_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_output_limit_a_above_zero",
                                violation_error_message="Output limit: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("capacity_ah", None), ("capacity_ah__gt", 0), _connector="OR"),
                                name="product_model_capacity_ah_above_zero",
                                violation_error_message="Capacity: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("end_of_line_ohm", None), ("end_of_line_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_end_of_line_ohm_above_zero",
                                violation_error_message="End of line: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("alarm_resistance_ohm", None), ("alarm_resistance_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_alarm_resistance_ohm_above_zero",
                                violation_error_message="Alarm resistance: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("service_life_years", None), ("service_life_years__gt", 0), _connector="OR"
                                ),
                                name="product_model_service_life_years_above_zero",
                                violation_error_message="Service life: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("charger_current_a", None), ("charger_current_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_charger_current_a_above_zero",
                                violation_error_message="Charger current: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_fuse_a", None), ("battery_fuse_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_battery_fuse_a_above_zero",
                                violation_error_message="Battery fuse: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("line_voltage_v", None), ("line_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="product_model_line_voltage_v_above_zero",
                                violation_error_message="Line voltage: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("discharge_limit_a", None), ("discharge_limit_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_discharge_limit_a_above_zero",
                                violation_error_message="Discharge limit: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("peukert_exponent", None), ("peukert_exponent__gt", 0), _connector="OR"
                                ),
                                name="product_model_peukert_exponent_above_zero",
                                violation_error_message="Peukert: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("standby_current_a", None), ("standby_current_a__gte", 0), _connector="OR"
                                ),
                                name="product_model_standby_current_a_from_zero",
                                violation_error_message="Standby current: leave it empty if not known, else 0 or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("own_voltage_drop_v", None), ("own_voltage_drop_v__gte", 0), _connector="OR"
                                ),
                                name="product_model_own_voltage_drop_v_from_zero",
                                violation_error_message="Own voltage drop: leave it empty if not known, else 0 or more.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("short_below_ohm", None), ("short_below_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_short_below_ohm_above_zero",
                                violation_error_message="Short below: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("alarm_low_ohm", None), ("alarm_low_ohm__gt", 0), _connector="OR"),
                                name="product_model_alarm_low_ohm_above_zero",
                                violation_error_message="Alarm low: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("alarm_high_ohm", None), ("alarm_high_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_alarm_high_ohm_above_zero",
                                violation_error_message="Alarm high: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("normal_low_ohm", None), ("normal_low_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_normal_low_ohm_above_zero",
                                violation_error_message="Normal low: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("normal_high_ohm", None), ("normal_high_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_normal_high_ohm_above_zero",
                                violation_error_message="Normal high: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("open_above_ohm", None), ("open_above_ohm__gt", 0), _connector="OR"
                                ),
                                name="product_model_open_above_ohm_above_zero",
                                violation_error_message="Open above: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("isolation_order", ""), ("power_up_order", "")),
                                    models.Q(("power_order_source", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="product_model_power_order_has_a_source",
                                violation_error_message="Name the source of the maker's order: document with number, edition and page.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind", "control_panel"),
                                    models.Q(("isolation_order", ""), ("power_up_order", "")),
                                    _connector="OR",
                                ),
                                name="product_model_power_order_of_a_panel",
                                violation_error_message="Only a control panel has a power-up and an isolation order. Empty them.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("lower_voltage_v", None), ("lower_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="product_model_lower_voltage_v_above_zero",
                                violation_error_message="Lower voltage: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("lower_speed_mm_s", None), ("lower_speed_mm_s__gt", 0), _connector="OR"
                                ),
                                name="product_model_lower_speed_mm_s_above_zero",
                                violation_error_message="Lower speed mm: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("lower_current_a", None), ("lower_current_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_lower_current_a_above_zero",
                                violation_error_message="Lower current: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("highest_voltage_v", None), ("highest_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="product_model_highest_voltage_v_above_zero",
                                violation_error_message="Highest voltage: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("starting_s", None), ("starting_s__gt", 0), _connector="OR"),
                                name="product_model_starting_s_above_zero",
                                violation_error_message="Starting: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("output_peak_a", None), ("output_peak_a__gt", 0), _connector="OR"),
                                name="product_model_output_peak_a_above_zero",
                                violation_error_message="Output peak: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("supply_peak_a", None), ("supply_peak_a__gt", 0), _connector="OR"),
                                name="product_model_supply_peak_a_above_zero",
                                violation_error_message="Supply peak: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("output_highest_v", None), ("output_highest_v__gt", 0), _connector="OR"
                                ),
                                name="product_model_output_highest_v_above_zero",
                                violation_error_message="Output highest: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("charging_limit_a", None), ("charging_limit_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_charging_limit_a_above_zero",
                                violation_error_message="Charging limit: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("push_force_n", None), ("push_force_n__gt", 0), _connector="OR"),
                                name="product_model_push_force_n_above_zero",
                                violation_error_message="Push force: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("pull_force_n", None), ("pull_force_n__gt", 0), _connector="OR"),
                                name="product_model_pull_force_n_above_zero",
                                violation_error_message="Pull force: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("lower_push_force_n", None), ("lower_push_force_n__gt", 0), _connector="OR"
                                ),
                                name="product_model_lower_push_force_n_above_zero",
                                violation_error_message="Lower push force: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("lower_pull_force_n", None), ("lower_pull_force_n__gt", 0), _connector="OR"
                                ),
                                name="product_model_lower_pull_force_n_above_zero",
                                violation_error_message="Lower pull force: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("holding_force_n", None), ("holding_force_n__gt", 0), _connector="OR"
                                ),
                                name="product_model_holding_force_n_above_zero",
                                violation_error_message="Holding force: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("output_device_a", None), ("output_device_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_output_device_a_above_zero",
                                violation_error_message="Output device: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("output_trip_a", None), ("output_trip_a__gt", 0), _connector="OR"),
                                name="product_model_output_trip_a_above_zero",
                                violation_error_message="Output trip: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("output_trip_s", None), ("output_trip_s__gt", 0), _connector="OR"),
                                name="product_model_output_trip_s_above_zero",
                                violation_error_message="Output trip: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("supply_fault_a", None), ("supply_fault_a__gt", 0), _connector="OR"
                                ),
                                name="product_model_supply_fault_a_above_zero",
                                violation_error_message="Supply fault: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("supply_fuse_a", None), ("supply_fuse_a__gt", 0), _connector="OR"),
                                name="product_model_supply_fuse_a_above_zero",
                                violation_error_message="Supply fuse: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_lead_mm2", None), ("battery_lead_mm2__gt", 0), _connector="OR"
                                ),
                                name="product_model_battery_lead_mm2_above_zero",
                                violation_error_message="Battery lead: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("internal_resistance_mohm", None),
                                    ("internal_resistance_mohm__gt", 0),
                                    _connector="OR",
                                ),
                                name="product_model_internal_resistance_mohm_above_zero",
                                violation_error_message="Internal resistance: leave it empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("battery_lead_m", None), ("battery_lead_m__gt", 0), _connector="OR"
                                ),
                                name="product_model_battery_lead_m_above_zero",
                                violation_error_message="Battery lead: leave it empty if not known, else more than 0.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalUnit",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("serial", models.CharField(help_text="As on the label.", max_length=60)),
                        ("batch", models.CharField(blank=True, max_length=40, verbose_name="batch or date code")),
                        ("firmware", models.CharField(blank=True, max_length=40)),
                        ("notes", models.TextField(blank=True, max_length=2000)),
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
                            "maker",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.maker",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.productmodel",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical unit",
                        "verbose_name_plural": "historical units",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalBatterySet",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("blocks", models.PositiveSmallIntegerField(default=2, verbose_name="number of blocks")),
                        (
                            "capacity_ah",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="capacity of a block (Ah)",
                            ),
                        ),
                        (
                            "date_code",
                            models.CharField(blank=True, help_text="As printed on the block.", max_length=40),
                        ),
                        ("fitted_on", models.DateField()),
                        ("removed_on", models.DateField(blank=True, null=True)),
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
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                limit_choices_to={"kind": "battery"},
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.productmodel",
                            ),
                        ),
                        (
                            "design_life_years",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                help_text="At 20 °C. Empty: the model's service life.",
                                max_digits=4,
                                null=True,
                                verbose_name="design life (years)",
                            ),
                        ),
                        (
                            "discharge_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: as the model's data sheet says.",
                                max_digits=7,
                                null=True,
                                verbose_name="greatest discharge current (A)",
                            ),
                        ),
                        (
                            "made_on",
                            models.DateField(
                                blank=True,
                                help_text="Where the date code can be read two ways.",
                                null=True,
                                verbose_name="made on",
                            ),
                        ),
                        (
                            "batch",
                            models.CharField(
                                blank=True, help_text="As printed on the block, if it has one.", max_length=40
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical battery set",
                        "verbose_name_plural": "historical battery sets",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="BatterySet",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("blocks", models.PositiveSmallIntegerField(default=2, verbose_name="number of blocks")),
                        (
                            "capacity_ah",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="capacity of a block (Ah)",
                            ),
                        ),
                        (
                            "date_code",
                            models.CharField(blank=True, help_text="As printed on the block.", max_length=40),
                        ),
                        ("fitted_on", models.DateField()),
                        ("removed_on", models.DateField(blank=True, null=True)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="battery_sets",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                limit_choices_to={"kind": "battery"},
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="battery_sets",
                                to="zones.productmodel",
                            ),
                        ),
                        (
                            "design_life_years",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                help_text="At 20 °C. Empty: the model's service life.",
                                max_digits=4,
                                null=True,
                                verbose_name="design life (years)",
                            ),
                        ),
                        (
                            "discharge_limit_a",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: as the model's data sheet says.",
                                max_digits=7,
                                null=True,
                                verbose_name="greatest discharge current (A)",
                            ),
                        ),
                        (
                            "made_on",
                            models.DateField(
                                blank=True,
                                help_text="Where the date code can be read two ways.",
                                null=True,
                                verbose_name="made on",
                            ),
                        ),
                        (
                            "batch",
                            models.CharField(
                                blank=True, help_text="As printed on the block, if it has one.", max_length=40
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-fitted_on", "-pk"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("removed_on", None)),
                                fields=("panel",),
                                name="battery_set_one_fitted_per_panel",
                                violation_error_message="This panel has a battery set already. Enter when that one came out first.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("removed_on", None), ("removed_on__gte", models.F("fitted_on")), _connector="OR"
                                ),
                                name="battery_set_ends_on_or_after_its_start",
                                violation_error_message="The battery set cannot come out before it was fitted.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("blocks__gte", 1), ("blocks__lte", 48)),
                                name="battery_set_has_blocks",
                                violation_error_message="The number of blocks is from 1 to 48.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("capacity_ah", None), ("capacity_ah__gt", 0), _connector="OR"),
                                name="battery_set_capacity_above_zero",
                                violation_error_message="Capacity: leave it empty if not known, else more than 0 Ah.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("discharge_limit_a", None), ("discharge_limit_a__gt", 0), _connector="OR"
                                ),
                                name="battery_set_discharge_limit_a_above_zero",
                                violation_error_message="Discharge current and life: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("design_life_years", None), ("design_life_years__gt", 0), _connector="OR"
                                ),
                                name="battery_set_design_life_years_above_zero",
                                violation_error_message="Discharge current and life: leave them empty if not known, else more than 0.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SmokeZone",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(max_length=120)),
                        ("storey", models.CharField(blank=True, max_length=40)),
                        ("extent", models.CharField(blank=True, max_length=300)),
                        (
                            "required_area_m2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="required free area (m²)",
                            ),
                        ),
                        (
                            "required_area_kind",
                            models.CharField(
                                blank=True,
                                choices=[("aerodynamic", "aerodynamic"), ("geometric", "geometric")],
                                max_length=12,
                                verbose_name="kind of area",
                            ),
                        ),
                        (
                            "required_area_source",
                            models.CharField(blank=True, max_length=200, verbose_name="source of the requirement"),
                        ),
                        (
                            "needs_automatic_detection",
                            models.BooleanField(default=True, verbose_name="automatic detection asked for"),
                        ),
                        (
                            "lockout_group",
                            models.CharField(
                                blank=True,
                                help_text="Zones of one group: the first in alarm keeps the others shut.",
                                max_length=40,
                                verbose_name="lock-out group",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="smoke_zones",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="smoke_zones",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "fault_lamp",
                            models.CharField(
                                blank=True,
                                help_text="The lamp at the panel that shows a fault of this zone.",
                                max_length=80,
                                verbose_name="fault lamp",
                            ),
                        ),
                        (
                            "area_method",
                            models.CharField(
                                blank=True,
                                choices=zones.models.smoke_zones.choices_of_methods,
                                max_length=32,
                                verbose_name="method of the required area",
                            ),
                        ),
                        (
                            "clear_height_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="clear height below the smoke (m)",
                            ),
                        ),
                        (
                            "fire_perimeter_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="perimeter of the fire (m)",
                            ),
                        ),
                        (
                            "floor_area_m2",
                            models.DecimalField(
                                blank=True, decimal_places=2, max_digits=9, null=True, verbose_name="floor area (m²)"
                            ),
                        ),
                        (
                            "floor_percent",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="percentage of the floor (%)",
                            ),
                        ),
                        (
                            "heat_release_kw",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="heat release of the fire (kW)",
                            ),
                        ),
                        (
                            "inlet_ratio",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=5,
                                null=True,
                                verbose_name="replacement air, inlets ÷ outlets",
                            ),
                        ),
                        (
                            "inlet_ratio_kind",
                            models.CharField(
                                blank=True,
                                choices=[("aerodynamic", "aerodynamic"), ("geometric", "geometric")],
                                max_length=12,
                                verbose_name="areas of inlets and outlets",
                            ),
                        ),
                        (
                            "layer_depth_m",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=6,
                                null=True,
                                verbose_name="depth of the smoke below the vents (m)",
                            ),
                        ),
                        (
                            "needs_no_inlets",
                            models.BooleanField(default=False, verbose_name="no replacement air asked for"),
                        ),
                    ],
                    options={
                        "ordering": ["building", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("building", "number"),
                                name="smoke_zone_number_unique_per_building",
                                violation_error_message="This building has a zone of this number already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("number__gte", 1)), name="smoke_zone_number_from_one"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("required_area_m2", None), ("required_area_m2__gt", 0), _connector="OR"
                                ),
                                name="smoke_zone_required_area_above_zero",
                                violation_error_message="Required area: leave it empty if not known, else more than 0 m².",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("required_area_m2", None),
                                    models.Q(("required_area_kind", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="smoke_zone_required_area_has_a_kind",
                                violation_error_message="Say whether the required area is aerodynamic or geometric.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("floor_area_m2", None), ("floor_area_m2__gt", 0), _connector="OR"),
                                name="smoke_zone_floor_area_m2_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("floor_percent", None), ("floor_percent__gt", 0), _connector="OR"),
                                name="smoke_zone_floor_percent_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("fire_perimeter_m", None), ("fire_perimeter_m__gt", 0), _connector="OR"
                                ),
                                name="smoke_zone_fire_perimeter_m_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("heat_release_kw", None), ("heat_release_kw__gt", 0), _connector="OR"
                                ),
                                name="smoke_zone_heat_release_kw_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("clear_height_m", None), ("clear_height_m__gt", 0), _connector="OR"
                                ),
                                name="smoke_zone_clear_height_m_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("layer_depth_m", None), ("layer_depth_m__gt", 0), _connector="OR"),
                                name="smoke_zone_layer_depth_m_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("inlet_ratio", None), ("inlet_ratio__gt", 0), _connector="OR"),
                                name="smoke_zone_inlet_ratio_above_zero",
                                violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("floor_percent", None), ("floor_percent__lte", 100), _connector="OR"
                                ),
                                name="smoke_zone_floor_percent_possible",
                                violation_error_message="A percentage of the floor is at most 100.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("inlet_ratio", None),
                                    models.Q(("inlet_ratio_kind", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="smoke_zone_inlet_ratio_has_a_kind",
                                violation_error_message="Say whether the ratio is of aerodynamic or of geometric areas.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("inlet_ratio", None), ("needs_no_inlets", False), _connector="OR"),
                                name="smoke_zone_inlets_asked_for_or_not",
                                violation_error_message="A ratio of inlets, or no replacement air asked for: not both.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalVentGroup",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
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
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical vent group",
                        "verbose_name_plural": "historical vent groups",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalVent",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("tag", models.CharField(max_length=40)),
                        (
                            "leaf",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("top_hung", "top hung"),
                                    ("bottom_hung", "bottom hung"),
                                    ("side_hung", "side hung"),
                                    ("double_leaf", "double leaf"),
                                    ("louvre", "louvre"),
                                    ("sliding", "sliding"),
                                    ("dome", "dome or roof flap"),
                                ],
                                max_length=16,
                                verbose_name="kind of leaf",
                            ),
                        ),
                        (
                            "width_mm",
                            models.PositiveIntegerField(blank=True, null=True, verbose_name="clear width (mm)"),
                        ),
                        (
                            "height_mm",
                            models.PositiveIntegerField(blank=True, null=True, verbose_name="clear height (mm)"),
                        ),
                        (
                            "fixing_distance_mm",
                            models.PositiveIntegerField(
                                blank=True,
                                help_text="Empty: at the moving edge.",
                                null=True,
                                verbose_name="actuator fixing from hinge (mm)",
                            ),
                        ),
                        (
                            "reveal_mm",
                            models.PositiveIntegerField(blank=True, null=True, verbose_name="depth of reveal (mm)"),
                        ),
                        (
                            "geometric_area_m2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="geometric free area (m²)",
                            ),
                        ),
                        (
                            "aerodynamic_area_m2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="declared aerodynamic free area (m²)",
                            ),
                        ),
                        (
                            "declaration_reference",
                            models.CharField(blank=True, max_length=120, verbose_name="declaration of performance"),
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
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "blade_angle_deg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="angle of the open blades (°)",
                            ),
                        ),
                        (
                            "blade_pitch_mm",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="pitch of the blades (mm)"
                            ),
                        ),
                        (
                            "blade_thickness_mm",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="thickness of a blade (mm)"
                            ),
                        ),
                        (
                            "blades",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="blades of the louvre"
                            ),
                        ),
                        (
                            "coefficient_is_tested",
                            models.BooleanField(default=False, verbose_name="the coefficient is from a test"),
                        ),
                        (
                            "discharge_coefficient",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=4,
                                null=True,
                                verbose_name="discharge coefficient",
                            ),
                        ),
                        (
                            "sides_blocked",
                            models.BooleanField(
                                blank=True, null=True, verbose_name="walls or neighbours close the sides"
                            ),
                        ),
                        (
                            "tested_angle_deg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="angle of test or declaration (°)",
                            ),
                        ),
                        (
                            "bracket_depth_mm",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="actuator on the frame behind the leaf (mm)"
                            ),
                        ),
                        (
                            "bracket_from_hinge_mm",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="actuator on the frame from hinge (mm)"
                            ),
                        ),
                        (
                            "cold_class_c",
                            models.SmallIntegerField(
                                blank=True, null=True, verbose_name="low temperature class T (°C)"
                            ),
                        ),
                        (
                            "heat_class_c",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="heat exposure class B (°C)"
                            ),
                        ),
                        (
                            "hinge_at",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("upper", "upper edge"),
                                    ("lower", "lower edge"),
                                    ("side", "an edge along the slope"),
                                ],
                                max_length=8,
                                verbose_name="hinge at",
                            ),
                        ),
                        (
                            "installed_deg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="angle of installation (°)",
                            ),
                        ),
                        (
                            "leaf_mass_kg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=6,
                                null=True,
                                verbose_name="weight of one leaf (kg)",
                            ),
                        ),
                        ("opens_inwards", models.BooleanField(default=False, verbose_name="opens inwards")),
                        (
                            "reliability_class",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="reliability class Re (operations)"
                            ),
                        ),
                        (
                            "snow_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="snow load class SL (N/m²)"
                            ),
                        ),
                        ("snow_pa", models.PositiveIntegerField(blank=True, null=True, verbose_name="snow (N/m²)")),
                        (
                            "wind_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind load class WL (N/m²)"
                            ),
                        ),
                        (
                            "wind_opening_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind against opening (N/m²)"
                            ),
                        ),
                        (
                            "wind_suction_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind suction on the closed leaf (N/m²)"
                            ),
                        ),
                        (
                            "opened_by",
                            models.CharField(
                                choices=[
                                    ("actuator", "actuator"),
                                    ("hand", "hand"),
                                    ("door", "a door, by whoever uses it"),
                                    ("fixed", "nothing: it is always open"),
                                ],
                                default="actuator",
                                max_length=8,
                                verbose_name="opened by",
                            ),
                        ),
                        (
                            "purpose",
                            models.CharField(
                                choices=[("outlet", "smoke outlet"), ("inlet", "inlet for replacement air")],
                                default="outlet",
                                max_length=8,
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical vent",
                        "verbose_name_plural": "historical vents",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalDetectionLine",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "end_of_line_ohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="end-of-line resistor (Ω)",
                            ),
                        ),
                        (
                            "end_place",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("last_device", "at the last device"),
                                    ("in_box", "in a junction box"),
                                    ("panel_terminal", "at its own terminals (unused)"),
                                    ("missing", "missing"),
                                    ("none_needed", "none needed"),
                                ],
                                max_length=16,
                                verbose_name="place of the resistor",
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
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "end_of_line_tolerance_percent",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="tolerance of the resistor (%)",
                            ),
                        ),
                        (
                            "line_voltage_v",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                help_text="Empty: as the panel's data sheet says.",
                                max_digits=7,
                                null=True,
                                verbose_name="voltage of the line (V)",
                            ),
                        ),
                        (
                            "starts_at",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Empty: at the panel.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                                verbose_name="starts at device",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical detection line",
                        "verbose_name_plural": "historical detection lines",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="Terminal",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("block", models.CharField(help_text="X3 of -X3:5.", max_length=16)),
                        ("number", models.CharField(help_text="5 of -X3:5.", max_length=16)),
                        ("order_key", models.CharField(editable=False, max_length=120)),
                        ("function", models.CharField(blank=True, max_length=120)),
                        (
                            "electrical_kind",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("supply", "mains supply"),
                                    ("battery", "battery"),
                                    ("output", "actuator output"),
                                    ("data", "data"),
                                    ("monitor", "monitoring core"),
                                    ("line", "monitored line"),
                                    ("link", "data link"),
                                    ("input", "input"),
                                    ("contact", "signal contact"),
                                    ("earth", "protective earth"),
                                    ("other", "other"),
                                ],
                                max_length=12,
                                verbose_name="electrical kind",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                help_text="The device that has it.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="zones.position",
                            ),
                        ),
                        (
                            "actuator_circuit",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="zones.actuatorcircuit",
                                verbose_name="output",
                            ),
                        ),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="zones.detectionline",
                                verbose_name="line",
                            ),
                        ),
                        (
                            "passing",
                            models.CharField(
                                blank=True,
                                choices=[("in", "goes in here"), ("out", "goes out here")],
                                max_length=3,
                                verbose_name="line or output",
                            ),
                        ),
                        ("pole", models.CharField(blank=True, choices=[("+", "+"), ("-", "−")], max_length=1)),
                        (
                            "rated_voltage_v",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=6, null=True, verbose_name="rated voltage (V)"
                            ),
                        ),
                        ("checked_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        (
                            "checked_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        ("cores_allowed", models.PositiveSmallIntegerField(default=1, verbose_name="cores it takes")),
                        (
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="zones.datalink",
                                verbose_name="data link",
                            ),
                        ),
                        (
                            "input_port",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="terminals",
                                to="zones.inputport",
                                verbose_name="input",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "position", "order_key"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("panel", None), ("position__isnull", False)),
                                    models.Q(("panel__isnull", False), ("position", None)),
                                    _connector="OR",
                                ),
                                name="terminal_of_a_panel_or_of_a_device",
                                violation_error_message="A terminal belongs to a panel or to a device: choose one of the two.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("position", None)),
                                fields=("panel", "block", "number"),
                                name="terminal_unique_per_panel",
                                violation_error_message="This panel has this terminal already.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("panel", None)),
                                fields=("position", "block", "number"),
                                name="terminal_unique_per_device",
                                violation_error_message="This device has this terminal already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("rated_voltage_v", None), ("rated_voltage_v__gt", 0), _connector="OR"
                                ),
                                name="terminal_rated_voltage_above_zero",
                                violation_error_message="Rated voltage: leave it empty if not known, else more than 0 V.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("panel__isnull", False),
                                    models.Q(("actuator_circuit", None), ("data_link", None)),
                                    _connector="OR",
                                ),
                                name="terminal_of_an_output_or_a_link_of_its_panel",
                                violation_error_message="Only a terminal of a panel belongs to an output or a data link; lines and inputs may start at a device.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("data_link", None), ("detection_line", None), ("input_port", None)),
                                    models.Q(("actuator_circuit", None), ("data_link", None), ("input_port", None)),
                                    models.Q(
                                        ("actuator_circuit", None), ("detection_line", None), ("input_port", None)
                                    ),
                                    models.Q(("actuator_circuit", None), ("data_link", None), ("detection_line", None)),
                                    _connector="OR",
                                ),
                                name="terminal_of_one_run_at_most",
                                violation_error_message="A terminal belongs to one output, line, data link or input at most.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("cores_allowed__gte", 1), ("cores_allowed__lte", 4)),
                                name="terminal_cores_allowed_possible",
                                violation_error_message="A terminal takes 1 to 4 cores.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalCoreEnd",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("end", models.CharField(choices=[("near", "near end"), ("far", "far end")], max_length=4)),
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
                            "core",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.core",
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
                            "terminal",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.terminal",
                            ),
                        ),
                        ("slot", models.PositiveSmallIntegerField(default=1, editable=False)),
                    ],
                    options={
                        "verbose_name": "historical core end",
                        "verbose_name_plural": "historical core ends",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="CoreEnd",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("end", models.CharField(choices=[("near", "near end"), ("far", "far end")], max_length=4)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "core",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT, related_name="ends", to="zones.core"
                            ),
                        ),
                        (
                            "terminal",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="core_ends",
                                to="zones.terminal",
                            ),
                        ),
                        ("slot", models.PositiveSmallIntegerField(default=1, editable=False)),
                    ],
                    options={
                        "ordering": ["core", "end"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("core", "end"),
                                name="core_end_once",
                                violation_error_message="This end of the core is on a terminal already.",
                            ),
                            models.UniqueConstraint(
                                fields=("terminal", "slot"),
                                name="core_end_one_per_slot_of_a_terminal",
                                violation_error_message="This terminal is in use already. Free it first, or choose another.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("slot__gte", 1), ("slot__lte", 4)),
                                name="core_end_slot_possible",
                                violation_error_message="A terminal takes 1 to 4 cores.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Unit",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("serial", models.CharField(help_text="As on the label.", max_length=60)),
                        ("batch", models.CharField(blank=True, max_length=40, verbose_name="batch or date code")),
                        ("firmware", models.CharField(blank=True, max_length=40)),
                        ("notes", models.TextField(blank=True, max_length=2000)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "maker",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="units",
                                to="zones.maker",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="units",
                                to="zones.productmodel",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["product_model", "serial"],
                        "indexes": [
                            models.Index(django.db.models.functions.text.Upper("serial"), name="unit_serial_upper"),
                            models.Index(django.db.models.functions.text.Upper("batch"), name="unit_batch_upper"),
                            models.Index(sites_registry.folded.Folded("serial"), name="unit_serial_folded"),
                            models.Index(sites_registry.folded.Folded("batch"), name="unit_batch_folded"),
                        ],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("maker"),
                                django.db.models.functions.text.Upper("serial"),
                                name="unit_serial_unique_per_maker",
                                violation_error_message="This maker's serial is in the register already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("serial", ""), _negated=True),
                                name="unit_has_a_serial",
                                violation_error_message="A unit needs its serial.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalFitting",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("fitted_on", models.DateField()),
                        ("removed_on", models.DateField(blank=True, null=True)),
                        ("reason_removed", models.CharField(blank=True, max_length=200)),
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
                            "fitted_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
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
                            "removed_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
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
                            "unit",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.unit",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical fitting",
                        "verbose_name_plural": "historical fittings",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="Fitting",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("fitted_on", models.DateField()),
                        ("removed_on", models.DateField(blank=True, null=True)),
                        ("reason_removed", models.CharField(blank=True, max_length=200)),
                        (
                            "fitted_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "removed_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="fittings",
                                to="zones.position",
                            ),
                        ),
                        (
                            "unit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT, related_name="fittings", to="zones.unit"
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-fitted_on", "-pk"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("removed_on", None)),
                                fields=("position",),
                                name="fitting_one_open_per_position",
                                violation_error_message="This position has a unit already. Take that unit off first.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("removed_on", None)),
                                fields=("unit",),
                                name="fitting_one_open_per_unit",
                                violation_error_message="This unit is fitted elsewhere already. Take it off there first.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("removed_on", None), ("removed_on__gte", models.F("fitted_on")), _connector="OR"
                                ),
                                name="fitting_ends_on_or_after_its_start",
                                violation_error_message="The unit cannot come off before it was fitted.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Attachment",
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
                                    ("declaration", "declaration of performance"),
                                    ("conformity", "declaration of conformity"),
                                    ("manual", "manual"),
                                    ("label", "label"),
                                    ("data_sheet", "data sheet"),
                                    ("drawing", "drawing"),
                                    ("photo", "photo"),
                                    ("evidence", "calibration certificate or evidence of training"),
                                    ("other", "other"),
                                ],
                                max_length=16,
                            ),
                        ),
                        ("title", models.CharField(blank=True, max_length=200)),
                        (
                            "language",
                            models.CharField(
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
                        ("file", models.FileField(max_length=200, upload_to=zones.models.attachments.stored_name)),
                        ("file_name", models.CharField(editable=False, max_length=200)),
                        ("media_type", models.CharField(editable=False, max_length=100)),
                        ("size_bytes", models.PositiveIntegerField(editable=False)),
                        ("sha256", models.CharField(editable=False, max_length=64)),
                        ("added_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("withdrawn_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        (
                            "added_by",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="sites_registry.job",
                            ),
                        ),
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="zones.productmodel",
                            ),
                        ),
                        (
                            "unit",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="zones.unit",
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
                        (
                            "instrument",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="sites_registry.instrument",
                            ),
                        ),
                        (
                            "qualification",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attachments",
                                to="sites_registry.qualification",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["kind", "-added_at"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("withdrawn_at__isnull", True), ("withdrawn_by__isnull", True)),
                                    models.Q(("withdrawn_at__isnull", False), ("withdrawn_by__isnull", False)),
                                    _connector="OR",
                                ),
                                name="attachment_is_withdrawn_by_somebody",
                            ),
                            models.CheckConstraint(
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
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("building__isnull", False),
                                        ("instrument__isnull", True),
                                        ("job__isnull", True),
                                        ("panel__isnull", True),
                                        ("product_model__isnull", True),
                                        ("qualification__isnull", True),
                                        ("unit__isnull", True),
                                    ),
                                    models.Q(
                                        ("building__isnull", True),
                                        ("instrument__isnull", True),
                                        ("job__isnull", False),
                                        ("panel__isnull", True),
                                        ("product_model__isnull", True),
                                        ("qualification__isnull", True),
                                        ("unit__isnull", True),
                                    ),
                                    models.Q(
                                        ("building__isnull", True),
                                        ("instrument__isnull", True),
                                        ("job__isnull", True),
                                        ("panel__isnull", False),
                                        ("product_model__isnull", True),
                                        ("qualification__isnull", True),
                                        ("unit__isnull", True),
                                    ),
                                    models.Q(
                                        ("building__isnull", True),
                                        ("instrument__isnull", True),
                                        ("job__isnull", True),
                                        ("panel__isnull", True),
                                        ("product_model__isnull", True),
                                        ("qualification__isnull", True),
                                        ("unit__isnull", False),
                                    ),
                                    models.Q(
                                        ("building__isnull", True),
                                        ("instrument__isnull", True),
                                        ("job__isnull", True),
                                        ("panel__isnull", True),
                                        ("product_model__isnull", False),
                                        ("qualification__isnull", True),
                                        ("unit__isnull", True),
                                    ),
                                    models.Q(
                                        ("building__isnull", True),
                                        ("instrument__isnull", False),
                                        ("job__isnull", True),
                                        ("panel__isnull", True),
                                        ("product_model__isnull", True),
                                        ("qualification__isnull", True),
                                        ("unit__isnull", True),
                                    ),
                                    models.Q(
                                        ("building__isnull", True),
                                        ("instrument__isnull", True),
                                        ("job__isnull", True),
                                        ("panel__isnull", True),
                                        ("product_model__isnull", True),
                                        ("qualification__isnull", False),
                                        ("unit__isnull", True),
                                    ),
                                    _connector="OR",
                                ),
                                name="attachment_has_exactly_one_owner",
                                violation_error_message="A file belongs to exactly one record.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Vent",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("tag", models.CharField(max_length=40)),
                        (
                            "leaf",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("top_hung", "top hung"),
                                    ("bottom_hung", "bottom hung"),
                                    ("side_hung", "side hung"),
                                    ("double_leaf", "double leaf"),
                                    ("louvre", "louvre"),
                                    ("sliding", "sliding"),
                                    ("dome", "dome or roof flap"),
                                ],
                                max_length=16,
                                verbose_name="kind of leaf",
                            ),
                        ),
                        (
                            "width_mm",
                            models.PositiveIntegerField(blank=True, null=True, verbose_name="clear width (mm)"),
                        ),
                        (
                            "height_mm",
                            models.PositiveIntegerField(blank=True, null=True, verbose_name="clear height (mm)"),
                        ),
                        (
                            "fixing_distance_mm",
                            models.PositiveIntegerField(
                                blank=True,
                                help_text="Empty: at the moving edge.",
                                null=True,
                                verbose_name="actuator fixing from hinge (mm)",
                            ),
                        ),
                        (
                            "reveal_mm",
                            models.PositiveIntegerField(blank=True, null=True, verbose_name="depth of reveal (mm)"),
                        ),
                        (
                            "geometric_area_m2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="geometric free area (m²)",
                            ),
                        ),
                        (
                            "aerodynamic_area_m2",
                            models.DecimalField(
                                blank=True,
                                decimal_places=2,
                                max_digits=7,
                                null=True,
                                verbose_name="declared aerodynamic free area (m²)",
                            ),
                        ),
                        (
                            "declaration_reference",
                            models.CharField(blank=True, max_length=120, verbose_name="declaration of performance"),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT, related_name="vents", to="zones.smokezone"
                            ),
                        ),
                        (
                            "blade_angle_deg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="angle of the open blades (°)",
                            ),
                        ),
                        (
                            "blade_pitch_mm",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="pitch of the blades (mm)"
                            ),
                        ),
                        (
                            "blade_thickness_mm",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="thickness of a blade (mm)"
                            ),
                        ),
                        (
                            "blades",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="blades of the louvre"
                            ),
                        ),
                        (
                            "coefficient_is_tested",
                            models.BooleanField(default=False, verbose_name="the coefficient is from a test"),
                        ),
                        (
                            "discharge_coefficient",
                            models.DecimalField(
                                blank=True,
                                decimal_places=3,
                                max_digits=4,
                                null=True,
                                verbose_name="discharge coefficient",
                            ),
                        ),
                        (
                            "sides_blocked",
                            models.BooleanField(
                                blank=True, null=True, verbose_name="walls or neighbours close the sides"
                            ),
                        ),
                        (
                            "tested_angle_deg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="angle of test or declaration (°)",
                            ),
                        ),
                        (
                            "bracket_depth_mm",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="actuator on the frame behind the leaf (mm)"
                            ),
                        ),
                        (
                            "bracket_from_hinge_mm",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="actuator on the frame from hinge (mm)"
                            ),
                        ),
                        (
                            "cold_class_c",
                            models.SmallIntegerField(
                                blank=True, null=True, verbose_name="low temperature class T (°C)"
                            ),
                        ),
                        (
                            "heat_class_c",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="heat exposure class B (°C)"
                            ),
                        ),
                        (
                            "hinge_at",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("upper", "upper edge"),
                                    ("lower", "lower edge"),
                                    ("side", "an edge along the slope"),
                                ],
                                max_length=8,
                                verbose_name="hinge at",
                            ),
                        ),
                        (
                            "installed_deg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=4,
                                null=True,
                                verbose_name="angle of installation (°)",
                            ),
                        ),
                        (
                            "leaf_mass_kg",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=6,
                                null=True,
                                verbose_name="weight of one leaf (kg)",
                            ),
                        ),
                        ("opens_inwards", models.BooleanField(default=False, verbose_name="opens inwards")),
                        (
                            "reliability_class",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="reliability class Re (operations)"
                            ),
                        ),
                        (
                            "snow_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="snow load class SL (N/m²)"
                            ),
                        ),
                        ("snow_pa", models.PositiveIntegerField(blank=True, null=True, verbose_name="snow (N/m²)")),
                        (
                            "wind_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind load class WL (N/m²)"
                            ),
                        ),
                        (
                            "wind_opening_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind against opening (N/m²)"
                            ),
                        ),
                        (
                            "wind_suction_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind suction on the closed leaf (N/m²)"
                            ),
                        ),
                        (
                            "opened_by",
                            models.CharField(
                                choices=[
                                    ("actuator", "actuator"),
                                    ("hand", "hand"),
                                    ("door", "a door, by whoever uses it"),
                                    ("fixed", "nothing: it is always open"),
                                ],
                                default="actuator",
                                max_length=8,
                                verbose_name="opened by",
                            ),
                        ),
                        (
                            "purpose",
                            models.CharField(
                                choices=[("outlet", "smoke outlet"), ("inlet", "inlet for replacement air")],
                                default="outlet",
                                max_length=8,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["smoke_zone", "tag"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("smoke_zone", "tag"),
                                name="vent_tag_unique_per_zone",
                                violation_error_message="This zone has a vent of this tag already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("width_mm", None), ("width_mm__gt", 0), _connector="OR"),
                                name="vent_width_mm_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("height_mm", None), ("height_mm__gt", 0), _connector="OR"),
                                name="vent_height_mm_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("fixing_distance_mm", None), ("fixing_distance_mm__gt", 0), _connector="OR"
                                ),
                                name="vent_fixing_distance_mm_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("geometric_area_m2", None), ("geometric_area_m2__gt", 0), _connector="OR"
                                ),
                                name="vent_geometric_area_m2_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("aerodynamic_area_m2", None), ("aerodynamic_area_m2__gt", 0), _connector="OR"
                                ),
                                name="vent_aerodynamic_area_m2_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("blade_pitch_mm", None), ("blade_pitch_mm__gt", 0), _connector="OR"
                                ),
                                name="vent_blade_pitch_mm_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("blades", None),
                                    models.Q(("blades__gte", 1), ("blades__lte", 200)),
                                    _connector="OR",
                                ),
                                name="vent_blades_possible",
                                violation_error_message="A louvre has 1 to 200 blades.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("blade_angle_deg", None),
                                    models.Q(("blade_angle_deg__gt", 0), ("blade_angle_deg__lte", 90)),
                                    _connector="OR",
                                ),
                                name="vent_blade_angle_possible",
                                violation_error_message="The angle of open blades is more than 0 and at most 90 degrees.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("discharge_coefficient", None),
                                    models.Q(("discharge_coefficient__gt", 0), ("discharge_coefficient__lte", 1)),
                                    _connector="OR",
                                ),
                                name="vent_discharge_coefficient_possible",
                                violation_error_message="A discharge coefficient is more than 0 and at most 1.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("tested_angle_deg", None),
                                    models.Q(("tested_angle_deg__gt", 0), ("tested_angle_deg__lte", 180)),
                                    _connector="OR",
                                ),
                                name="vent_tested_angle_possible",
                                violation_error_message="The angle of a test or declaration is more than 0 and at most 180 degrees.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("leaf_mass_kg", None), ("leaf_mass_kg__gt", 0), _connector="OR"),
                                name="vent_leaf_mass_kg_above_zero",
                                violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("wind_opening_pa", None), ("wind_opening_pa__lte", 20000), _connector="OR"
                                ),
                                name="vent_wind_opening_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("wind_suction_pa", None), ("wind_suction_pa__lte", 20000), _connector="OR"
                                ),
                                name="vent_wind_suction_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("snow_pa", None), ("snow_pa__lte", 20000), _connector="OR"),
                                name="vent_snow_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("wind_class_pa", None), ("wind_class_pa__lte", 20000), _connector="OR"
                                ),
                                name="vent_wind_class_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("snow_class_pa", None), ("snow_class_pa__lte", 20000), _connector="OR"
                                ),
                                name="vent_snow_class_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("cold_class_c", None),
                                    models.Q(("cold_class_c__gte", -60), ("cold_class_c__lte", 0)),
                                    _connector="OR",
                                ),
                                name="vent_cold_class_c_possible",
                                violation_error_message="The temperature class is from -60 to 0 °C; T(-15) is -15.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("reliability_class", None),
                                    models.Q(("reliability_class__gte", 1), ("reliability_class__lte", 100000)),
                                    _connector="OR",
                                ),
                                name="vent_reliability_class_possible",
                                violation_error_message="The reliability class is from 1 to 100000 operations.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("heat_class_c", None),
                                    models.Q(("heat_class_c__gte", 1), ("heat_class_c__lte", 1200)),
                                    _connector="OR",
                                ),
                                name="vent_heat_class_c_possible",
                                violation_error_message="The heat class is from 1 to 1200 °C; B 300 is 300.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("installed_deg", None),
                                    models.Q(("installed_deg__gte", 0), ("installed_deg__lte", 90)),
                                    _connector="OR",
                                ),
                                name="vent_installed_deg_possible",
                                violation_error_message="The angle of installation is 0 (flat roof) to 90 degrees (facade).",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("purpose", "inlet"), ("opened_by", "actuator"), _connector="OR"),
                                name="vent_smoke_outlet_opened_by_an_actuator",
                                violation_error_message="A smoke outlet is opened by an actuator; only an inlet by something else.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="VentGroup",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="vent_groups",
                                to="zones.smokezone",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["smoke_zone", "number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("smoke_zone", "number"),
                                name="vent_group_number_unique_per_zone",
                                violation_error_message="This zone has a group of this number already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalPosition",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("tag", models.CharField(max_length=40)),
                        ("tag_key", models.CharField(editable=False, max_length=120)),
                        ("kind", models.CharField(choices=zones.models.kinds.choices_of_kinds, max_length=24)),
                        ("storey", models.CharField(blank=True, max_length=40)),
                        ("room", models.CharField(blank=True, max_length=80)),
                        (
                            "place",
                            models.CharField(
                                blank=True,
                                help_text="In detail: above door 2.14, reached by 3 m steps.",
                                max_length=200,
                            ),
                        ),
                        (
                            "access_need",
                            models.CharField(
                                blank=True, help_text="Ladder, tower, lift key …", max_length=120, verbose_name="access"
                            ),
                        ),
                        ("walking_order", models.PositiveIntegerField(default=0)),
                        (
                            "order_on_line",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="order on its line or circuit"
                            ),
                        ),
                        ("retired_on", models.DateField(blank=True, null=True, verbose_name="no longer used since")),
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
                            "actuator_circuit",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.actuatorcircuit",
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
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.detectionline",
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
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.productmodel",
                                verbose_name="model planned",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "vent",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.vent",
                            ),
                        ),
                        (
                            "vent_group",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.ventgroup",
                            ),
                        ),
                        (
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.datalink",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical position",
                        "verbose_name_plural": "historical positions",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalCauseAndEffectRule",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "cause",
                            models.CharField(
                                choices=[
                                    ("device", "a device operates"),
                                    ("coincidence", "several devices operate"),
                                    ("zone_in_alarm", "a zone is in alarm"),
                                    ("group_open", "a vent group is not shut"),
                                    ("rain", "rain"),
                                    ("wind", "wind"),
                                    ("mains_lost", "mains lost"),
                                    ("battery_lost", "battery lost"),
                                    ("line_fault", "fault on a line"),
                                    ("link_fault", "break of a data link"),
                                    ("reset", "reset"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "effect",
                            models.CharField(
                                choices=[
                                    ("O", "open"),
                                    ("C", "close"),
                                    ("R", "close if opened for ventilation"),
                                    ("T", "stop"),
                                    ("H", "keep where it is"),
                                    ("-", "unchanged"),
                                    ("B", "ventilation blocked"),
                                    ("S", "signal"),
                                ],
                                max_length=1,
                            ),
                        ),
                        ("delay_s", models.PositiveSmallIntegerField(default=0, verbose_name="delay (s)")),
                        ("is_latching", models.BooleanField(default=False, verbose_name="latches until reset")),
                        ("note", models.CharField(blank=True, max_length=200)),
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
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Only for the cause 'a device operates'.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                                verbose_name="device",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "vent_group",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.ventgroup",
                            ),
                        ),
                        (
                            "action",
                            models.CharField(
                                choices=[("on", "operates"), ("open", "open"), ("stop", "stop"), ("close", "close")],
                                default="on",
                                max_length=8,
                                verbose_name="what it says",
                            ),
                        ),
                        (
                            "cause_group",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Only for the cause 'a vent group is not shut'.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.ventgroup",
                                verbose_name="group not shut",
                            ),
                        ),
                        (
                            "cause_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Only for the cause 'a zone is in alarm'.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                                verbose_name="zone in alarm",
                            ),
                        ),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Only for the cause 'fault on a line'; empty: any line.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.detectionline",
                                verbose_name="line",
                            ),
                        ),
                        (
                            "is_cross_zone",
                            models.BooleanField(
                                default=False,
                                help_text="The device of one zone moves vents of another, on purpose.",
                                verbose_name="meant for another zone",
                            ),
                        ),
                        (
                            "output",
                            models.CharField(
                                blank=True,
                                help_text="Only for a signal: fault relay, sounder, lift …",
                                max_length=40,
                                verbose_name="panel output",
                            ),
                        ),
                        (
                            "priority",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                help_text="1 is the highest priority, 6 the lowest. Empty: the usual one of its cause.",
                                null=True,
                            ),
                        ),
                        (
                            "coincidence",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Only for the cause 'several devices operate'.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.coincidence",
                            ),
                        ),
                        (
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Only for the cause 'break of a data link'; empty: any data link.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.datalink",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical cause and effect rule",
                        "verbose_name_plural": "historical cause and effect rules",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="CauseAndEffectRule",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "cause",
                            models.CharField(
                                choices=[
                                    ("device", "a device operates"),
                                    ("coincidence", "several devices operate"),
                                    ("zone_in_alarm", "a zone is in alarm"),
                                    ("group_open", "a vent group is not shut"),
                                    ("rain", "rain"),
                                    ("wind", "wind"),
                                    ("mains_lost", "mains lost"),
                                    ("battery_lost", "battery lost"),
                                    ("line_fault", "fault on a line"),
                                    ("link_fault", "break of a data link"),
                                    ("reset", "reset"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "effect",
                            models.CharField(
                                choices=[
                                    ("O", "open"),
                                    ("C", "close"),
                                    ("R", "close if opened for ventilation"),
                                    ("T", "stop"),
                                    ("H", "keep where it is"),
                                    ("-", "unchanged"),
                                    ("B", "ventilation blocked"),
                                    ("S", "signal"),
                                ],
                                max_length=1,
                            ),
                        ),
                        ("delay_s", models.PositiveSmallIntegerField(default=0, verbose_name="delay (s)")),
                        ("is_latching", models.BooleanField(default=False, verbose_name="latches until reset")),
                        ("note", models.CharField(blank=True, max_length=200)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                help_text="Only for the cause 'a device operates'.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.position",
                                verbose_name="device",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "vent_group",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.ventgroup",
                            ),
                        ),
                        (
                            "action",
                            models.CharField(
                                choices=[("on", "operates"), ("open", "open"), ("stop", "stop"), ("close", "close")],
                                default="on",
                                max_length=8,
                                verbose_name="what it says",
                            ),
                        ),
                        (
                            "cause_group",
                            models.ForeignKey(
                                blank=True,
                                help_text="Only for the cause 'a vent group is not shut'.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules_caused",
                                to="zones.ventgroup",
                                verbose_name="group not shut",
                            ),
                        ),
                        (
                            "cause_zone",
                            models.ForeignKey(
                                blank=True,
                                help_text="Only for the cause 'a zone is in alarm'.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules_caused",
                                to="zones.smokezone",
                                verbose_name="zone in alarm",
                            ),
                        ),
                        (
                            "detection_line",
                            models.ForeignKey(
                                blank=True,
                                help_text="Only for the cause 'fault on a line'; empty: any line.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.detectionline",
                                verbose_name="line",
                            ),
                        ),
                        (
                            "is_cross_zone",
                            models.BooleanField(
                                default=False,
                                help_text="The device of one zone moves vents of another, on purpose.",
                                verbose_name="meant for another zone",
                            ),
                        ),
                        (
                            "output",
                            models.CharField(
                                blank=True,
                                help_text="Only for a signal: fault relay, sounder, lift …",
                                max_length=40,
                                verbose_name="panel output",
                            ),
                        ),
                        (
                            "priority",
                            models.PositiveSmallIntegerField(
                                blank=True,
                                help_text="1 is the highest priority, 6 the lowest. Empty: the usual one of its cause.",
                                null=True,
                            ),
                        ),
                        (
                            "coincidence",
                            models.ForeignKey(
                                blank=True,
                                help_text="Only for the cause 'several devices operate'.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.coincidence",
                            ),
                        ),
                        (
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                help_text="Only for the cause 'break of a data link'; empty: any data link.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="zones.datalink",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("cause", "device"), ("position__isnull", False)),
                                    models.Q(models.Q(("cause", "device"), _negated=True), ("position", None)),
                                    _connector="OR",
                                ),
                                name="rule_names_a_device_when_the_cause_is_one",
                                violation_error_message="Name the device for the cause 'a device operates', and only for that.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("smoke_zone__isnull", False),
                                    ("vent_group__isnull", False),
                                    ("effect", "S"),
                                    _connector="OR",
                                ),
                                name="rule_has_a_target",
                                violation_error_message="Choose the zone or group in which the effect happens.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("cause", "coincidence"), ("coincidence__isnull", False)),
                                    models.Q(models.Q(("cause", "coincidence"), _negated=True), ("coincidence", None)),
                                    _connector="OR",
                                ),
                                name="rule_names_a_coincidence_when_the_cause_is_one",
                                violation_error_message="Name the coincidence for the cause 'several devices operate', and only for that.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("cause", "zone_in_alarm"), ("cause_zone__isnull", False)),
                                    models.Q(models.Q(("cause", "zone_in_alarm"), _negated=True), ("cause_zone", None)),
                                    _connector="OR",
                                ),
                                name="rule_names_the_zone_in_alarm_when_that_is_the_cause",
                                violation_error_message="Name the zone for the cause 'a zone is in alarm', and only for that.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("cause", "group_open"), ("cause_group__isnull", False)),
                                    models.Q(models.Q(("cause", "group_open"), _negated=True), ("cause_group", None)),
                                    _connector="OR",
                                ),
                                name="rule_names_the_group_when_that_is_the_cause",
                                violation_error_message="Name the group for the cause 'a vent group is not shut', and only for that.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("detection_line", None), ("cause", "line_fault"), _connector="OR"),
                                name="rule_names_a_line_only_for_its_fault",
                                violation_error_message="Name a line only for the cause 'fault on a line'.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("action", "on"), ("cause", "device"), _connector="OR"),
                                name="rule_action_only_of_a_device",
                                violation_error_message="Open, stop and close are what a switch or selector says; others operate.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("smoke_zone", None), ("vent_group", None), _connector="OR"),
                                name="rule_acts_on_a_zone_or_on_a_group",
                                violation_error_message="Choose the whole zone or one group, not both.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("output", ""),
                                    models.Q(("effect", "S"), ("smoke_zone", None), ("vent_group", None)),
                                    _connector="OR",
                                ),
                                name="rule_output_only_for_a_signal",
                                violation_error_message="A panel output takes a signal, and stands in place of a zone or group.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("priority", None),
                                    models.Q(("priority__gte", 1), ("priority__lte", 6)),
                                    _connector="OR",
                                ),
                                name="rule_priority_possible",
                                violation_error_message="A priority is from 1 (highest) to 6 (lowest); empty: the usual one.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("data_link", None), ("cause", "link_fault"), _connector="OR"),
                                name="rule_names_a_data_link_only_for_its_break",
                                violation_error_message="Name a data link only for the cause 'break of a data link'.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ImportRun",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("started_at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("file_name", models.CharField(max_length=200)),
                        ("sha256", models.CharField(max_length=64)),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("mapping", "columns to confirm"),
                                    ("checking", "being checked"),
                                    ("checked", "ready to look at"),
                                    ("applied", "applied"),
                                ],
                                default="mapping",
                                max_length=12,
                            ),
                        ),
                        ("version", models.PositiveIntegerField(default=0)),
                        ("sheets", models.JSONField(default=list)),
                        ("sheet_index", models.PositiveSmallIntegerField(default=0)),
                        ("header_row", models.PositiveIntegerField(default=1)),
                        ("column_keys", models.JSONField(blank=True, default=list)),
                        ("total_rows", models.PositiveIntegerField(default=0)),
                        ("checked_rows", models.PositiveIntegerField(default=0)),
                        ("results", models.JSONField(blank=True, default=list)),
                        ("applied_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "applied_by",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="import_runs",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "started_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-started_at", "-pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("checked_rows__lte", models.F("total_rows"))),
                                name="import_run_checks_no_more_rows_than_it_has",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("applied_at__isnull", False), ("state", "applied")),
                                    models.Q(("state", "applied"), _negated=True),
                                    _connector="OR",
                                ),
                                name="import_run_applied_at_a_time",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="DesignBasis",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "standby_basis",
                            models.CharField(blank=True, max_length=40, verbose_name="standby battery sized by"),
                        ),
                        (
                            "standby_hours",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=5,
                                null=True,
                                verbose_name="standby in its place (h)",
                            ),
                        ),
                        (
                            "operations",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="operations after standby"
                            ),
                        ),
                        (
                            "opening_limit_s",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="open within (s)"),
                        ),
                        (
                            "fire_minutes",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="cables carry in the fire for (min)"
                            ),
                        ),
                        ("source", models.CharField(blank=True, max_length=200, verbose_name="stated in")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "building",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="design_basis",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "cold_class_c",
                            models.SmallIntegerField(
                                blank=True, null=True, verbose_name="low temperature class T (°C)"
                            ),
                        ),
                        (
                            "heat_class_c",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="heat exposure class B (°C)"
                            ),
                        ),
                        (
                            "reliability_class",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="reliability class Re (operations)"
                            ),
                        ),
                        (
                            "snow_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="snow load class SL (N/m²)"
                            ),
                        ),
                        ("snow_pa", models.PositiveIntegerField(blank=True, null=True, verbose_name="snow (N/m²)")),
                        (
                            "wind_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind load class WL (N/m²)"
                            ),
                        ),
                        (
                            "wind_opening_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind against opening (N/m²)"
                            ),
                        ),
                        (
                            "wind_suction_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind suction on closed vents (N/m²)"
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "design bases",
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("standby_hours", None),
                                    models.Q(("standby_hours__gt", 0), ("standby_hours__lte", 240)),
                                    _connector="OR",
                                ),
                                name="design_basis_standby_hours_possible",
                                violation_error_message="Standby is more than 0 and at most 240 h; empty: as the basis says.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("operations", None),
                                    models.Q(("operations__gte", 1), ("operations__lte", 1000)),
                                    _connector="OR",
                                ),
                                name="design_basis_operations_possible",
                                violation_error_message="Operations after standby are from 1 to 1000; empty if nobody stated them.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("opening_limit_s", None),
                                    models.Q(("opening_limit_s__gte", 1), ("opening_limit_s__lte", 3600)),
                                    _connector="OR",
                                ),
                                name="design_basis_opening_limit_possible",
                                violation_error_message="The time to open is from 1 to 3600 s; empty: the firm's practice.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("fire_minutes", None),
                                    models.Q(("fire_minutes__gte", 1), ("fire_minutes__lte", 240)),
                                    _connector="OR",
                                ),
                                name="design_basis_fire_minutes_possible",
                                violation_error_message="Minutes in the fire are from 1 to 240; empty if nobody stated them.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("wind_opening_pa", None), ("wind_opening_pa__lte", 20000), _connector="OR"
                                ),
                                name="design_basis_wind_opening_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("wind_suction_pa", None), ("wind_suction_pa__lte", 20000), _connector="OR"
                                ),
                                name="design_basis_wind_suction_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("snow_pa", None), ("snow_pa__lte", 20000), _connector="OR"),
                                name="design_basis_snow_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("wind_class_pa", None), ("wind_class_pa__lte", 20000), _connector="OR"
                                ),
                                name="design_basis_wind_class_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("snow_class_pa", None), ("snow_class_pa__lte", 20000), _connector="OR"
                                ),
                                name="design_basis_snow_class_pa_possible",
                                violation_error_message="Wind and snow are from 0 to 20000 N/m²; leave them empty if not stated.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("cold_class_c", None),
                                    models.Q(("cold_class_c__gte", -60), ("cold_class_c__lte", 0)),
                                    _connector="OR",
                                ),
                                name="design_basis_cold_class_c_possible",
                                violation_error_message="The temperature class is from -60 to 0 °C; T(-15) is -15.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("reliability_class", None),
                                    models.Q(("reliability_class__gte", 1), ("reliability_class__lte", 100000)),
                                    _connector="OR",
                                ),
                                name="design_basis_reliability_class_possible",
                                violation_error_message="The reliability class is from 1 to 100000 operations.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("heat_class_c", None),
                                    models.Q(("heat_class_c__gte", 1), ("heat_class_c__lte", 1200)),
                                    _connector="OR",
                                ),
                                name="design_basis_heat_class_c_possible",
                                violation_error_message="The heat class is from 1 to 1200 °C; B 300 is 300.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalDesignBasis",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "standby_basis",
                            models.CharField(blank=True, max_length=40, verbose_name="standby battery sized by"),
                        ),
                        (
                            "standby_hours",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=5,
                                null=True,
                                verbose_name="standby in its place (h)",
                            ),
                        ),
                        (
                            "operations",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="operations after standby"
                            ),
                        ),
                        (
                            "opening_limit_s",
                            models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="open within (s)"),
                        ),
                        (
                            "fire_minutes",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="cables carry in the fire for (min)"
                            ),
                        ),
                        ("source", models.CharField(blank=True, max_length=200, verbose_name="stated in")),
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
                            "cold_class_c",
                            models.SmallIntegerField(
                                blank=True, null=True, verbose_name="low temperature class T (°C)"
                            ),
                        ),
                        (
                            "heat_class_c",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="heat exposure class B (°C)"
                            ),
                        ),
                        (
                            "reliability_class",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="reliability class Re (operations)"
                            ),
                        ),
                        (
                            "snow_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="snow load class SL (N/m²)"
                            ),
                        ),
                        ("snow_pa", models.PositiveIntegerField(blank=True, null=True, verbose_name="snow (N/m²)")),
                        (
                            "wind_class_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind load class WL (N/m²)"
                            ),
                        ),
                        (
                            "wind_opening_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind against opening (N/m²)"
                            ),
                        ),
                        (
                            "wind_suction_pa",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="wind suction on closed vents (N/m²)"
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical design basis",
                        "verbose_name_plural": "historical design bases",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalPracticeValue",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(db_index=True, max_length=60)),
                        ("value", models.CharField(max_length=300)),
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
                        "verbose_name": "historical practice value",
                        "verbose_name_plural": "historical practice values",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="PracticeValue",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(max_length=60, unique=True)),
                        ("value", models.CharField(max_length=300)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                    ],
                    options={
                        "ordering": ["name"],
                    },
                ),
                migrations.CreateModel(
                    name="AsInstalledRevision",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("number", models.PositiveIntegerField()),
                        ("reason", models.CharField(max_length=200)),
                        ("taken_at", models.DateTimeField()),
                        ("record", models.JSONField()),
                        ("digest", models.CharField(max_length=64)),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="as_installed_revisions",
                                to="sites_registry.building",
                            ),
                        ),
                        (
                            "job",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="as_installed_revisions",
                                to="sites_registry.job",
                            ),
                        ),
                        (
                            "taken_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["building", "-number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("building", "number"),
                                name="as_installed_revision_number_unique_per_building",
                                violation_error_message="This building has a revision of this number already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("number__gte", 1)), name="as_installed_revision_number_from_one"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("reason", ""), _negated=True),
                                name="as_installed_revision_has_a_reason",
                                violation_error_message="Say why the revision is taken.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalTerminalLink",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("is_internal", models.BooleanField(default=False, verbose_name="made inside the device")),
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
                            "first",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.terminal",
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
                            "second",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.terminal",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical terminal link",
                        "verbose_name_plural": "historical terminal links",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="TerminalLink",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("is_internal", models.BooleanField(default=False, verbose_name="made inside the device")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "first",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="links_from",
                                to="zones.terminal",
                            ),
                        ),
                        (
                            "second",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="links_to",
                                to="zones.terminal",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["first", "second"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("first", models.F("second")), _negated=True),
                                name="terminal_link_between_two_terminals",
                                violation_error_message="A link joins two different terminals.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("first__isnull", False)),
                                fields=("first", "second"),
                                name="terminal_link_unique",
                                violation_error_message="These two terminals are linked already.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalCoincidence",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("name", models.CharField(help_text="For instance: two detectors of the hall.", max_length=80)),
                        ("needed", models.PositiveSmallIntegerField(default=2, verbose_name="how many must operate")),
                        (
                            "counts_lines",
                            models.BooleanField(
                                default=False,
                                help_text="Two-line coincidence: two devices of one line are one.",
                                verbose_name="count lines, not devices",
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
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical coincidence",
                        "verbose_name_plural": "historical coincidences",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalCoincidence_positions",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("m2m_history_id", models.AutoField(primary_key=True, serialize=False)),
                        (
                            "coincidence",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                db_tablespace="",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.coincidence",
                            ),
                        ),
                        (
                            "history",
                            models.ForeignKey(
                                db_constraint=False,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                to="zones.historicalcoincidence",
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                db_tablespace="",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "HistoricalCoincidence_positions",
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="Coincidence",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("name", models.CharField(help_text="For instance: two detectors of the hall.", max_length=80)),
                        ("needed", models.PositiveSmallIntegerField(default=2, verbose_name="how many must operate")),
                        (
                            "counts_lines",
                            models.BooleanField(
                                default=False,
                                help_text="Two-line coincidence: two devices of one line are one.",
                                verbose_name="count lines, not devices",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="coincidences",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "positions",
                            models.ManyToManyField(
                                related_name="coincidences", to="zones.position", verbose_name="devices"
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "name"],
                        "constraints": [
                            models.UniqueConstraint(
                                models.F("panel"),
                                django.db.models.functions.text.Lower("name"),
                                name="coincidence_name_unique_per_panel",
                                violation_error_message="This panel has a coincidence of this name already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("needed__gte", 2), ("needed__lte", 20)),
                                name="coincidence_needs_at_least_two",
                                violation_error_message="A coincidence needs 2 to 20 devices to operate.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="MaterialArrival",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("line", models.CharField(help_text="Key of the line in the material list.", max_length=200)),
                        ("what", models.CharField(help_text="As the line read when it came.", max_length=200)),
                        ("quantity", models.IntegerField()),
                        ("arrived_on", models.DateField(default=django.utils.timezone.localdate)),
                        (
                            "note",
                            models.CharField(
                                blank=True, help_text="Delivery note, or why it is corrected.", max_length=120
                            ),
                        ),
                        ("recorded_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        (
                            "job",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="arrivals",
                                to="sites_registry.job",
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
                    ],
                    options={
                        "ordering": ["job", "recorded_at", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("quantity", 0), _negated=True),
                                    ("quantity__gte", -100000),
                                    ("quantity__lte", 100000),
                                ),
                                name="material_arrival_is_a_quantity",
                                violation_error_message="A quantity that came is from 1 to 100 000; a correction takes a minus.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("quantity__gt", 0), models.Q(("note", ""), _negated=True), _connector="OR"
                                ),
                                name="material_arrival_correction_has_a_note",
                                violation_error_message="Say why the quantity is corrected.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="PlateFigure",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "name",
                            models.CharField(
                                choices=[
                                    ("rated_voltage_v", "rated_voltage_v"),
                                    ("minimum_voltage_v", "minimum_voltage_v"),
                                    ("rated_current_a", "rated_current_a"),
                                    ("starting_current_a", "starting_current_a"),
                                    ("standby_current_a", "standby_current_a"),
                                    ("alarm_current_a", "alarm_current_a"),
                                    ("stroke_mm", "stroke_mm"),
                                    ("speed_mm_s", "speed_mm_s"),
                                    ("supply_limit_a", "supply_limit_a"),
                                    ("output_limit_a", "output_limit_a"),
                                    ("capacity_ah", "capacity_ah"),
                                    ("end_of_line_ohm", "end_of_line_ohm"),
                                    ("alarm_resistance_ohm", "alarm_resistance_ohm"),
                                    ("service_life_years", "service_life_years"),
                                    ("own_voltage_drop_v", "own_voltage_drop_v"),
                                    ("charger_current_a", "charger_current_a"),
                                    ("battery_fuse_a", "battery_fuse_a"),
                                    ("line_voltage_v", "line_voltage_v"),
                                    ("discharge_limit_a", "discharge_limit_a"),
                                    ("peukert_exponent", "peukert_exponent"),
                                    ("lower_voltage_v", "lower_voltage_v"),
                                    ("lower_speed_mm_s", "lower_speed_mm_s"),
                                    ("lower_current_a", "lower_current_a"),
                                    ("highest_voltage_v", "highest_voltage_v"),
                                    ("starting_s", "starting_s"),
                                    ("output_peak_a", "output_peak_a"),
                                    ("supply_peak_a", "supply_peak_a"),
                                    ("output_highest_v", "output_highest_v"),
                                    ("charging_limit_a", "charging_limit_a"),
                                    ("push_force_n", "push_force_n"),
                                    ("pull_force_n", "pull_force_n"),
                                    ("lower_push_force_n", "lower_push_force_n"),
                                    ("lower_pull_force_n", "lower_pull_force_n"),
                                    ("holding_force_n", "holding_force_n"),
                                    ("output_device_a", "output_device_a"),
                                    ("output_trip_a", "output_trip_a"),
                                    ("output_trip_s", "output_trip_s"),
                                    ("supply_fault_a", "supply_fault_a"),
                                    ("supply_fuse_a", "supply_fuse_a"),
                                    ("battery_lead_mm2", "battery_lead_mm2"),
                                    ("battery_lead_m", "battery_lead_m"),
                                    ("internal_resistance_mohm", "internal_resistance_mohm"),
                                    ("short_below_ohm", "short_below_ohm"),
                                    ("alarm_low_ohm", "alarm_low_ohm"),
                                    ("alarm_high_ohm", "alarm_high_ohm"),
                                    ("normal_low_ohm", "normal_low_ohm"),
                                    ("normal_high_ohm", "normal_high_ohm"),
                                    ("open_above_ohm", "open_above_ohm"),
                                ],
                                max_length=40,
                            ),
                        ),
                        ("value", models.DecimalField(decimal_places=6, max_digits=12)),
                        (
                            "value_on_record",
                            models.DecimalField(
                                blank=True,
                                decimal_places=6,
                                help_text="Of the model, before it was read.",
                                max_digits=12,
                                null=True,
                            ),
                        ),
                        ("read_at", models.DateTimeField(default=django.utils.timezone.now)),
                        (
                            "position",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plate_figures",
                                to="zones.position",
                            ),
                        ),
                        (
                            "product_model",
                            models.ForeignKey(
                                blank=True,
                                help_text="Empty: no model is on record at the position.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plate_figures",
                                to="zones.productmodel",
                            ),
                        ),
                        (
                            "read_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        ("kept_at", models.DateTimeField(blank=True, null=True)),
                        (
                            "kept_by",
                            models.ForeignKey(
                                blank=True,
                                help_text="Who kept the record against it.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        ("kept_reason", models.CharField(blank=True, max_length=200)),
                    ],
                    options={
                        "ordering": ["-read_at", "-pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("value__gt", 0)),
                                name="plate_figure_above_zero",
                                violation_error_message="A figure of a data plate is more than 0.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("kept_at", None), ("kept_by", None), ("kept_reason", "")),
                                    models.Q(
                                        ("kept_at__isnull", False),
                                        ("kept_by__isnull", False),
                                        ("value_on_record__isnull", False),
                                        models.Q(("kept_reason", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="plate_figure_record_kept_with_reason",
                                violation_error_message="Say why the record is kept, and who keeps it.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "name__in",
                                        (
                                            "rated_voltage_v",
                                            "minimum_voltage_v",
                                            "rated_current_a",
                                            "starting_current_a",
                                            "standby_current_a",
                                            "alarm_current_a",
                                            "stroke_mm",
                                            "speed_mm_s",
                                            "supply_limit_a",
                                            "output_limit_a",
                                            "capacity_ah",
                                            "end_of_line_ohm",
                                            "alarm_resistance_ohm",
                                            "service_life_years",
                                            "own_voltage_drop_v",
                                            "charger_current_a",
                                            "battery_fuse_a",
                                            "line_voltage_v",
                                            "discharge_limit_a",
                                            "peukert_exponent",
                                            "lower_voltage_v",
                                            "lower_speed_mm_s",
                                            "lower_current_a",
                                            "highest_voltage_v",
                                            "starting_s",
                                            "output_peak_a",
                                            "supply_peak_a",
                                            "output_highest_v",
                                            "charging_limit_a",
                                            "push_force_n",
                                            "pull_force_n",
                                            "lower_push_force_n",
                                            "lower_pull_force_n",
                                            "holding_force_n",
                                            "output_device_a",
                                            "output_trip_a",
                                            "output_trip_s",
                                            "supply_fault_a",
                                            "supply_fuse_a",
                                            "battery_lead_mm2",
                                            "battery_lead_m",
                                            "internal_resistance_mohm",
                                            "short_below_ohm",
                                            "alarm_low_ohm",
                                            "alarm_high_ohm",
                                            "normal_low_ohm",
                                            "normal_high_ohm",
                                            "open_above_ohm",
                                        ),
                                    )
                                ),
                                name="plate_figure_of_a_data_sheet",
                                violation_error_message="Choose a figure of a data sheet.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="DataLink",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "when_broken",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("fault", "fault shown; what lies behind the break does not release"),
                                    ("opens", "fault shown, and the vents of the zones behind the break open"),
                                    ("ring", "closed as a ring: fault shown, every call point still releases"),
                                ],
                                max_length=8,
                                verbose_name="when it is broken",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="data_links",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "number"],
                        "abstract": False,
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("wiring_complete_by", None), ("wiring_complete_on", None)),
                                    models.Q(
                                        ("wiring_complete_by__isnull", False), ("wiring_complete_on__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="datalink_declared_complete_by_somebody",
                                violation_error_message="Say both who declared the wiring complete and when.",
                            ),
                            models.UniqueConstraint(
                                fields=("panel", "number"),
                                name="data_link_number_unique_per_panel",
                                violation_error_message="This panel has a data link of this number already.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalDataLink",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "when_broken",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("fault", "fault shown; what lies behind the break does not release"),
                                    ("opens", "fault shown, and the vents of the zones behind the break open"),
                                    ("ring", "closed as a ring: fault shown, every call point still releases"),
                                ],
                                max_length=8,
                                verbose_name="when it is broken",
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
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical data link",
                        "verbose_name_plural": "historical data links",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalInputDevice",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("order", models.PositiveSmallIntegerField(default=1)),
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
                            "input_port",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.inputport",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical input device",
                        "verbose_name_plural": "historical input devices",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalLinkEntry",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("place", models.PositiveSmallIntegerField(verbose_name="place in the list")),
                        ("serial", models.CharField(blank=True, max_length=80, verbose_name="serial as listed")),
                        (
                            "number_given",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="number given by the panel"
                            ),
                        ),
                        (
                            "confirmed_how",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("serial", "serial read on the device"),
                                    ("operating", "operated, and seen at the panel"),
                                ],
                                max_length=12,
                                verbose_name="confirmed by",
                            ),
                        ),
                        ("confirmed_at", models.DateTimeField(blank=True, editable=False, null=True)),
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
                            "confirmed_by",
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
                            "data_link",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.datalink",
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
                                verbose_name="position confirmed",
                            ),
                        ),
                        (
                            "zone_assigned",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                                verbose_name="zone assigned at the panel",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical link entry",
                        "verbose_name_plural": "historical link entries",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalInputPort",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "function",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("open", "open"),
                                    ("close", "close"),
                                    ("stop", "stop"),
                                    ("open_close", "open and close in turn"),
                                    ("rain", "rain: close"),
                                    ("wind", "wind: close"),
                                    ("fire_alarm", "fire alarm: release"),
                                    ("reset", "reset"),
                                    ("out_of_service", "ventilation out of service"),
                                    ("other", "other"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "long_press",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("fully", "moves all the way"),
                                    ("held", "moves while held"),
                                    ("stop", "stops"),
                                    ("nothing", "does nothing"),
                                ],
                                max_length=8,
                                verbose_name="long press",
                            ),
                        ),
                        (
                            "short_press",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("fully", "moves all the way"),
                                    ("held", "moves while held"),
                                    ("stop", "stops"),
                                    ("nothing", "does nothing"),
                                ],
                                max_length=8,
                                verbose_name="short press",
                            ),
                        ),
                        ("is_monitored", models.BooleanField(default=False, verbose_name="monitored")),
                        (
                            "end_of_line_ohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="end-of-line resistor (Ω)",
                            ),
                        ),
                        (
                            "end_place",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("last_device", "at the last device"),
                                    ("in_box", "in a junction box"),
                                    ("panel_terminal", "at its own terminals (unused)"),
                                    ("missing", "missing"),
                                    ("none_needed", "none needed"),
                                ],
                                max_length=16,
                                verbose_name="place of the resistor",
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
                        (
                            "panel",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "starts_at",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                help_text="Empty: at the panel.",
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.position",
                                verbose_name="starts at device",
                            ),
                        ),
                        (
                            "vent_group",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.ventgroup",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical input port",
                        "verbose_name_plural": "historical input ports",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="InputDevice",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("order", models.PositiveSmallIntegerField(default=1)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "position",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="wired_inputs",
                                to="zones.position",
                            ),
                        ),
                        (
                            "input_port",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="wired_devices",
                                to="zones.inputport",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["input_port", "order", "pk"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("input_port", "position"),
                                name="input_device_once_per_input",
                                violation_error_message="This device is on this input already.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="LinkEntry",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("place", models.PositiveSmallIntegerField(verbose_name="place in the list")),
                        ("serial", models.CharField(blank=True, max_length=80, verbose_name="serial as listed")),
                        (
                            "number_given",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="number given by the panel"
                            ),
                        ),
                        (
                            "confirmed_how",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("serial", "serial read on the device"),
                                    ("operating", "operated, and seen at the panel"),
                                ],
                                max_length=12,
                                verbose_name="confirmed by",
                            ),
                        ),
                        ("confirmed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "confirmed_by",
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
                            "data_link",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT, related_name="entries", to="zones.datalink"
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="link_entries",
                                to="zones.position",
                                verbose_name="position confirmed",
                            ),
                        ),
                        (
                            "zone_assigned",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="zones.smokezone",
                                verbose_name="zone assigned at the panel",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "link entries",
                        "ordering": ["data_link", "place"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("data_link", "place"),
                                name="link_entry_place_unique_per_link",
                                violation_error_message="This place in the list of the link is taken already.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("number_given__isnull", False)),
                                fields=("data_link", "number_given"),
                                name="link_entry_number_unique_per_link",
                                violation_error_message="The panel gave this number to another call point of the link.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("serial", ""), _negated=True),
                                fields=("data_link", "serial"),
                                name="link_entry_serial_unique_per_link",
                                violation_error_message="This serial is in the list of the link already.",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("position__isnull", False)),
                                fields=("position",),
                                name="link_entry_one_per_position",
                                violation_error_message="Another entry is confirmed for this position. Free that one first.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("confirmed_at", None), ("confirmed_how", ""), ("position", None)),
                                    models.Q(
                                        ("confirmed_at__isnull", False),
                                        ("position__isnull", False),
                                        models.Q(("confirmed_how", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="link_entry_place_confirmed_somehow",
                                violation_error_message="Say by what the position was confirmed: by its serial, or by operating it.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="InputPort",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "wiring_complete_on",
                            models.DateField(
                                blank=True, editable=False, null=True, verbose_name="wiring declared complete on"
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField()),
                        ("name", models.CharField(blank=True, max_length=120)),
                        (
                            "function",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("open", "open"),
                                    ("close", "close"),
                                    ("stop", "stop"),
                                    ("open_close", "open and close in turn"),
                                    ("rain", "rain: close"),
                                    ("wind", "wind: close"),
                                    ("fire_alarm", "fire alarm: release"),
                                    ("reset", "reset"),
                                    ("out_of_service", "ventilation out of service"),
                                    ("other", "other"),
                                ],
                                max_length=16,
                            ),
                        ),
                        (
                            "long_press",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("fully", "moves all the way"),
                                    ("held", "moves while held"),
                                    ("stop", "stops"),
                                    ("nothing", "does nothing"),
                                ],
                                max_length=8,
                                verbose_name="long press",
                            ),
                        ),
                        (
                            "short_press",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("fully", "moves all the way"),
                                    ("held", "moves while held"),
                                    ("stop", "stops"),
                                    ("nothing", "does nothing"),
                                ],
                                max_length=8,
                                verbose_name="short press",
                            ),
                        ),
                        ("is_monitored", models.BooleanField(default=False, verbose_name="monitored")),
                        (
                            "end_of_line_ohm",
                            models.DecimalField(
                                blank=True,
                                decimal_places=1,
                                max_digits=9,
                                null=True,
                                verbose_name="end-of-line resistor (Ω)",
                            ),
                        ),
                        (
                            "end_place",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("last_device", "at the last device"),
                                    ("in_box", "in a junction box"),
                                    ("panel_terminal", "at its own terminals (unused)"),
                                    ("missing", "missing"),
                                    ("none_needed", "none needed"),
                                ],
                                max_length=16,
                                verbose_name="place of the resistor",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "devices",
                            models.ManyToManyField(
                                related_name="input_ports", through="zones.InputDevice", to="zones.position"
                            ),
                        ),
                        (
                            "panel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="input_ports",
                                to="zones.controlpanel",
                            ),
                        ),
                        (
                            "smoke_zone",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="input_ports",
                                to="zones.smokezone",
                            ),
                        ),
                        (
                            "starts_at",
                            models.ForeignKey(
                                blank=True,
                                help_text="Empty: at the panel.",
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="inputs_offered",
                                to="zones.position",
                                verbose_name="starts at device",
                            ),
                        ),
                        (
                            "vent_group",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="input_ports",
                                to="zones.ventgroup",
                            ),
                        ),
                        (
                            "wiring_complete_by",
                            models.ForeignKey(
                                blank=True,
                                editable=False,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                                verbose_name="wiring declared complete by",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["panel", "number"],
                        "abstract": False,
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("wiring_complete_by", None), ("wiring_complete_on", None)),
                                    models.Q(
                                        ("wiring_complete_by__isnull", False), ("wiring_complete_on__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="inputport_declared_complete_by_somebody",
                                violation_error_message="Say both who declared the wiring complete and when.",
                            ),
                            models.UniqueConstraint(
                                fields=("panel", "number"),
                                name="input_port_number_unique_per_panel",
                                violation_error_message="This panel has an input of this number already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("end_of_line_ohm", None), ("end_of_line_ohm__gt", 0), _connector="OR"
                                ),
                                name="input_port_element_above_zero",
                                violation_error_message="End-of-line resistor: leave it empty if not known, else more than 0 Ω.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="EndOfLinePart",
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
                                choices=[("resistor", "resistor"), ("module", "module")],
                                default="resistor",
                                max_length=8,
                            ),
                        ),
                        (
                            "value_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="value (Ω)"
                            ),
                        ),
                        (
                            "tolerance_percent",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=4, null=True, verbose_name="tolerance (%)"
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        (
                            "first",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="end_of_line_parts_from",
                                to="zones.terminal",
                            ),
                        ),
                        (
                            "second",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="end_of_line_parts_to",
                                to="zones.terminal",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "end-of-line resistor or module",
                        "ordering": ["first", "second", "pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("first", models.F("second")), _negated=True),
                                name="end_of_line_part_between_two_terminals",
                                violation_error_message="An end-of-line resistor or module is across two different terminals.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("value_ohm", None), ("value_ohm__gt", 0), _connector="OR"),
                                name="end_of_line_part_value_above_zero",
                                violation_error_message="Value: leave it empty if not known, else more than 0 Ω.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("tolerance_percent", None),
                                    models.Q(("tolerance_percent__gte", 0), ("tolerance_percent__lte", 50)),
                                    _connector="OR",
                                ),
                                name="end_of_line_part_tolerance_possible",
                                violation_error_message="Tolerance: leave it empty if not known, else 0 to 50 percent.",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalEndOfLinePart",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        (
                            "kind",
                            models.CharField(
                                choices=[("resistor", "resistor"), ("module", "module")],
                                default="resistor",
                                max_length=8,
                            ),
                        ),
                        (
                            "value_ohm",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=9, null=True, verbose_name="value (Ω)"
                            ),
                        ),
                        (
                            "tolerance_percent",
                            models.DecimalField(
                                blank=True, decimal_places=1, max_digits=4, null=True, verbose_name="tolerance (%)"
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
                            "first",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.terminal",
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
                            "second",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.terminal",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name": "historical end-of-line resistor or module",
                        "verbose_name_plural": "historical end-of-line resistor or modules",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="PlaceConfirmation",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        (
                            "method",
                            models.CharField(
                                choices=[
                                    ("serial", "serial read at the place"),
                                    ("operated", "seen to move or report when its terminal was driven"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("at", models.DateTimeField(default=django.utils.timezone.now)),
                        ("note", models.CharField(blank=True, max_length=300)),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "fitting",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="place_confirmations",
                                to="zones.fitting",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-pk"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("method", "operated"), _negated=True),
                                    models.Q(("note", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="place_confirmation_by_operating_has_a_note",
                                violation_error_message="Say which terminal was driven and what was seen.",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="FloorPlan",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("storey", models.CharField(blank=True, help_text="As the positions name it.", max_length=40)),
                        ("revision", models.PositiveIntegerField(editable=False)),
                        ("is_in_force", models.BooleanField(default=True, editable=False)),
                        (
                            "title",
                            models.CharField(blank=True, max_length=120, verbose_name="number or title of the drawing"),
                        ),
                        ("drawn_on", models.DateField(blank=True, null=True, verbose_name="date of the drawing")),
                        ("file", models.FileField(help_text="As it was uploaded.", max_length=200, upload_to="")),
                        ("file_name", models.CharField(editable=False, max_length=200)),
                        ("media_type", models.CharField(editable=False, max_length=100)),
                        ("sha256", models.CharField(editable=False, max_length=64)),
                        (
                            "page_number",
                            models.PositiveIntegerField(blank=True, editable=False, help_text="Of a PDF.", null=True),
                        ),
                        (
                            "picture",
                            models.FileField(
                                help_text="The plan as it is shown, upright.", max_length=200, upload_to=""
                            ),
                        ),
                        ("picture_type", models.CharField(editable=False, max_length=20)),
                        ("width_px", models.PositiveIntegerField(editable=False)),
                        ("height_px", models.PositiveIntegerField(editable=False)),
                        ("added_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        (
                            "added_by",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "building",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="floor_plans",
                                to="sites_registry.building",
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                    ],
                    options={
                        "ordering": ["building", "storey", "-revision"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("building", "storey", "revision"), name="floor_plan_revision_once_per_storey"
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("is_in_force", True)),
                                fields=("building", "storey"),
                                name="floor_plan_one_in_force_per_storey",
                                violation_error_message="Another plan of this storey is in force already.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("height_px__gt", 0), ("width_px__gt", 0)),
                                name="floor_plan_has_a_size",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("page_number", None), ("page_number__gt", 0), _connector="OR"),
                                name="floor_plan_page_counts_from_one",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="HistoricalFloorPlan",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("storey", models.CharField(blank=True, help_text="As the positions name it.", max_length=40)),
                        ("revision", models.PositiveIntegerField(editable=False)),
                        ("is_in_force", models.BooleanField(default=True, editable=False)),
                        (
                            "title",
                            models.CharField(blank=True, max_length=120, verbose_name="number or title of the drawing"),
                        ),
                        ("drawn_on", models.DateField(blank=True, null=True, verbose_name="date of the drawing")),
                        ("file", models.TextField(help_text="As it was uploaded.", max_length=200)),
                        ("file_name", models.CharField(editable=False, max_length=200)),
                        ("media_type", models.CharField(editable=False, max_length=100)),
                        ("sha256", models.CharField(editable=False, max_length=64)),
                        (
                            "page_number",
                            models.PositiveIntegerField(blank=True, editable=False, help_text="Of a PDF.", null=True),
                        ),
                        ("picture", models.TextField(help_text="The plan as it is shown, upright.", max_length=200)),
                        ("picture_type", models.CharField(editable=False, max_length=20)),
                        ("width_px", models.PositiveIntegerField(editable=False)),
                        ("height_px", models.PositiveIntegerField(editable=False)),
                        ("added_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
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
                            "added_by",
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
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                    ],
                    options={
                        "verbose_name": "historical floor plan",
                        "verbose_name_plural": "historical floor plans",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="HistoricalPlanPlace",
                    fields=[
                        ("id", models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name="ID")),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        ("x", models.FloatField(help_text="0 at the left edge of the upright plan, 1 at the right.")),
                        ("y", models.FloatField(help_text="0 at the upper edge, 1 at the lower.")),
                        ("placed_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("confirmed_at", models.DateTimeField(blank=True, editable=False, null=True)),
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
                            "confirmed_by",
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
                            "placed_by",
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
                            "plan",
                            models.ForeignKey(
                                blank=True,
                                db_constraint=False,
                                null=True,
                                on_delete=django.db.models.deletion.DO_NOTHING,
                                related_name="+",
                                to="zones.floorplan",
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
                    ],
                    options={
                        "verbose_name": "historical plan place",
                        "verbose_name_plural": "historical plan places",
                        "ordering": ("-history_date", "-history_id"),
                        "get_latest_by": ("history_date", "history_id"),
                    },
                    bases=(simple_history.models.HistoricalChanges, models.Model),
                ),
                migrations.CreateModel(
                    name="PlanPlace",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                            ),
                        ),
                        ("row_version", models.PositiveIntegerField(default=0, editable=False)),
                        ("x", models.FloatField(help_text="0 at the left edge of the upright plan, 1 at the right.")),
                        ("y", models.FloatField(help_text="0 at the upper edge, 1 at the lower.")),
                        ("placed_at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                        ("confirmed_at", models.DateTimeField(blank=True, editable=False, null=True)),
                        (
                            "confirmed_by",
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
                            "placed_by",
                            models.ForeignKey(
                                editable=False,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "plan",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT, related_name="places", to="zones.floorplan"
                            ),
                        ),
                        (
                            "position",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plan_places",
                                to="zones.position",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["plan", "position"],
                        "constraints": [
                            models.UniqueConstraint(fields=("plan", "position"), name="plan_place_once_per_position"),
                            models.CheckConstraint(
                                condition=models.Q(("x__gte", 0), ("x__lte", 1), ("y__gte", 0), ("y__lte", 1)),
                                name="plan_place_lies_on_the_plan",
                                violation_error_message="The place lies beside the plan.",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("confirmed_at", None), ("confirmed_by", None)),
                                    models.Q(("confirmed_at__isnull", False), ("confirmed_by__isnull", False)),
                                    _connector="OR",
                                ),
                                name="plan_place_is_confirmed_by_somebody",
                            ),
                        ],
                    },
                ),
            ],
        ),
    ]
