"""The reheating demonstration: the ball left to cool, and the ball put back, side by side."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from physics.reading import CAREFUL
from sim.commands.options import (
    add_output_options,
    add_procedure_options,
    ball_of,
    procedure_of,
)
from sim.state import Setup

if TYPE_CHECKING:
    from analysis.readings import Readings

NAMES = ("left to cool", "put back")


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Make the command known to the parser."""
    parser = commands.add_parser(
        "contrast",
        help="the ball left to cool between drops and the ball put back: table and figure",
        description=__doc__,
    )
    # A hurried eye spreads the readings so widely that the ball's cooling is lost in it.
    add_procedure_options(parser, CAREFUL.name)
    add_output_options(parser, "contrast")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Perform both procedures under one seed and hold the readings against each other."""
    from analysis.contrast import contrast, sentences
    from analysis.contrast_graph import draw_contrast
    from analysis.contrast_table import contrast_frame
    from analysis.graph import graph_bytes
    from analysis.outputs import written
    from analysis.quantity import metres
    from analysis.readings import grid

    tables, contents = {}, {}
    for name, reheat in zip(NAMES, (False, True), strict=True):
        content, readings = _readings(options, name, reheat=reheat)
        contents[f"{name.replace(' ', '-')}.csv"] = content
        tables[name] = grid(readings)
    left, put_back = (tables[name] for name in NAMES)
    places = readings.decimal_places
    found = contrast(left, put_back, float(metres(10.0**-places)))
    frame = contrast_frame(found, NAMES, places)
    contents["contrast.csv"] = frame.to_csv(index=False, lineterminator="\r\n").encode("utf-8-sig")
    contents["contrast.png"] = graph_bytes(draw_contrast(left, put_back, NAMES), "png")
    files = written(options.out, contents, force=options.force)
    for sentence in sentences(found, "with the ball left to cool", "with the ball put back"):
        print(sentence)
    print("Written: " + ", ".join(str(file) for file in files))
    return 0


def _readings(options: argparse.Namespace, name: str, *, reheat: bool) -> tuple[bytes, Readings]:
    """The readings file of one procedure, and what the analysis reads from it."""
    from sim.commands.reading_files import TIDY, read_back, reading_files
    from sim.student import perform

    procedure = procedure_of(options, reheat=reheat)
    setup = Setup(seed=options.seed, model=ball_of(options))
    content = reading_files(perform(setup, procedure).end)[TIDY]
    return content, read_back(content, name)
