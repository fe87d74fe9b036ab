"""The ferry landing's actions by name: the scenario's own, clean or with one fault, and what hangs and follows."""

from . import actions as scenario
from .hanging import SCENES, scene_loop, waving_hand
from .stopping import stopped

DEMOS = {
    **scenario.DEMOS,
    "pennant": lambda: scene_loop(SCENES["pennant"]).action,
    "pennant-settles": lambda: stopped(SCENES["pennant"]).action,
    "mooring-rope": lambda: scene_loop(SCENES["mooring rope"], swings=3.0).action,
    "hand": lambda: waving_hand().action,
}
