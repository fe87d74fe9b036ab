"""What those find who do not see a page, or see it otherwise: axe-core, the accessibility tree, colours against each other.

axe-core comes with axe-playwright-python; the tree is the one Chromium hands to a screen reader (Accessibility.getFullAXTree of its
own protocol); contrast is reckoned as WCAG 2.2 has it (relative luminance, from memory).
"""
import re

from axe_playwright_python.base import AXE_SCRIPT

ROLES = ("button", "slider", "region", "group", "status", "heading", "combobox", "checkbox", "textbox", "DisclosureTriangle", "tab")


def violations(page, *where):
    """(rule, the element's beginning) for each finding of axe-core in these places, or on the whole page."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)  # once a page: it is half a megabyte
    looked_at, found = page.evaluate("""async where => {
        const found = await axe.run(where.length ? {include: where.map(one => [one])} : document, {resultTypes: ["violations"]});
        return [found.passes.length, found.violations.flatMap(rule => rule.nodes.map(node => [rule.id, node.html.slice(0, 120)]))];
    }""", list(where))
    assert looked_at, "axe-core looked at nothing"
    return [tuple(one) for one in found]


def tree(page, roles=ROLES, within=None):
    """(role, name, value) in the order in which a screen reader comes to them; within the first element of that role and name."""
    nodes = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")["nodes"]
    by_id, found = {node["nodeId"]: node for node in nodes}, []

    def told(node):
        name, value = (re.sub(r"\s+", " ", str(node.get(what, {}).get("value", ""))).strip() for what in ("name", "value"))
        return node.get("role", {}).get("value"), name, value

    def walk(node, heard):
        role, name, value = told(node)
        heard = heard or (role, name) == within
        if heard and not node.get("ignored") and role in roles and (name or role not in ("status", "group")):
            found.append((role, name, value))
        return any([walk(by_id[child], heard) for child in node.get("childIds", [])]) or heard

    walk(nodes[0], within is None)
    return found


def contrast(one, other):
    """Of two colours as a browser writes them, "rgb(38, 36, 34)"."""
    def luminance(colour):
        parts = [int(part) / 255 for part in re.findall(r"\d+", colour)[:3]]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), linear))

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
