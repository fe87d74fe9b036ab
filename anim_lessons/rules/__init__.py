"""The rules of the trade, one file a rule. Imports `model`, `geometry`, `measures`.

Every file here that holds a RULE is a rule; nothing else has to be told of it. `rule.py` says what a rule is,
`finding.py` what it finds.
"""

from importlib import import_module
from pkgutil import iter_modules

from .rule import LOOSE, STRICT


def _rules():
    modules = (import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)
               if not module.name.startswith("_"))
    found = [module.RULE for module in modules if hasattr(module, "RULE")]
    return {rule.name: rule for rule in sorted(found, key=lambda rule: rule.order)}


RULES = _rules()    # name -> Rule, in teaching order
TOLERANCES = {tolerance.name: tolerance for rule in RULES.values() for tolerance in rule.tolerances}


def table():
    """The rules as a table in Markdown: what each asks, its tolerances, the lesson that teaches it, its source."""
    lines = ["| rule | asks | tolerance | loose; strict | of what | lessons | source |", "|---|---|---|---|---|---|---|"]
    for rule in RULES.values():
        for i, tolerance in enumerate(rule.tolerances):
            head = (rule.name, rule.asks) if not i else ("", "")
            tail = (", ".join(name[:2] for name in rule.lessons), rule.source) if not i else ("", "")
            name = "" if tolerance.name == rule.name else f"{tolerance.name}: "
            others = [f"{tolerance.at(how):g}" for how in (LOOSE, STRICT)]
            others = "" if others == [f"{tolerance.value:g}"] * 2 else "; ".join(others)
            lines.append(f"| {' | '.join((*head, f'{name}{tolerance.value:g}', others, tolerance.of, *tail))} |")
    return "\n".join(lines)
