"""The rules of the trade, one file a rule. Imports `model` and `measures`.

Every file here that holds a RULE is a rule; nothing else has to be told of it. `rule.py` says what a rule is,
`finding.py` what it finds.
"""

from importlib import import_module
from pkgutil import iter_modules


def _rules():
    modules = (import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)
               if not module.name.startswith("_"))
    found = [module.RULE for module in modules if hasattr(module, "RULE")]
    return {rule.name: rule for rule in sorted(found, key=lambda rule: rule.order)}


RULES = _rules()    # name -> Rule, in teaching order
TOLERANCES = {tolerance.name: tolerance for rule in RULES.values() for tolerance in rule.tolerances}
