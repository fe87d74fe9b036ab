"""The command line: open the workbook, check action files, export them, write a demo.

Whatever is slow to load is loaded by the command that needs it, so that a check
costs what a check costs.
"""

import json
import os
import sys
from functools import partial
from pathlib import Path

import click

from .model.action import ActionError
from .model.printable import shown


class _Commands(click.Group):
    """Errors in one or two lines on standard error, without a traceback, exit code 2."""

    def main(self, *args, standalone_mode=True, **extra):
        if not standalone_mode:
            return super().main(*args, standalone_mode=False, **extra)
        try:
            sys.exit(super().main(*args, standalone_mode=False, **extra) or 0)
        except click.UsageError as error:
            command = error.ctx.command_path if error.ctx else "anim-lessons"
            _complain(f"{error.format_message()} See: {command} --help")
        except click.ClickException as error:
            _complain(error.format_message())
        except (ActionError, OSError) as error:
            _complain(str(error))
        except click.Abort:
            _complain("stopped")
        sys.exit(2)


@click.group(cls=_Commands, invoke_without_command=True, epilog="""\b
Tab completes commands and names once your shell knows of it; for bash:
  eval "$(_ANIM_LESSONS_COMPLETE=bash_source anim-lessons)"
(zsh_source and fish_source for the others; put the line into your shell's start file.)""")
@click.option("--version", is_flag=True, is_eager=True, expose_value=False, callback=lambda *given: _version(*given),
              help="Show the version and exit.")
@click.pass_context
def main(context):
    """Lessons in classical hand-drawn animation: pose, check, save and hand in, drawing by drawing.

    \b
    Example:
      anim-lessons demo elbow-locks --to wave.json
      anim-lessons check wave.json
    """
    if context.invoked_subcommand is None:
        click.echo(context.get_help())


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
    from .course import workbook_copy

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
    ours = str(Path(__file__).with_name("jupyter"))
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, (os.environ.get("JUPYTER_CONFIG_PATH"), ours)))
    return _run(command)


@main.command()
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=click.Path())
@click.option("--brief", type=click.Path(), help="The assignment (TOML): which rules, how strict.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line and a file.")
def check(files, brief, as_json):
    """Judge action files by the rules of the trade.

    Exit code 0: every rule is kept; 1: one is broken; 2: a file could not be read (the
    others are judged all the same).

    \b
    Example:
      anim-lessons check wave.json
      anim-lessons check --json hand-ins/*.json
    """
    from .course import terminal
    from .judging.brief import brief_of
    from .judging.files import judged

    tell = terminal.record if as_json else terminal.lines
    worst = 0
    for one in judged(files, brief_of(brief)):
        told, error = one.told(lambda file: tell(file.path, file.verdict))
        if error is not None:
            _complain(str(error))
            told = terminal.unread(one.path, error)
        worst = max(worst, 2 if error is not None else 0 if one.verdict.passed else 1)
        if as_json:
            click.echo(json.dumps(told, allow_nan=False))
        elif error is None:
            click.echo("\n".join(shown(line) for line in told))
    return worst


@main.command()
@click.argument("file", type=click.Path())
@click.option("--to", required=True, type=click.Path(), metavar="OUT",
              help=".png .svg .pdf .gif .apng .mp4 .csv or .html")
