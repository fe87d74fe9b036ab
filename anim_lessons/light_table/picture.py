"""A still picture of the light table, for where no kernel and no browser draws it.

A page made of a notebook shows this in place of the table. Same action, same picture.
"""

from xml.sax.saxutils import escape

from .desk import EXPOSED

PAPER, INK, MID, LIGHT = "#fdfcf7", "#262422", "#57534c", "#858078"
BEFORE = ((1.9, "16 3"), (1.4, "9 4"))        # width and dash, the nearest first
AFTER = ((2.3, ".1 4.6"), (1.9, ".1 6.2"))    # round dots


def svg(action, number=1):
    """The drawing under work, two neighbours each side, and the path of each limb's end joint.

    Parameters
    ----------
    action : Action
    number : int
        Of the drawing under work, from 1.

    Returns
    -------
    str
        SVG 1.1, one unit half a millimetre of paper.
    """
    width, height = (2 * side for side in action.paper)
    number = min(max(number, 1), action.count)
    title, exposed = _titled(action)
    lines = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" width="{width:g}" role="img" '
            f'aria-label="{_attribute(label(action, number))}" '
            'font-family="sans-serif" fill="none" stroke-linecap="round" stroke-linejoin="round">'
        ),
        f'<rect width="{width:g}" height="{height:g}" fill="{PAPER}" stroke="{LIGHT}"/>',
    ]
    for limb in action.limbs:
        drawings = [[(2 * x, height - 2 * y) for x, y in drawing] for drawing in limb.drawings.tolist()]
        ends = [drawing[-1] for drawing in drawings]
        lines.append(_line(ends, LIGHT, 1, closed=action.loop))
        lines += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.6" fill="{PAPER}" stroke="{INK}"/>' for x, y in ends]
        for far in (2, 1):
            for side, (stroke, dash) in ((-far, BEFORE[far - 1]), (far, AFTER[far - 1])):
                d = number - 1 + side
                if action.loop or 0 <= d < action.count:
                    lines.append(_line(drawings[d % action.count], MID, stroke, dash))
        under_work = drawings[number - 1]
        lines.append(_line(under_work, INK, 4))
        lines += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>'
                  for x, y in under_work]
    lines += [
        (
            f'<text x="18" y="36" font-size="27" font-weight="bold" fill="{INK}">{number}'
            f'<tspan font-size="12" font-weight="normal" fill="{MID}"> of {action.count}</tspan></text>'
        ),
        f'<text x="18" y="56" font-size="12" fill="{MID}">{escape(title)}, {exposed}</text>',
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def label(action, number=1):
    """The picture in words."""
    title, exposed = _titled(action)
    return f"Light table, {title}: drawing {min(max(number, 1), action.count)} of {action.count}, {exposed}"


def _titled(action):
    return action.title or "an action", EXPOSED.get(action.exposure, "at its exposure")


def _line(points, ink, width, dash="", closed=False):
    d = "M" + "L".join(f"{x:.1f},{y:.1f}" for x, y in points) + ("Z" if closed else "")
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="{d}" stroke="{ink}" stroke-width="{width}"{dashed}/>'


def _attribute(text):
    return escape(text, {'"': "&quot;"})
