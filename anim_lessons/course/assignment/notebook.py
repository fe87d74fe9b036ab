"""The notebook of an assignment, as bytes: the cells of a homework, a right answer's verdict stored under its check."""

import json

from ...model.action import ActionError
from ..report import passing


def _dumped(notebook):
    return (json.dumps(notebook, indent=1, ensure_ascii=False) + "\n").encode("utf-8")


def notebook(one):
    """The notebook of an Assigned, of version 4.5 of the format."""
    name, brief = one.name, one.brief
    text = f"\n\n{brief.text.strip()}" if brief.text.strip() else ""
    cells = [
        _words(
            "brief",
            f"# {brief.title}{text}\n\nHow many drawings are asked, how long each is held and by when it is due stands beside the "
            "drawings, under *what is asked*. Rest\nhand and eyes every twenty minutes; if flicker troubles you, step by hand instead of "
            "playing.",
        ),
        _words("files-before", "Your drawings are in a file of their own, beside this notebook. Hand in that file."),
        _code(
            "files",
            f'from anim_lessons import lessons\nFILE, BRIEF = "{name}.json", "{name}.toml"\nSTART = "start/{name}.json"',
        ),
        _words("draw", "## Draw\n\nChoose the cell below and press Shift+Enter. What you draw is saved as you go."),
        _code("draw-table", "lessons.light_table(FILE, start=START, brief=BRIEF)", tags=["nbval-ignore-output"]),
        _words(
            "check-before",
            "## Check\n\nGuess first: will every line say PASS? If not, which rule complains, and at which drawing? This "
            "cell reads your file,\nprints one line a rule, and stops the notebook unless every line says PASS. Until you run it, the "
            "lines under it are an\nexample, and not about your drawings. Each run adds a line to `my_progress.txt`; nobody else reads it.",
        ),
        _code(
            "check",
            "lessons.verdict(FILE, brief=BRIEF, start=START)",
            _verdict(brief),
            tags=["check"],
            jupyter={"outputs_hidden": True},
        ),
        _words(
            "hand-in",
            f"## Hand it in\n\nAll lines say PASS? Then hand in `{name}.json`, the way your class does it.\n\nYour instructor "
            f"runs this; you can too, in a terminal in this folder: `pytest --nbval {name}.ipynb`; it holds your\nfile against the verdict "
            "stored above. If you see a message about a cleared or changed check cell, take a fresh copy of this\nnotebook. Your drawings "
            "stay.",
        ),
    ]
    return _dumped(
        {
            "cells": cells,
            "metadata": {
                "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
                "language_info": {"name": "python"},
            },
            "nbformat": 4,
            "nbformat_minor": 5,
        }
    )


def _words(name, text):
    return {"cell_type": "markdown", "id": name, "metadata": {}, "source": text.splitlines(keepends=True)}


def _code(name, text, outputs=(), **metadata):
    return {
        "cell_type": "code",
        "execution_count": 1 if outputs else None,
        "id": name,
        "metadata": metadata,
        "outputs": list(outputs),
        "source": text.splitlines(keepends=True),
    }


def _verdict(brief):
    """The stored output of a check that passes."""
    lines = [f"{line}\n" for line in passing(brief)]
    return [{"name": "stdout", "output_type": "stream", "text": lines}]


def with_verdict(path, one):
    """A notebook that was changed by hand with the verdict of this brief stored in it, and a sentence on it.

    Raises
    ------
    ActionError
        Where it has no check cell.
    """
    try:
        notebook = json.loads(path.read_bytes())
        cells = [
            cell
            for cell in notebook["cells"]
            if "check" in cell["metadata"].get("tags", ()) and cell["cell_type"] == "code"
        ]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        cells = []
    if not cells:
        raise ActionError(
            f"{path.name} was changed by hand and has no check cell any more",
            "put it away or delete it, then write again; nothing was written",
        )
    for cell in cells:
        cell.update(outputs=_verdict(one.brief), execution_count=1)
    return (
        _dumped(notebook),
        f"{path.name}: you changed it by hand, so only the verdict stored in it was written anew; look through its words.",
    )
