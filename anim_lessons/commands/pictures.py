"""Commands that write what drawings look like: export, and a demo to try it with."""

import os
from functools import partial
from pathlib import Path

import click

from ..model.action import ActionError
from ..model.printable import shown
from .group import main


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
    from ..model.action_file import read
    from ..pictures.export import export as write

    action, frames, page = read(file), None, _page
    if pencil:
        from ..paper.folder import Folder
        from ..paper.on_film import frames as on_film

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
    from ..model.action_file import dumps
    from ..storage.disk import write_whole

    demos = _demos()
    if name not in demos:
        raise ActionError(f'there is no demo "{name}"; there is {", ".join(demos)}')
    if os.path.lexists(to) and not replace:
        raise ActionError(f"{to}: is there already; choose another name, or write over it with --replace")
    action = demos[name]()
    write_whole(to, dumps(action))
    click.echo(shown(f"{to}: {action.title}, {action.count} drawings. Now try: anim-lessons check {to}"))


def _demos():
    from ..ferry.demos import DEMOS

    return DEMOS


def _page(action, folder=None):
    from ..light_table.given import given_page
    from ..light_table.pencil_pictures import pencil_pictures

    return given_page(action, pencil=None if folder is None else pencil_pictures(folder)[0])


def _watched(drawings, count):
    """Pass the drawings on; after a second of work show on a terminal how far it is."""
    from ..course.terminal import bars

    with bars() as watch:
        for done, drawing in enumerate(drawings, start=1):
            yield drawing
            watch("drawings", done, count)
