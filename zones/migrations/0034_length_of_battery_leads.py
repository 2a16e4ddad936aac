"""How long the leads of a battery are: their resistance lies in the loop of every short circuit that it feeds."""

from django.db import migrations, models
from django.db.models import Q

LENGTH = models.DecimalField(
    "length of the battery leads, one way (m)", max_digits=5, decimal_places=2, null=True, blank=True
)
# Every figure of a data sheet from now on.
FIGURES = (
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
)


class Migration(migrations.Migration):
    dependencies = [("zones", "0033_files_of_instruments_and_qualifications")]

    operations = [
        *(migrations.AddField(name, "battery_lead_m", LENGTH) for name in ("ProductModel", "HistoricalProductModel")),
        migrations.AddConstraint(
            "ProductModel",
            models.CheckConstraint(
                condition=Q(battery_lead_m=None) | Q(battery_lead_m__gt=0),
                name="product_model_battery_lead_m_above_zero",
                violation_error_message="Battery lead: leave it empty if not known, else more than 0.",
            ),
        ),
        migrations.RemoveConstraint("PlateFigure", "plate_figure_of_a_data_sheet"),
        migrations.AlterField(
            "PlateFigure", "name", models.CharField(max_length=40, choices=[(name, name) for name in FIGURES])
        ),
        migrations.AddConstraint(
            "PlateFigure",
            models.CheckConstraint(
                condition=Q(name__in=FIGURES),
                name="plate_figure_of_a_data_sheet",
                violation_error_message="Choose a figure of a data sheet.",
            ),
        ),
    ]
