"""The command `booklet`: its parts by name, and the net under them.

Whatever goes wrong ends in a sentence on standard error and exit status 1 (130 after Ctrl-C), never in a traceback.
"""

from __future__ import annotations

import os
import sys
import traceback
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from booklet import __version__
from booklet.commands.binder import binder
from booklet.commands.check import check
from booklet.commands.dxf import dxf
from booklet.commands.facts import facts
from booklet.commands.lay import lay
from booklet.commands.look import look
from booklet.commands.make import make
from booklet.commands.new import new
from booklet.commands.schema import schema
from booklet.commands.try_bodies import try_
from booklet.problems import Fault
from booklet.telling import say, tell

DEBUG = "BOOKLET_DEBUG"  # set to 1, a fault of the program shows where it happened

STOPPED = 130  # the usual exit status after Ctrl-C

app = typer.Typer(
    name="booklet",
    help=(
        "From drafted pattern pieces and a sewing recipe to a printed booklet: cutting chart, lay plans, illustrated "
        "steps, and the pattern itself at full scale.\n\n"
        "A style is a folder with style.yaml, draft.yaml and sewing.yaml. Begin with `booklet new FOLDER`, look after "
        "it with `booklet check FOLDER`, and print with `booklet make FOLDER`."
    ),
    context_settings={"max_content_width": 100, "help_option_names": ["-h", "--help"]},
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

COMMANDS = (  # in the order of the help
    ("new", new, "Write a small working style to begin with."),
    ("check", check, "Check a style in every combination of its options."),
    ("make", make, "Make the booklet as a PDF."),
    ("binder", binder, "Join a folder's styles into one file for the ring binder."),
    ("facts", facts, "Tell what a booklet says, for people or as JSON."),
    ("look", look, "Draw PNG pictures of garment, pieces, steps and lays."),
    ("lay", lay, "Search longer for short lays, and keep the best."),
    ("dxf", dxf, "Write the pieces as a DXF file for other programs."),
    ("try", try_, "Try a style on every body of a table."),
    ("schema", schema, "Write JSON schemas of the files for your editor."),
)
for _name, _command, _short in COMMANDS:
    app.command(name=_name, short_help=_short)(_command)


@app.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Show the version and stop.")] = False,
) -> None:
    if version:
        print(f"booklet {__version__}")
    elif context.invoked_subcommand is None:
        print(context.get_help())


# ---------------------------------------------------------------- the door

# typer's usage errors, wherever this version of it keeps them
_Usage: type[Exception] = typer.BadParameter.__mro__[2]


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs a command line and returns the exit status."""
    if not sys.warnoptions:
        warnings.simplefilter("ignore")  # a library's own remarks are not for a pattern maker
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")  # a terminal without ≈ or ½ still gets the sentence
    try:
        status = _run(list(sys.argv[1:] if arguments is None else arguments))
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        # Whoever read our output has stopped; the interpreter's own last flush must not complain either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


def _run(arguments: list[str]) -> int:
    try:
        result = typer.main.get_command(app).main(arguments, prog_name="booklet", standalone_mode=False)
        if result == STOPPED:  # typer may have caught Ctrl-C itself
            raise KeyboardInterrupt
        return result if isinstance(result, int) else 0
    except Fault as fault:
        tell(fault.problems)
    except _Usage as wrong:
        say(_usage_words(wrong))
    except typer.Exit as end:
        return end.exit_code
    except (typer.Abort, KeyboardInterrupt):
        say("Stopped. Nothing was written.")
        return STOPPED
    except BrokenPipeError:
        raise
    except MemoryError:
        say("There is not enough memory for this style.")
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        say(f"This cannot be done here: {place}{(error.strerror or str(error)).lower()}.")
    except Exception as error:
        say(_own_fault(error))
    return 1


def _usage_words(wrong: Exception) -> str:
    message = str(getattr(wrong, "format_message", lambda: str(wrong))()).strip()
    context = getattr(wrong, "ctx", None)
    where = getattr(context, "command_path", "booklet") or "booklet"
    if not message:
        return f"A command is missing. See `{where} --help`."
    return f"{message.rstrip('.?')}{'?' if message.endswith('?') else '.'} See `{where} --help`."


def _own_fault(error: Exception) -> str:
    """One sentence for what should never happen; the whole trace only for whoever asks for it."""
    if os.environ.get(DEBUG, "0") not in ("", "0"):
        return traceback.format_exc().rstrip()
    last = traceback.extract_tb(error.__traceback__)[-1]
    kind, words = type(error).__name__, " ".join(str(error).split())[:120]
    return (
        f"This is a fault of the program, not of your files: {kind} in {Path(last.filename).name}, line {last.lineno}"
        f"{f' ({words})' if words else ''}. Please report it with this sentence and the files; {DEBUG}=1 shows more."
    )
