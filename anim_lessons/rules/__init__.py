"""The rules of the trade, one file a rule. Imports `model` and `measures`."""

from . import arc, drag, hold, length, link_up, opening, opposition, overlap, spacing, stops

RULES = {rule.NAME: rule for rule in (length, arc, spacing, opening, stops, drag, overlap, link_up, hold, opposition)}
