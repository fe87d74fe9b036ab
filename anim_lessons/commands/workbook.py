"""The command that opens the workbook."""

import os
import sys
from pathlib import Path

import click

from ..model.action import ActionError
from ..model.printable import shown
from .group import main


@main.command("open")
@click.argument("folder", default="workbook", type=click.Path(path_type=Path))
@click.option("--no-browser", is_flag=True, help="Start JupyterLab without opening a page.")
@click.option("--port", type=click.IntRange(1, 65535), help="Port to listen on; a free one unless given.")
@click.option("--copy-only", is_flag=True, help="Copy the workbook and start nothing.")
@click.option("--instructor", is_flag=True, help="With plan of the term, demonstrations and marking guide; it opens the plan.")
def open_workbook(folder, no_browser, port, copy_only, instructor):
    """Copy the workbook to FOLDER (./workbook unless given) and open it in JupyterLab.

    A file you changed is never overwritten: where there is a new one it is put beside
    yours. A file you took away stays away.

    \b
    Example:
      anim-lessons open my-lessons
    """
    from ..course import workbook_copy

    if port is not None and not copy_only:
        _free(port)
    for sentence in workbook_copy.copy(workbook_copy.source(), folder, instructor):
        click.echo(shown(sentence))
    if copy_only:
        return 0
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={folder.resolve()}",
               # A class needs no news, no updates and no extensions, and no request to anywhere.
               "--LabApp.news_url=None", "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
               "--LabApp.extension_manager=readonly",
               "--ServerApp.kernel_websocket_connection_class=anim_lessons.server.PromptConnection"]
    # One document at a time, with the list of files folded away: so the light table fits a small laptop.
    plan = folder / workbook_copy.INSTRUCTOR / "plan_of_the_term.ipynb"
    first = plan if instructor and plan.exists() else next(iter(sorted(folder.glob("*.ipynb"))), None)
    if first is not None:
        command.append(f"--LabApp.default_url=/doc/tree/{first.relative_to(folder).as_posix()}")
    if no_browser:
        command.append("--no-browser")
    if port is not None:
        command += [f"--port={port}", "--ServerApp.port_retries=0"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")
    # Defaults only, such as no box that asks about news over the light table; the reader's own settings win.
    ours = str(Path(__file__).parents[1] / "jupyter")
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, (os.environ.get("JUPYTER_CONFIG_PATH"), ours)))
    return _run(command)


def _free(port):
    """Refuse a port that another program listens on, before anything is copied or started."""
    import socket

    with socket.socket() as probe:
        if os.name == "posix":  # elsewhere this option would let two programs share a port
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError as error:
            raise ActionError(f"port {port} cannot be used ({error.strerror}); choose another one, "
                              "or leave --port out and a free one is found") from None


def _run(command):
    """Become JupyterLab; where a program cannot become another, wait for it."""
    sys.stdout.flush()
    if os.name == "posix":
        os.execv(command[0], command)
    import subprocess

    return subprocess.call(command)
