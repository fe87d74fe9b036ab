"""The command that marks a class."""

import click

from .group import main


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
    from ..course.hand_ins.mark import given
    from ..course.hand_ins.mark import mark as marked
    from ..course.terminal import bars

    with bars() as watch:
        done = marked(folder, to, given(homework, brief, start), roster, due, alike, pseudonyms, pages, cluster=cluster, watch=watch)
    click.echo(str(done))
    return 1 if done.results.needs_you else 0
