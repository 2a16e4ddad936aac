"""Rules across a position's relations, which no single-table constraint can hold."""

from django.core.exceptions import ValidationError

from zones.engineering.kind_facts import Run
from zones.models.kinds import DRIVES, WITHOUT_UNIT, DeviceKind, kinds_where, with_article

NOT_ON_A_LINE = kinds_where(lambda facts: Run.LINE not in facts.hangs_on)
NOT_ON_A_LINK = kinds_where(lambda facts: Run.LINK not in facts.hangs_on)


def check_position(position):
    """Raise ValidationError, by field, where a relation of the position is of another building or disagrees."""
    errors = {}
    building_of = {
        "smoke_zone": lambda zone: zone.building_id,
        "vent_group": lambda group: group.smoke_zone.building_id,
        "vent": lambda vent: vent.smoke_zone.building_id,
        "panel": lambda panel: panel.building_id,
        "actuator_circuit": lambda circuit: circuit.panel.building_id,
        "detection_line": lambda line: line.panel.building_id,
        "data_link": lambda link: link.panel.building_id,
    }
    for name, building_id in building_of.items():
        record = getattr(position, name)
        if record and position.building_id and building_id(record) != position.building_id:
            errors[name] = f"{record} belongs to another building. Choose one of this building."
    if not errors:
        errors = _disagreements(position)
    if position.kind and position.product_model and position.product_model.kind != position.kind:
        errors["product_model"] = (
            f"{position.product_model} is {with_article(position.product_model.get_kind_display())}, "
            f"this position needs {with_article(position.get_kind_display())}."
        )
    if kind_error := _kind_is_bound(position):
        errors["kind"] = kind_error
    if errors:
        raise ValidationError(errors)


def is_of_a_panel(position):
    """Whether a control panel is recorded at this position."""
    return position.kind == DeviceKind.CONTROL_PANEL and hasattr(position, "control_panel")


def check_has_terminals_of_its_own(position):
    """Raise ValidationError at the position of a control panel: its terminals are the panel's."""
    if is_of_a_panel(position):
        raise ValidationError(f"{position} is a control panel. Add its terminals on the page Terminals of the panel.")


def _kind_is_bound(position):
    """A sentence when the kind changes although the unit or the panel at the position says otherwise, else None."""
    stored = type(position).objects.filter(pk=position.pk).first() if position.pk else None
    if stored is None or stored.kind == position.kind:
        return None
    if hasattr(stored, "control_panel"):
        return f"{stored} is the position of a control panel and stays one. Give it up instead."
    fitting = stored.fittings.open().select_related("unit").first()
    if fitting:
        kind = with_article(stored.get_kind_display())
        return f"Unit '{fitting.unit}' at {stored} is {kind}. Take it off before changing the kind."
    return None


def _disagreements(position):
    errors = {}
    zone_id = position.smoke_zone_id
    if position.vent_group_id and position.vent_group.smoke_zone_id != zone_id:
        errors["vent_group"] = (
            f"{position.vent_group} is a group of {position.vent_group.smoke_zone}. Choose that zone."
        )
    if position.vent_id and position.vent.smoke_zone_id != zone_id:
        errors["vent"] = f"Vent {position.vent} is in {position.vent.smoke_zone}. Choose that zone."
    if position.vent_id and position.kind not in DRIVES:
        errors["vent"] = "Only an actuator moves a vent. Leave the vent empty."
    if position.actuator_circuit_id and position.kind not in DRIVES:
        errors["actuator_circuit"] = "Only an actuator is fed by an actuator circuit. Leave it empty."
    kind = with_article(position.get_kind_display()).capitalize() if position.kind else ""
    if position.detection_line_id and position.kind in NOT_ON_A_LINE:
        where = "an actuator circuit, not on a detection line" if position.kind in DRIVES else "no line"
        why = ": its cables say what runs through it" if position.kind in WITHOUT_UNIT else ""
        errors["detection_line"] = f"{kind} is on {where}{why}. Leave it empty."
    if position.data_link_id and position.kind in NOT_ON_A_LINK:
        errors["data_link"] = f"{kind} is on no data link. Leave it empty."
    elif position.data_link_id and position.panel_id and position.panel_id != position.data_link.panel_id:
        errors["data_link"] = f"{position.data_link} is of another panel than {position.panel}. Choose one of the two."
    return errors
