"""The parts of the installation with paper, loaded when they are first needed."""

from importlib import import_module

from ..model.action import ActionError

NEEDS = {"cv2": "opencv-python-headless", "pypdfium2": "pypdfium2"}  # module: name under which it is installed


def load(module):
    """A module of NEEDS.

    Raises
    ------
    ActionError
        Where it is not installed; it says how to install it.
    """
    try:
        loaded = import_module(module)
    except ImportError:
        raise ActionError(
            f"paper needs {NEEDS[module]}, which is not installed",
            "run: .venv/bin/pip install '.[paper]', in the folder of anim-lessons",
        ) from None
    if module == "cv2":
        loaded.setNumThreads(1)  # two pages at once would only wait for each other
    return loaded