@click.option("--construction", is_flag=True, help="With bones and joints; else in clean line, the figure alone.")
@click.option("--pencil", is_flag=True, help="A moving picture of the pencil: drawings that were scanned for FILE, lines drawn over it.")
def export(file, to, construction, pencil):
    """Write the drawings of FILE as a picture, a moving picture, sheets, or a page to give away.

    The ending of OUT says which: .png, .svg contact sheet; .pdf contact sheet and every
    drawing in its true size; .gif, .apng, .mp4 moving picture; .csv exposure sheet; .html
    one page that opens in any browser, without a network: the drawings to flip, roll and
    play, and what the rules found. A recorded lecture is gone through step by step on it.

    \b
    Example:
      anim-lessons export wave.json --to wave.mp4
      anim-lessons export wave.json --to wave.html
    """
    from .model.action_file import read
    from .pictures.export import export as write

    action, frames, page = read(file), None, _page
    if pencil:
        from .paper.folder import Folder
        from .paper.on_film import frames as on_film

        folder = Folder.open(file, action)
        if not folder.drawings and not action.lines:
            raise ActionError("nothing was drawn with a pencil: no drawings on paper were read for it, and it has no lines",
                              f"draw on the light table, or first run: anim-lessons scan IMAGES --to {file}", file=file)
        if Path(to).suffix.lower() not in (".gif", ".apng", ".mp4", ".html"):
            raise ActionError(f"{to}: pencil drawings go into a moving picture or a page; end the name in .gif, .apng, .mp4 or .html")
        if folder.drawings:
            frames, page = on_film(folder), partial(_page, folder=folder)
    for sentence in write(action, to, source=file, watch=_watched, construction=construction, page=page, frames=frames):
        click.echo(shown(sentence))


class _Demo(click.Command):
    def format_epilog(self, context, formatter):
        with formatter.section("Names"):
            formatter.write_text(", ".join(_demos()))


@main.command(cls=_Demo)
@click.argument("name", shell_complete=lambda context, argument, begun: [n for n in _demos() if n.startswith(begun)])
@click.option("--to", required=True, type=click.Path(path_type=Path), metavar="FILE", help="The action file to write.")
@click.option("--replace", is_flag=True, help="Write over a file of that name.")
def demo(name, to, replace):
    """Write one of the ferry landing's actions, clean or with the fault it is named for.

    \b
    Example:
      anim-lessons demo elbow-locks --to wave.json
    """
    from .model.action_file import dumps
    from .storage.disk import write_whole

    demos = _demos()
    if name not in demos:
        raise ActionError(f'there is no demo "{name}"; there is {", ".join(demos)}')
    if os.path.lexists(to) and not replace:
        raise ActionError(f"{to}: is there already; choose another name, or write over it with --replace")
    action = demos[name]()
    write_whole(to, dumps(action))
    click.echo(shown(f"{to}: {action.title}, {action.count} drawings. Now try: anim-lessons check {to}"))


@main.command()
@click.argument("file", type=click.Path())
@click.option("--limb", help="Its name; may be left out where there is one.")
@click.option("--joint", required=True, help="The joint to place, any but the root.")
@click.option("--drawing", required=True, type=int, metavar="N", help="Number of the drawing, from 1.")
@click.option("--brief", type=click.Path(), help="The assignment (TOML): which rules, how strict.")
@click.option("--json", "as_json", is_flag=True, help="Angles and reasons as one JSON object.")
def guide(file, limb, joint, drawing, brief, as_json):
    """Where may a joint go on a drawing, and which rule is against the rest?

    The answer is in angles of the part that ends in the joint, degrees counter-clockwise from
    the x axis. What hangs below is shifted and traced along.

    \b
    Example:
      anim-lessons guide wave.json --joint wrist --drawing 7
    """
    from .assist.guide import guide as where
    from .judging.brief import brief_of
    from .judging.judge import check as judge
    from .model.action_file import read

    action = read(file)
    if limb is None:
        if len(action.limbs) > 1:
            raise ActionError(f"{file}: there are several limbs; name one with --limb: "
                              + ", ".join(limb.name for limb in action.limbs))
        limb = action.limbs[0].name
    try:
        asked = brief_of(brief)
        found = where(action, limb, joint, drawing, asked, exact=True, verdict=judge(action, asked))
    except ActionError as error:
        raise error.at(file=file) from None
    if as_json:
        click.echo(json.dumps({
            "allowed": found.allowed,
            "excluded": [{"from": part.start, "to": part.end, "rule": part.rule, "says": part.says}
                         for part in found.excluded],
        }, allow_nan=False))
        return 0
    click.echo(shown(f"{file}: {found.says}"))
    for part in found.excluded:
        click.echo(shown(f"  {part.start:5.1f}° to {part.end:5.1f}°: {part.says} ({part.rule})"))
    return 0


