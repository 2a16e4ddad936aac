"""Hazards of a step and the order of power, in templates."""

from django import template
from django.utils.html import format_html_join
from django.utils.safestring import mark_safe

from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF

register = template.Library()


@register.simple_tag
def hazard_marks(hazards):
    """Each hazard as sign + words; nothing where there is none."""
    marks = format_html_join(
        mark_safe(" "),
        '<span class="hazard"><span class="sign" aria-hidden="true">{}</span>{}</span>',
        ((one.sign, one.words) for one in hazards),
    )
    return marks and mark_safe(f'<span class="hazards">{marks}</span>')  # noqa: S308 built of escaped parts


@register.simple_tag
def before_a_guard_comes_off():
    """How a panel is isolated, in a breath."""
    return BEFORE_A_GUARD_COMES_OFF
