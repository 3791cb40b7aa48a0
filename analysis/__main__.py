"""The command line: any readings file in, table, graph and report out.

Exit code 0: all fine; 1: a file or folder was refused, with one sentence; 2: wrong usage.
"""

from __future__ import annotations

import argparse
import gc
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.paper.cautions import IN_ONE_SENTENCE
from analysis.refusal import Refused

if TYPE_CHECKING:
    from collections.abc import Sequence
    from types import ModuleType

ANALYSING = "analysis.report.analysing"
"""Loaded when the files are known: --help and a wrong word need not wait for the libraries."""
COMMANDS = {"mark": "analysis.marking.command", "paper": "analysis.workbook.print_workbook"}
"""First words that are no file, each with the module whose `run(arguments)` gives the exit code.

A file of such a name is still analysed as `./paper`.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command named first, or analyse the files named, and give the exit code."""
    words = sys.argv[1:] if arguments is None else list(arguments)
    if words and words[0] in COMMANDS:
        try:
            return int(import_module(COMMANDS[words[0]]).run(words[1:]))
        except Refused as refusal:
            print(refusal, file=sys.stderr)
            return 1
    return _analyse_all(words)


def _analyse_all(arguments: Sequence[str]) -> int:
    """Analyse every file named, each into a folder of its own."""
    parser = _parser()
    options = parser.parse_args(arguments)
    if options.out is not None and len(options.files) > 1:
        folders = [options.out / f"{path.stem}-analysis" for path in options.files]
    else:
        folders = [options.out or Path(f"{path.stem}-analysis") for path in options.files]
    twice = {str(folder) for folder in folders if folders.count(folder) > 1}
    if twice:
        parser.error(f"two of the files would share the folder {min(twice)}; analyse them apart")
    return int(_load().run(options, folders))


def _load() -> ModuleType:
    """Load what analyses a file, with the garbage collector at rest, unless it is there already.

    It would walk their hundred thousand lasting objects again and again, a tenth of the run.
    """
    if "matplotlib" in sys.modules:
        return import_module(ANALYSING)
    gc.disable()
    try:
        return import_module(ANALYSING)
    finally:
        gc.freeze()
        gc.enable()


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m analysis",
        description="Judge rebound heights at several temperatures: table, graph and report.",
        epilog=f"Other commands, each with its own --help: {', '.join(COMMANDS)}. "
        f"{IN_ONE_SENTENCE}",
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="csv, xlsx or ods")
    parser.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help="folder for the results (default: NAME-analysis here; for several files a folder "
        "each inside DIR)",
    )
    weight = parser.add_mutually_exclusive_group()
    weight.add_argument("--mass-g", type=_positive, metavar="G", help="mass of the ball in grams")
    weight.add_argument("--weight-n", type=_positive, metavar="N", help="its weight in newtons")
    parser.add_argument("--json", action="store_true", help="print every figure as JSON")
    parser.add_argument("--pdf", action="store_true", help="write report.pdf and graph.pdf as well")
    parser.add_argument("--svg", action="store_true", help="write graph.svg as well")
    parser.add_argument("--force", action="store_true", help="overwrite files of an earlier run")
    return parser


def _positive(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.0 < value < 1e6:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number above 0")
    return value


if __name__ == "__main__":
    sys.exit(main())