@main.command()
@click.argument("file", type=click.Path())
@click.option("--to", required=True, type=click.Path(path_type=Path), metavar="OUT", help="The action file to write.")
@click.option("--brief", type=click.Path(), help="The assignment (TOML): which rules, how strict.")
@click.option("--replace", is_flag=True, help="Write over a file of that name, even over FILE itself.")
@click.option("--least", is_flag=True, help="Move each drawing only as far as passes, not to where its neighbours have it.")
def mend(file, to, brief, replace, least):
    """Mend FILE: the corrections that a check tells, laid in until every rule is kept.

    It prints a line for each drawing it moves, and by how much: the degrees, and the mm that
    the joint goes which goes furthest. All other drawings stay as they are.

    Exit code 0: every rule is kept; 1: something stays that could not be mended, and is
    said; 2: a file could not be read or written.

    \b
    Example:
      anim-lessons mend wave.json --to mended.json
    """
    from .assist.mend import mend as mended
    from .judging.brief import brief_of
    from .model.action_file import dumps, read
    from .storage.disk import write_whole

    if os.path.lexists(to) and not replace:
        raise ActionError(f"{to}: is there already; choose another name, or write over it with --replace")
    action = read(file)
    try:
        done = mended(action, brief_of(brief), least=least)
    except ActionError as error:
        raise error.at(file=file) from None
    write_whole(to, dumps(done.action))
    for move in done.moves:
        whose = f", {move.limb}" if len(action.limbs) > 1 else ""
        click.echo(shown(f"drawing {move.drawing}{whose}: {move.says} ({move.mm:.1f} mm)"))
    click.echo(shown(f"{to}: {done.says}"))
    return 0 if done.passes else 1


@main.command("print")
@click.argument("file", type=click.Path())
@click.option("--to", required=True, type=click.Path(path_type=Path), metavar="OUT.pdf", help="The PDF to write.")
@click.option("--sheets", default="trace", show_default=True, type=click.Choice(["trace", "plan", "flip", "exposure"]),
              help="To draw on; a planning sheet alone; a flip-book; an exposure sheet.")
@click.option("--page", default="a4", show_default=True, type=click.Choice(["a4", "a3", "letter"]))
@click.option("--each", default=1, show_default=True, type=int, metavar="N", help="Drawings a sheet to draw on: 1, 2, 4, 6 or 9.")
@click.option("--drawings", metavar="FIRST-LAST", help="Of the stack, such as 3-8; all unless given.")
@click.option("--without", multiple=True, metavar="PART",
              help="Leave out marks, grid, bar, number, neighbours, path, spacing or chart; may be given more than once.")
def print_file(file, to, sheets, page, each, drawings, without):
    """Write sheets of FILE to be printed, exact in mm.

    Sheets to draw on show neighbours, path of action, spacing and timing chart in pale blue,
    which is gone when they are scanned. Draw over it with a soft pencil, with a filled dot of
    3 mm at each joint. Without marks a sheet cannot be scanned.

    \b
    Example:
      anim-lessons print wave.json --to wave.pdf
      anim-lessons print wave.json --to flip.pdf --sheets flip
    """
    from .model.action_file import read
    from .paper.printing import print_sheets

    for sentence in print_sheets(read(file), to, sheets, page, each, _from_to(drawings), without, source=file):
        click.echo(shown(sentence))


def _from_to(drawings):
    if drawings is None:
        return None
    first, _, last = drawings.partition("-")
    if not first.strip().isdecimal() or last and not last.strip().isdecimal():
        raise ActionError(f'--drawings "{drawings}" names no drawings; write 3-8, or 3')
    return int(first), int(last or first)


