"""A signature drawn again: strokes of points (`inspections/sign_offs/strokes.py`) become paths and a picture."""


def paths_of(signature):
    """Each stroke as the data of an SVG path; a dot as the shortest line, which round ends make a dot."""
    return [_path(stroke) for stroke in signature["strokes"]]


def _path(stroke):
    first, *rest = ([x, y] for x, y, _, _ in stroke)
    lines = "".join(f"L{x:g} {y:g}" for x, y in rest or [[first[0] + 0.1, first[1]]])
    return f"M{first[0]:g} {first[1]:g}{lines}"


def svg_of(signature):
    """The signature as a picture (SVG bytes), for paper."""
    return svg_of_paths(width=signature["width"], height=signature["height"], paths=paths_of(signature))


def svg_of_paths(*, width, height, paths):
    drawn = "".join(f'<path d="{path}"/>' for path in paths)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}">'
        '<g fill="none" stroke="#000" stroke-width="2" stroke-linecap="round" stroke-linejoin="round">'
        f"{drawn}</g></svg>"
    ).encode()
