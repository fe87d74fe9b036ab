"""What those find who do not see a page, or see it otherwise: axe-core, accessibility tree, colours against each other.

axe-core comes with axe-playwright-python; the tree is the one that Chromium hands to a screen reader
(Accessibility.getFullAXTree of its own protocol); contrast is WCAG 2.2's.
"""
import re

from axe_playwright_python.base import AXE_SCRIPT

ROLES = ("button", "slider", "region", "group", "status", "heading", "combobox", "checkbox", "textbox", "tab",
         "DisclosureTriangle")

LOOK = """async where => {
    const place = where.length ? {include: where.map(one => [one])} : document;
    const {passes, violations} = await axe.run(place, {resultTypes: ["violations"]});
    return [passes.length, violations.flatMap(rule => rule.nodes.map(node => [rule.id, node.html.slice(0, 120)]))];
}"""


def violations(page, *where):
    """(rule, the element's beginning) for each finding of axe-core in these places, or on the whole page."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)  # once a page: it is half a megabyte
    looked_at, found = page.evaluate(LOOK, list(where))
    assert looked_at, "axe-core looked at nothing"
    return [tuple(one) for one in found]


def tree(page, roles=ROLES):
    """(role, name, value) in the order in which a screen reader comes to them."""
    nodes = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")["nodes"]
    by_id, found = {node["nodeId"]: node for node in nodes}, []

    def told(node, what):
        return " ".join(str(node.get(what, {}).get("value", "")).split())

    def walk(node):
        role, name = told(node, "role"), told(node, "name")
        if not node.get("ignored") and role in roles and (name or role not in ("status", "group")):
            found.append((role, name, told(node, "value")))
        for child in node.get("childIds", []):
            walk(by_id[child])

    walk(nodes[0])
    return found


def rgb(colour):
    """Red, green and blue, 0 to 255, of "rgb(38, 36, 34)" or "color(srgb 0.5 0.5 0.5)", as a browser writes them."""
    parts = [float(part) for part in re.findall(r"[\d.]+", colour)[:3]]
    return [255 * part for part in parts] if colour.startswith("color(srgb ") else parts


def luminance(colour):
    """Relative luminance of an sRGB colour, WCAG 2.2 glossary."""
    parts = [part / 255 for part in colour]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


UNSEEN = {"paper-fill", "hit", "rowhit", "shut-hit", "halo-ring", "halo"}  # what only covers, and what is only pressed
SHAPES = """where => {
    const probe = document.body.appendChild(document.createElement('i'));
    probe.style.backgroundColor = 'Canvas';
    const canvas = getComputedStyle(probe).backgroundColor;
    probe.remove();
    const all = document.querySelectorAll(`${where} svg :is(path, circle, rect, line, text, ellipse)`);
    const asked = {visibilityProperty: true, opacityProperty: true};
    const seen = [...all].filter(node => node.checkVisibility(asked) && node.getClientRects().length);
    return [canvas, seen.map(node => {
        const {stroke, strokeWidth, fill} = getComputedStyle(node);
        return [(node.getAttribute('class') ?? '').split(' ')[0], parseFloat(strokeWidth) ? stroke : '', fill];
    })];
}"""


def faint(page, where, least=40):
    """Kinds of shapes of which neither line nor surface stands 3 to 1 (WCAG 2.2, 1.4.11) against the reader's ground."""
    canvas, shapes = page.evaluate(SHAPES, where)
    assert len(shapes) > least

    def stands_out(colour):
        return colour.startswith(("rgb(", "color(srgb ")) and contrast(rgb(colour), rgb(canvas)) >= 3

    return {kind for kind, *colours in shapes if not any(map(stands_out, colours))} - UNSEEN
