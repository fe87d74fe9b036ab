"""Commands that judge drawings: check, guide, mend."""

import json
import os
from pathlib import Path

import click

from ..model.action import ActionError
from ..model.printable import shown
from .group import complain, main


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
    from ..course import terminal
    from ..judging.brief import brief_of
    from ..judging.files import judged

    tell = terminal.record if as_json else terminal.lines
    worst = 0
    for one in judged(files, brief_of(brief)):
        told, error = one.told(lambda file: tell(file.path, file.verdict))
        if error is not None:
            complain(str(error))
            told = terminal.unread(one.path, error)
        worst = max(worst, 2 if error is not None else 0 if one.verdict.passed else 1)
        if as_json:
            click.echo(json.dumps(told, allow_nan=False))
        elif error is None:
            click.echo("\n".join(shown(line) for line in told))
    return worst


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
    from ..assist.guide import guide as where
    from ..judging.brief import brief_of
    from ..judging.judge import check as judge
    from ..model.action_file import read

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
    from ..assist.mend import mend as mended
    from ..judging.brief import brief_of
    from ..model.action_file import dumps, read
    from ..storage.disk import write_whole

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
