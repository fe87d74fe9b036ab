"""Guards the homework under `pytest --nbval`: a check cell must be able to fail.

nbval compares a cell's output with the stored one. A check cell whose output
was cleared, or saved again with a FAIL in it, would have nothing to hold the
drawings against and pass in silence. Such a notebook is refused before anything
runs: exit code 4, and one sentence that says what to do.
"""

import ast
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
LETS_GO = ("raises-exception", "nbval-raises-exception", "nbval-skip", "nbval-ignore-output",
           "pytest-validate-ignore-output")
TOGETHER = ("loadfile", "loadscope")
FRESH = "Take a fresh copy of the notebook from the workbook; your drawings are in a file of their own and stay."
AGAIN = f"Run it until every line says PASS and save it. Or: {FRESH[0].lower()}{FRESH[1:]}"


def pytest_configure(config):
    option = config.option
    if getattr(option, "numprocesses", None) and getattr(option, "dist", "no") not in (*TOGETHER, "no"):
        raise pytest.UsageError("the cells of a notebook must stay together: add --dist loadfile to -n, or leave out -n")
    # The kernel is this very Python, whatever name the notebook was last saved under.
    if not getattr(option, "nbval_kernel_name", None):
        option.nbval_current_env = True


def pytest_collection_modifyitems(items):
    notebooks = {}
    for item in items:
        if item.path.suffix == ".ipynb" and HERE in item.path.resolve().parents:
            notebooks.setdefault(item.path, item.parent.nb.cells)
    for path, cells in notebooks.items():
        why = refused(cells) or other_rules(path, cells)
        if why:
            raise pytest.UsageError(f"{path.name}: {why}")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item):
    """nbval shows what differs, cut short; a learner needs every line that was printed."""
    report = yield
    if report.failed and getattr(item, "test_outputs", None):
        said = "".join(out.get("text", "") for out in item.test_outputs)
        report.sections.append(("what the cell said", said))
    return report


def refused(cells):
    """Why a homework notebook with these cells cannot check anything, or an empty text where it can."""
    checks = [cell for cell in cells if "check" in cell.metadata.get("tags", ())]
    if not checks:
        return f"there is no check cell. {FRESH}"
    for cell in checks:
        why = _unguarded(cell)
        if why:
            return why
    return ""


def other_rules(path, cells):
    """Why no answer could pass: the brief beside the notebook asks for other rules than the verdict that is stored in it."""
    name = _brief_named(cells)
    if name is None:
        return ""
    from anim_lessons import ActionError, read_brief
    from anim_lessons.course.report import passing

    try:
        brief = read_brief(path.parent / name)
    except ActionError as error:
        return f"{error}."
    asked = [line.name for line in passing(brief) if line.name]
    check = next(cell for cell in cells if "check" in cell.metadata.get("tags", ()))
    lines = "".join(output.text for output in check.outputs).splitlines()
    stored = [line.removeprefix("PASS").split(" — ")[0].strip() for line in lines if " — " in line]
    more, less = [one for one in asked if one not in stored], [one for one in stored if one not in asked]
    if not brief.names_rules or not more and not less:
        return ""
    told = "; ".join(f"{word} {', '.join(names)}" for word, names in (("now also", more), ("no longer", less)) if names)
    return (f"its brief, {name}, asks for other things than the verdict stored in the notebook: {told}. So no drawings could pass. "
            "Begin with this homework in the form of instructor/set_homework.ipynb, write it, and hand that out; or take notebook and "
            "brief together from whoever gave them out.")


def _brief_named(cells):
    """The name that a cell gives to BRIEF, or None."""
    for cell in cells:
        try:
            tree = ast.parse(cell.source if cell.cell_type == "code" else "")
        except SyntaxError:
            continue
        for node in ast.walk(tree):
            if not isinstance(node, ast.Assign):
                continue
            targets, values = (getattr(side, "elts", [side]) for side in (node.targets[0], node.value))
            for target, value in zip(targets, values):
                if getattr(target, "id", "") == "BRIEF" and isinstance(getattr(value, "value", None), str):
                    return value.value
    return None


def _unguarded(cell):
    if cell.cell_type != "code":
        return f"the check cell is no longer a code cell. {FRESH}"
    comments = [line.strip().lstrip("#").strip().lower().replace("_", "-")
                for line in cell.source.splitlines() if line.strip().startswith("#")]
    for mark in LETS_GO:
        if mark in cell.metadata.get("tags", ()) or mark in comments:
            return f'the check cell is marked "{mark}", which lets a broken rule through. {FRESH}'
    if cell.execution_count is None or not cell.outputs:
        return f"the check cell has no stored verdict to hold the drawings against: its output was cleared. {AGAIN}"
    if any(output.output_type != "stream" or output.name != "stdout" for output in cell.outputs):
        return f"the check cell's stored output holds more than a verdict of PASS. {AGAIN}"
    lines = "".join(output.text for output in cell.outputs).splitlines()
    if not any(line.startswith("PASS") for line in lines):
        return f"the check cell's stored verdict has no PASS in it. {AGAIN}"
    for line in lines:
        if not line.startswith("PASS"):
            return f'the check cell was saved with "{line[:60]}" as its verdict, where only PASS belongs. {AGAIN}'
    return ""
