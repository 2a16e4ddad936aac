"""Sign-offs of the demo: the newest visit of each building, signed on glass with an invented hand."""

import math

from inspections.models import SignOff
from inspections.sign_offs.standing import stood_of
from inspections.sign_offs.taking import take_sign_off

WIDTH_PX, HEIGHT_PX = 358, 160


def sign_off(visit, engineer):
    responsible = visit.building.responsible_person
    if not responsible:
        return take_sign_off(
            visit=visit,
            taken_by=engineer,
            how=SignOff.How.NOBODY,
            why_nobody="Caretaker off site; the office told by telephone that the visit is over.",
            notice_given="Left in the log book's folder at the panel, and by e-mail."
            if stood_of(visit).impaired
            else "",
        )
    return take_sign_off(
        visit=visit,
        taken_by=engineer,
        how=SignOff.How.GLASS,
        name=f"{responsible}, responsible person",
        signature=_drawn(visit.pk),
        notice_given=f"{responsible}, on paper." if stood_of(visit).impaired else "",
    )


def _drawn(number):
    """A hand of loops, another for each visit."""
    first = [_point(step, 40, 3.2, 26, number) for step in range(48)]
    second = [_point(step, 205, 2.4, 12, number + 3) for step in range(36)]
    return {"width": WIDTH_PX, "height": HEIGHT_PX, "strokes": [first, second]}


def _point(step, left_px, slope_px, height_px, number):
    turn = step / (2.6 + number % 3)
    x = left_px + slope_px * step + 9 * math.cos(turn)
    y = 84 - height_px * math.sin(turn) * (1 - step / 90)
    return [round(x, 1), round(y, 1), 18 * step, 0.5]
