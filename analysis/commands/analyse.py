"""Readings files analysed from end to end: what is made of each, and where it is written."""

import argparse
import io
import json
import logging
import sys
from typing import Any

from analysis.command_line import say, say_written
from analysis.files import written
from analysis.paper.graph_sheet import graph_bytes
from analysis.paper.html import page_html
from analysis.quantity.units import kilograms
from analysis.readings.readings import read_readings
from analysis.refusal import Refused
from analysis.report.content import document
from analysis.report.results_graph import draw
from analysis.report.summary import Summary, Weighed, summarise
from analysis.report.tables import json_document, summary_csv, summary_lines


def run(options: argparse.Namespace) -> int:
    """Analyse each of the files into its folder, and give the exit code.

    One refusal does not stop the others.
    """
    documents: list[dict[str, Any]] = []
    refused = False
    for path, folder in zip(options.files, options.folders, strict=True):
        try:
            summary = summarise(read_readings(path), _weighed(options))
            files = written(folder, _contents(summary, options), force=options.force)
        except Refused as refusal:
            print(refusal, file=sys.stderr)  # noqa: T201  one sentence a file
            refused = True
            continue
        if options.json:
            documents.append(json_document(summary, [str(file) for file in files]))
        else:
            say(*summary_lines(summary))
            say_written(*files)
    if options.json:
        _print_json(documents, one=len(options.files) == 1)
    return 1 if refused else 0


def _contents(summary: Summary, options: argparse.Namespace) -> dict[str, bytes]:
    return {
        "summary.csv": summary_csv(summary),
        **report_files(summary, svg=options.svg, pdf=options.pdf),
    }


def report_files(summary: Summary, *, svg: bool = False, pdf: bool = False) -> dict[str, bytes]:
    """Graph and report in memory, so that nothing is written before all of it exists."""
    figure = draw(summary)
    report = document(summary, figure)
    contents = {
        "graph.png": graph_bytes(figure, "png"),
        "report.html": page_html(report).encode("utf-8"),
    }
    if svg:
        contents["graph.svg"] = graph_bytes(figure, "svg")
    if pdf:
        from analysis.paper.pdf import pdf_bytes  # fpdf, which only this option needs

        # A name in signs that the font lacks is printed without them; no need to say so.
        logging.getLogger("fpdf").setLevel(logging.ERROR)
        contents["graph.pdf"] = graph_bytes(figure, "pdf")
        contents["report.pdf"] = pdf_bytes(report)
    return contents


def _weighed(options: argparse.Namespace) -> Weighed | None:
    if options.weight_n is not None:
        return Weighed(weight_n=options.weight_n, assumed=False)
    if options.mass_g is not None:
        return Weighed(mass_kg=kilograms(options.mass_g), assumed=False)
    return None


def _print_json(documents: list[dict[str, Any]], *, one: bool) -> None:
    """Print one document for one file (nothing if it was refused), a list for several."""
    if one and not documents:
        return
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")  # JSON is UTF-8 whatever the terminal speaks
    shown = documents[0] if one else documents
    say(json.dumps(shown, ensure_ascii=False, indent=2, allow_nan=False))