@main.command()
@click.argument("images", nargs=-1, required=True, metavar="IMAGES...", type=click.Path())
@click.option("--to", required=True, type=click.Path(), metavar="FILE", help="The action file that the sheets were printed from.")
@click.option("--start", type=click.Path(), help="What the sheets were printed from, where FILE is not there yet.")
def scan(images, to, start):
    """Read sheets that were drawn on: photographs, scans, PDF and TIFF of many pages.

    Each sheet is known by its marks, and made flat. The pencil drawings and the dots found on
    them go into a folder beside FILE. No joint is named by the machine: open FILE in the
    notebook 11_on_paper and press each joint. Until then it does not count as drawn.

    Exit code 0: every drawing of the stack is there; 1: something is missing or could not be
    read, and is said; 2: nothing was read.

    \b
    Example:
      anim-lessons scan photos/*.jpg --to wave.json
    """
    from .paper.scanning import scan_into, sentences

    done, action = scan_into(images, to, start)
    for sentence in [*sentences(done, action), *done.notes]:
        click.echo(shown(sentence))
    for sentence in done.wrong:
        _complain(sentence)
    if not done.read:
        return 2
    click.echo(shown(f"{to}: {len(done.folder.drawings)} of {action.count} drawings are read, in {done.folder.path.name}. "
                     "Confirm their joints in a notebook: lessons.on_paper"))
    return 1 if done.wrong else 0


@main.command()
@click.argument("folder", type=click.Path())
@click.option("--homework", metavar="NAME", help="Of the workbook: its name or number, such as 06_looping_arm or 6; or the folder of your own.")
@click.option("--brief", type=click.Path(), help="An assignment of your own (TOML), in place of the homework's.")
@click.option("--start", type=click.Path(), help="The drawings that you gave out, in place of the homework's.")
@click.option("--roster", type=click.Path(), metavar="CSV", help="The class: a table with the columns id, name, due.")
@click.option("--due", metavar="WHEN", help="2026-11-29, or 2026-11-29T18:00; the brief's unless given. A learner's own in the roster goes before it.")
@click.option("--to", default="marks", show_default=True, type=click.Path(), metavar="OUT", help="The folder for the results.")
@click.option("--alike", is_flag=True, help="Say where two learners handed in the same drawings.")
@click.option("--pseudonyms", is_flag=True, help="Pages without names; results.csv tells who is who.")
@click.option("--pages/--no-pages", default=None, help="A page for each learner; in a class of up to 1,000 unless said.")
@click.option("--cluster", metavar="ADDRESS", help="Let the workers of your own Dask scheduler do it, such as tcp://127.0.0.1:8786; they get the drawings.")
def mark(folder, homework, brief, start, roster, due, to, alike, pseudonyms, pages, cluster):
    """Mark the hand-ins of a class: every action file in FOLDER, in folders and zips in it too.

    Each learner's newest hand-in counts. Nothing of a learner is run, and nothing is
    unpacked. OUT gets class.html, a page of the class; in pages/ one for each learner;
    results.csv, a sheet; results.json; judged.jsonl, from which a run that was stopped
    goes on; and once marks.json, which is yours and stays as you leave it.

    Who is who: with a roster, whoever's id or whole name is in the path; without one,
    the first folder or file name. Where nobody knows, write the id into marks.json,
    under "whose".

    Exit code 0: all was read; 1: something could not be read, or is nobody's; 2: there
    is nothing to mark. What is measured is no mark: the mark is yours.

    \b
    Example:
      anim-lessons mark hand-ins --homework 06_looping_arm --roster class.csv
    """
    from .course.hand_ins.mark import given
    from .course.hand_ins.mark import mark as marked
    from .course.terminal import bars

    with bars() as watch:
        done = marked(folder, to, given(homework, brief, start), roster, due, alike, pseudonyms, pages, cluster=cluster, watch=watch)
    click.echo(str(done))
    return 1 if done.results.needs_you else 0


# ---- the rest ------------------------------------------------------------------------


def _version(context, option, asked):
    if asked:
        from importlib.metadata import version

        click.echo(f"anim-lessons {version('anim-lessons')}")
        context.exit()


def _demos():
    from .ferry.demos import DEMOS

    return DEMOS


def _page(action, folder=None):
    from .light_table.given import given_page
    from .light_table.pencil_pictures import pencil_pictures

    return given_page(action, pencil=None if folder is None else pencil_pictures(folder)[0])


def _watched(drawings, count):
    """Pass the drawings on; after a second of work show on a terminal how far it is."""
    from .course.terminal import bars

    with bars() as watch:
        for done, drawing in enumerate(drawings, start=1):
            yield drawing
            watch("drawings", done, count)


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


def _complain(says):
    click.echo(shown(says), err=True)


if __name__ == "__main__":
    main()
