"""One thin file per command; this one gathers them and turns errors into exit codes."""

from __future__ import annotations

import sys

import typer
from typer.exceptions import TyperException

from preview.cli.areas import areas
from preview.cli.calibrate import calibrate
from preview.cli.choose import choose
from preview.cli.circle import circle
from preview.cli.compare import compare
from preview.cli.demo import demo
from preview.cli.guide import guide
from preview.cli.mix import mix
from preview.cli.paint import paint
from preview.cli.pairs import pairs
from preview.cli.parsing import usage_error
from preview.cli.ramp import ramp
from preview.cli.readability import readability
from preview.cli.recipe import recipe
from preview.cli.scheme import scheme
from preview.cli.start import start
from preview.errors import FourpotError, MachineFault

app = typer.Typer(
    name="fourpot",
    help="Paint a 3D miniature with a four-paint scheme before a brush gets wet.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog="Exit codes: 0 fine, 1 a check did not pass, 2 command line, 3 a given file, "
    "4 cannot be done, 5 cannot be written, 6 this machine lacks something, 130 stopped.",
)
# Their modules do without `from __future__ import annotations`: Typer would evaluate the text of
# every annotation, twice, which is a tenth of the time that --help takes.
for _command in (
    demo,
    choose,
    start,
    areas,
    mix,
    circle,
    pairs,
    recipe,
    ramp,
    scheme,
    calibrate,
    paint,
    guide,
    compare,
    readability,
):
    app.command()(_command)


@app.callback(invoke_without_command=True)
def _version(
    context: typer.Context,
    version: bool = typer.Option(False, "--version", help="print the version and stop"),
) -> None:
    if version:
        from preview import __version__

        typer.echo(__version__)
        raise typer.Exit
    if context.invoked_subcommand is None:
        typer.echo(context.get_help(), err=True)
        raise typer.Exit(2)


def main() -> None:
    """Run the command line; every error that a user can mend ends in its message and code."""
    try:
        code = app(standalone_mode=False)
    except TyperException as error:
        slip = usage_error(error, sys.argv[1:])
        _fail(str(slip), slip.exit_code)
    except FourpotError as error:
        _fail(str(error), error.exit_code)
    except MemoryError:
        lacks = MachineFault(
            "not enough memory", "this machine", "use a smaller --size or a decimated mesh"
        )
        _fail(str(lacks), lacks.exit_code)
    else:
        if code == 130:
            typer.echo("\nstopped; nothing was written", err=True)
        sys.exit(code or 0)


def _fail(message: str, code: int) -> None:
    typer.echo(f"fourpot: {message}", err=True)
    sys.exit(code)
