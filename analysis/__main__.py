"""The command line: any readings file in, table, graph and report out.

Exit code 0: all fine; 1: a file or folder was refused, with one sentence; 2: wrong usage.
"""

from __future__ import annotations

import argparse
import gc
import io
import logging
import os
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from analysis.paper.cautions import IN_ONE_SENTENCE
from analysis.refusal import Refused

if TYPE_CHECKING:
    from collections.abc import Sequence

    from analysis.report.summary import Summary, Weighed

COMMANDS = {"mark": "analysis.marking.command", "paper": "analysis.workbook.command"}
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
    """Analyse every file named; one refusal does not stop the others."""
    parser = _parser()
    options = parser.parse_args(arguments)
    if options.out is not None and len(options.files) > 1:
        folders = [options.out / f"{path.stem}-analysis" for path in options.files]
    else:
        folders = [options.out or Path(f"{path.stem}-analysis") for path in options.files]
    twice = {str(folder) for folder in folders if folders.count(folder) > 1}
    if twice:
        parser.error(f"two of the files would share the folder {min(twice)}; analyse them apart")
    _load()
    documents, refused = [], False
    for path, folder in zip(options.files, folders, strict=True):
        try:
            documents.append(_analyse(path, folder, options))
        except Refused as refusal:
            print(refusal, file=sys.stderr)
            refused = True
    if options.json:
        _print_json(documents, one=len(options.files) == 1)
    return 1 if refused else 0


def _load() -> None:
    """Load the libraries with the garbage collector at rest, if nobody has loaded them before.

    It would walk their hundred thousand lasting objects again and again, a tenth of the run.
    """
    if "matplotlib" in sys.modules:
        return
    gc.disable()
    try:
        import analysis.readings.readings
        import analysis.report.content  # noqa: F401
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


def _analyse(path: Path, folder: Path, options: argparse.Namespace) -> dict[str, Any] | None:
    """Analyse one file, write its folder, and give its figures where JSON is wanted."""
    from analysis.files import written
    from analysis.readings.readings import read_readings
    from analysis.report.summary import summarise

    summary = summarise(read_readings(path), _weighed(options))
    files = written(folder, _contents(summary, options), force=options.force)
    if options.json:
        from analysis.report.json_document import json_document

        return json_document(summary, [str(file) for file in files])
    _print_plain(summary, files)
    return None


def _weighed(options: argparse.Namespace) -> Weighed | None:
    from analysis.quantity.units import kilograms
    from analysis.report.summary import Weighed

    if options.weight_n is not None:
        return Weighed(weight_n=options.weight_n, assumed=False)
    if options.mass_g is not None:
        return Weighed(mass_kg=kilograms(options.mass_g), assumed=False)
    return None


def _contents(summary: Summary, options: argparse.Namespace) -> dict[str, bytes]:
    """Make every file in memory, so that nothing is written before all of it exists."""
    from analysis.paper.graph_sheet import graph_bytes
    from analysis.paper.html import page_html
    from analysis.report.content import document
    from analysis.report.graph import draw
    from analysis.report.tables import summary_csv

    figure = draw(summary)
    report = document(summary, figure)
    contents = {
        "summary.csv": summary_csv(summary),
        "graph.png": graph_bytes(figure, "png"),
        "report.html": page_html(report).encode("utf-8"),
    }
    if options.svg:
        contents["graph.svg"] = graph_bytes(figure, "svg")
    if options.pdf:
        from analysis.paper.pdf import pdf_bytes

        # A name in signs that the font lacks is printed without them; no need to say so.
        logging.getLogger("fpdf").setLevel(logging.ERROR)
        contents["graph.pdf"] = graph_bytes(figure, "pdf")
        contents["report.pdf"] = pdf_bytes(report)
    return contents


def _print_plain(summary: Summary, files: tuple[Path, ...]) -> None:
    from analysis.report.tables import summary_lines

    _say([*summary_lines(summary), "Written: " + ", ".join(str(file) for file in files)])


def _print_json(documents: list[dict[str, Any] | None], *, one: bool) -> None:
    """Print one document for one file (nothing if it was refused), a list for several."""
    import json

    if one and not documents:
        return
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")  # JSON is UTF-8 whatever the terminal speaks
    shown = documents[0] if one else documents
    _say([json.dumps(shown, ensure_ascii=False, indent=2, allow_nan=False)])


def _say(lines: list[str]) -> None:
    """Print, and fall silent where nobody reads any more (a pipe into `head`)."""
    try:
        print("\n".join(lines), flush=True)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
