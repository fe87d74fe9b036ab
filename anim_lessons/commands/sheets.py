"""Commands for paper: print, scan."""

from pathlib import Path

import click

from ..model.action import ActionError
from ..model.printable import shown
from .group import complain, main


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
    from ..model.action_file import read
    from ..paper.printing import print_sheets

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
    from ..paper.scanning import scan_into, sentences

    done, action = scan_into(images, to, start)
    for sentence in [*sentences(done, action), *done.notes]:
        click.echo(shown(sentence))
    for sentence in done.wrong:
        complain(sentence)
    if not done.read:
        return 2
    click.echo(shown(f"{to}: {len(done.folder.drawings)} of {action.count} drawings are read, in {done.folder.path.name}. "
                     "Confirm their joints in a notebook: lessons.on_paper"))
    return 1 if done.wrong else 0
