"""How every command is run, and the options that several commands take, each declared once.

A command has two parts: what it takes, which is declared where its parser is made, and a module
whose `run(options)` gives the exit code, which is loaded when the options are known, so that
--help and a wrong word wait for no library.

Exit code 0: all fine; 1: something was refused, with one sentence; 2: wrong usage; 130: stopped
from the keyboard.
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import NoReturn

from analysis.refusal import Refused, harmless, harmless_lines, reason
from analysis.stopping import ending_at_once, stopped


class CommandParser(argparse.ArgumentParser):
    """Reads the words of a command line; of a wrong one it quotes nothing that steers."""

    def error(self, message: str) -> NoReturn:
        """Tell how the command is used and what was wrong, and end with code 2."""
        super().error(harmless(message))


def run_command(module: str, given: Callable[[], argparse.Namespace]) -> int:
    """Read the options given, carry the command out by the `run` of its module, give the exit code.

    A refusal is told in its one sentence; so are a file that the system will not hear of, and a
    command that the keyboard stopped.
    """
    try:
        with ending_at_once():
            options, command = given(), _loaded(module)
        return int(command.run(options))
    except Refused as refusal:
        print(refusal, file=sys.stderr)
    except OSError as error:  # a name so long that no folder can be asked for it, say
        print(harmless(f"{error.filename} cannot be used: {reason(error)}."), file=sys.stderr)
    except KeyboardInterrupt:
        return stopped()
    return 1


def _loaded(module: str) -> ModuleType:
    """Load a module with the garbage collector at rest, unless the libraries are there already.

    It would walk their hundred thousand lasting objects again and again, a tenth of the run.
    """
    if "matplotlib" in sys.modules or not gc.isenabled():
        return import_module(module)
    gc.disable()
    try:
        return import_module(module)
    finally:
        gc.freeze()
        gc.enable()


def say(*lines: str) -> None:
    """Print lines, and fall silent where nobody reads any more (a pipe into `head`).

    A sign that the terminal's alphabet lacks is shown as a question mark.
    """
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")
    try:
        print("".join(f"{harmless_lines(line)}\n" for line in lines), end="", flush=True)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def say_written(*files: Path) -> None:
    """Say which files were written, or into which folder."""
    say("Written: " + ", ".join(harmless(str(file)) for file in files))


def add_input(
    parser: argparse.ArgumentParser, name: str, words: str = "csv, xlsx or ods file"
) -> None:
    """Declare the file or folder that a command reads, under the name of its kind."""
    parser.add_argument(name.lower(), type=Path, metavar=name, help=words)


def add_text_percent(parser: argparse.ArgumentParser) -> None:
    """Declare the size of the text in a window."""
    parser.add_argument(
        "--text-percent",
        choices=("100", "125", "150", "175", "200"),
        default="100",
        help="size of the text (100)",
    )


def add_output(
    parser: argparse.ArgumentParser, words: str, default: str | None = None, metavar: str = "DIR"
) -> None:
    """Declare `--out`, the folder or file for the results, and `--force`."""
    parser.add_argument(
        "--out",
        type=Path,
        default=None if default is None else Path(default),
        metavar=metavar,
        help=words if default is None else f"{words} ({default})",
    )
    parser.add_argument(
        "--force", action="store_true", help="write over what is there from an earlier time"
    )


def add_mass(container: argparse._ActionsContainer, usual_g: float | None = None) -> None:
    """Declare `--mass-g`, the mass of the ball."""
    usual = "" if usual_g is None else f" ({usual_g:g})"
    container.add_argument(
        "--mass-g", type=positive, default=usual_g, metavar="G",
        help=f"mass of the ball in grams{usual}",
    )  # fmt: skip


def number(low: float, high: float) -> Callable[[str], float]:
    """What reads a number from low to high, ends included."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(f"{text!r} is not a number") from error
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"{text} does not lie between {low:g} and {high:g}")
        return value

    return read


def positive(text: str) -> float:
    """A number above 0, and below a million."""
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.0 < value < 1e6:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number above 0")
    return value


def whole_number(low: int, high: int) -> Callable[[str], int]:
    """What reads a whole number from low to high, ends included."""

    def read(text: str) -> int:
        if text not in map(str, range(low, high + 1)):
            raise argparse.ArgumentTypeError(f"{text!r} is no whole number from {low} to {high}")
        return int(text)

    return read
