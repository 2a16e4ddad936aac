from django.db import migrations, models

import zones.models.product_models


class Migration(migrations.Migration):
    dependencies = [
        ("zones", "0027_angle_of_test"),
    ]

    operations = [
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="battery_fuse_kind",
            field=models.CharField(
                blank=True,
                choices=zones.models.product_models.choices_of_fuses,
                max_length=12,
                verbose_name="kind of battery fuse",
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="highest_voltage_v",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=5, null=True, verbose_name="greatest voltage allowed (V)"
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="lower_current_a",
            field=models.DecimalField(
                blank=True, decimal_places=3, max_digits=7, null=True, verbose_name="current at lower voltage (A)"
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="lower_speed_mm_s",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=6, null=True, verbose_name="speed at lower voltage (mm/s)"
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="lower_voltage_v",
            field=models.DecimalField(
                blank=True,
                decimal_places=2,
                max_digits=5,
                null=True,
                verbose_name="lower voltage on its data sheet (V)",
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="output_peak_a",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="peak current of one output (A)"
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="starting_s",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=5, null=True, verbose_name="starting current lasts (s)"
            ),
        ),
        migrations.AlterField(
            model_name="historicalproductmodel",
            name="supply_peak_a",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="peak current of the supply (A)"
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="battery_fuse_kind",
            field=models.CharField(
                blank=True,
                choices=zones.models.product_models.choices_of_fuses,
                max_length=12,
                verbose_name="kind of battery fuse",
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="highest_voltage_v",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=5, null=True, verbose_name="greatest voltage allowed (V)"
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="lower_current_a",
            field=models.DecimalField(
                blank=True, decimal_places=3, max_digits=7, null=True, verbose_name="current at lower voltage (A)"
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="lower_speed_mm_s",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=6, null=True, verbose_name="speed at lower voltage (mm/s)"
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="lower_voltage_v",
            field=models.DecimalField(
                blank=True,
                decimal_places=2,
                max_digits=5,
                null=True,
                verbose_name="lower voltage on its data sheet (V)",
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="output_peak_a",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="peak current of one output (A)"
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="starting_s",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=5, null=True, verbose_name="starting current lasts (s)"
            ),
        ),
        migrations.AlterField(
            model_name="productmodel",
            name="supply_peak_a",
            field=models.DecimalField(
                blank=True, decimal_places=2, max_digits=7, null=True, verbose_name="peak current of the supply (A)"
            ),
        ),
    ]
