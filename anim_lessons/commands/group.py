"""What all commands have alike: help, version, and errors in a line or two."""

import sys

import click

from ..model.action import ActionError
from ..model.printable import shown


class _Commands(click.Group):
    """Errors in one or two lines on standard error, without a traceback, exit code 2."""

    def main(self, *args, standalone_mode=True, **extra):
        if not standalone_mode:
            return super().main(*args, standalone_mode=False, **extra)
        try:
            sys.exit(super().main(*args, standalone_mode=False, **extra) or 0)
        except click.UsageError as error:
            command = error.ctx.command_path if error.ctx else "anim-lessons"
            complain(f"{error.format_message()} See: {command} --help")
        except click.ClickException as error:
            complain(error.format_message())
        except (ActionError, OSError) as error:
            complain(str(error))
        except click.Abort:
            complain("stopped")
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


def _version(context, option, asked):
    if asked:
        from importlib.metadata import version

        click.echo(f"anim-lessons {version('anim-lessons')}")
        context.exit()


def complain(says):
    """Say it on standard error."""
    click.echo(shown(says), err=True)
