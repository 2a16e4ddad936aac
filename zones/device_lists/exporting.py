"""A building's device list as a table that the import takes back without a change."""

from sites_registry.spreadsheets import Sheet, csv_of, workbook_of
from zones.device_lists.columns import EXPORTED
from zones.device_lists.rows import stored_cells
from zones.models import Fitting, Position

HEADINGS = tuple(column.heading for column in EXPORTED)
NUMBERS = {"zone_number", "vent_group", "circuit", "line", "data_link", "order_on_line", "walking_order"}


def device_list_rows(building):
    """Lists of texts, one per position in use, in walking order; two queries for any number.

    Positions no longer used are left out: an import does not take them back.
    """
    fittings = Fitting.objects.open().filter(position__building=building).select_related("unit__product_model__maker")
    by_position = {fitting.position_id: fitting for fitting in fittings}
    positions = Position.objects.filter(building=building).in_use().with_wiring().in_walking_order()
    for position in positions:
        cells = stored_cells(position, by_position.get(position.pk))
        yield [cells[column.key] for column in EXPORTED]


def device_list_csv(building):
    return csv_of(HEADINGS, device_list_rows(building))


def device_list_xlsx(building):
    numbers = tuple(index for index, column in enumerate(EXPORTED) if column.key in NUMBERS)
    rows = device_list_rows(building)
    return workbook_of(Sheet(title="Device list", headings=HEADINGS, rows=rows, numbers=numbers, freeze="A2"))
