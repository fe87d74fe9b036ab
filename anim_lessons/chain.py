"""Weight and springs under their public name; the work is done in `physics.chain`."""

from .physics.chain import SettledLoop, settled_loop, settled_loops

__all__ = ["SettledLoop", "settled_loop", "settled_loops"]
