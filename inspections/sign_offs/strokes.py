"""A signature as it was drawn on glass: strokes of points with their time; read and checked."""

import json
import math

MOST_STROKES = 200
MOST_POINTS = 6_000
LARGEST_SIDE = 4_000  # of the field that was signed in, in CSS px
LONGEST_MS = 3_600_000
LEAST_REACH = 20  # px; less is a slip of the finger
NO_SIGNATURE = "Sign in the field above, or choose how the visit was signed off instead."
TOO_SMALL = "This is too small for a signature. Clear the field and sign again."


class SignatureError(ValueError):
    """What was sent is no signature; the sentence says what to do."""


def read_signature(text):
    """{"width", "height", "strokes": [[[x, y, ms, pressure], …], …]} from what the field sent, numbers rounded.

    Raises: SignatureError.
    """
    if not text.strip():
        raise SignatureError(NO_SIGNATURE)
    try:
        sent = json.loads(text)
        width, height = (_number(sent[name], 1, LARGEST_SIDE) for name in ("width", "height"))
        strokes = [[_point(point, width, height) for point in stroke] for stroke in sent["strokes"] if stroke]
    except (ValueError, TypeError, KeyError, IndexError, RecursionError) as error:
        raise SignatureError("The signature did not arrive whole. Clear the field and sign again.") from error
    if len(strokes) > MOST_STROKES or sum(map(len, strokes)) > MOST_POINTS:
        raise SignatureError("This is drawn over too often to be a signature. Clear the field and sign again.")
    if _reach(strokes) < LEAST_REACH:
        raise SignatureError(TOO_SMALL)
    return {"width": width, "height": height, "strokes": strokes}


def _point(point, width, height):
    x, y, at_ms, pressure = point
    # A finger may leave the field; what lies far out of it is no drawing in it.
    return [
        _number(x, -width, 2 * width),
        _number(y, -height, 2 * height),
        _number(at_ms, 0, LONGEST_MS),
        _number(pressure, 0, 1),
    ]


def _number(value, least, most):
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(value)
    if not least <= value <= most:
        raise ValueError(value)
    return round(value, 2)


def _reach(strokes):
    """The longer side of the box around all points."""
    points = [point for stroke in strokes for point in stroke]
    if not points:
        return 0
    return max(max(axis) - min(axis) for axis in list(zip(*points, strict=True))[:2])
