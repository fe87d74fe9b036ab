"""A plugin for nbval: beside each notebook of a workbook, `NAME.ipynb.run` is the notebook with what its cells put out."""
import nbformat


def pytest_sessionfinish(session):
    ran = {}
    for item in session.items:
        if "workbook" in item.path.parts:
            ran.setdefault(item.path, {})[item.cell_num] = item.test_outputs
    for path, outputs in ran.items():
        notebook = nbformat.read(path, 4)
        for number, cell in enumerate(cell for cell in notebook.cells if cell.cell_type == "code"):
            cell.outputs = outputs[number] or []
        path.with_name(f"{path.name}.run").write_text(nbformat.writes(notebook), "utf-8")
