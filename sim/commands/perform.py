"""What a scripted student carries out, with no window: the commands `perform` and `contrast`.

`perform` is one practical: readings, graph and report. The rough page goes through a readings file
to the analysis, as real data does. `contrast` is the reheating demonstration: the ball left to
cool, and the ball put back, side by side. Readings, table and figure always; on request the moving
picture, where the spread comes from, and how many repeats a class needs to see it.
"""

from __future__ import annotations

import argparse
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.command_line import say, say_written
from analysis.commands.analyse import report_files
from analysis.files import written
from analysis.paper.document import plain_lines, table_csv
from analysis.paper.graph_sheet import graph_bytes
from analysis.quantity.units import resolution_m
from analysis.readings.readings import Readings, grid, read_readings, results_table
from analysis.report.contrast_graph import draw_contrast
from analysis.report.contrast_sentences import contrast_sentences
from analysis.report.summary import Weighed, summarise
from analysis.report.tables import contrast_table, summary_lines
from analysis.statistics.two_procedures import contrast
from sim.commands.options import observer_text, procedure_of, setup_of
from sim.procedure import BATH_WORDS, Procedure
from sim.progress import bar
from sim.record.readings_file import readings_content
from sim.state import Setup, State
from sim.student import perform
from sim.teaching.demonstration import NAMES, both_ways, demonstration, plain_sentence
from sim.teaching.power import REPEATS, Seen, chances, draw_power, power_table
from sim.teaching.variance import (
    SPLIT_TEMPERATURES_K,
    draw_splits,
    split_sentences,
    split_table,
    splits,
)

TIDY, WIDE = "readings.csv", "readings.xlsx"
CHANCE_SAID = "Chance that the readings settle it, with 95 % interval:"
_Made = tuple[dict[str, bytes], list[str]]
"""Contents of files by their names, and what is to be said."""


def run(options: argparse.Namespace) -> int:
    """Carry out what the command asks for, write its files and say what came of it."""
    contents, said = (_side_by_side if options.command == "contrast" else _performed)(options)
    files = written(options.out, contents, force=options.force)
    say(*said)
    say_written(*files)
    return 0


def _performed(options: argparse.Namespace) -> _Made:
    """Perform, and analyse the readings file exactly as one from a school would be."""
    procedure = procedure_of(options, reheat=options.reheat)
    setup = setup_of(options)
    content, readings = _read_as_a_file(perform(setup, procedure).end, "virtual practical")
    contents = {TIDY: content, WIDE: _school_table(readings)}
    virtual = _virtual(setup, procedure, observer_text(options))
    readings = replace(readings, notices=(virtual, *readings.notices))
    summary = summarise(readings, Weighed(mass_kg=setup.ball.mass_kg, assumed=False))
    return contents | report_files(summary), list(summary_lines(summary))


def _read_as_a_file(state: State, source: str) -> tuple[bytes, Readings]:
    """The rough page as a csv, one row a drop, and its readings as a file from anywhere is read."""
    content = readings_content(state, Path(TIDY))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / TIDY
        path.write_bytes(content)
        return content, replace(read_readings(path), source=source)


def _school_table(readings: Readings) -> bytes:
    """The results table as a school keeps it, an xlsx without times and procedure."""
    table = readings.frame.drop(columns=["elapsed_time_s", "reheated"])
    return results_table(replace(readings, frame=table), Path(WIDE))


def _virtual(setup: Setup, procedure: Procedure, observer: str) -> str:
    """What the report says of where its readings come from."""
    soaked = f"soaked {procedure.soak_s:g} s in {BATH_WORDS[procedure.bath]}"
    return (
        "These readings are virtual: a model of the ball, the water, the hand and the eye gave "
        f"them ({setup.model.name} ball, {soaked}, a {observer}, seed {setup.seed})."
    )


def _side_by_side(options: argparse.Namespace) -> _Made:
    """Perform both procedures under one seed and hold the readings against each other."""
    contents, said = _contrasted(options)
    for wanted, more in (
        (options.animation, _animated),
        (options.sources, _sources),
        (options.repeats_needed, _repeats_needed),
    ):
        if wanted:
            further, sentences = more(options)
            contents |= further
            said += sentences
    return contents, said


def _contrasted(options: argparse.Namespace) -> _Made:
    """The readings of both procedures, and the two held against each other."""
    tables, contents = {}, {}
    ways = both_ways(procedure_of(options, reheat=False))
    for name, (procedure, first_drop) in zip(NAMES, ways, strict=True):
        done = perform(setup_of(options), procedure, first_drop=first_drop)
        content, readings = _read_as_a_file(done.end, name)
        contents[f"{name.replace(' ', '-')}.csv"] = content
        tables[name] = grid(readings)
    left, put_back = (tables[name] for name in NAMES)
    places = readings.decimal_places
    both = np.concatenate([left.heights_m.ravel(), put_back.heights_m.ravel()])
    found = contrast(left, put_back, resolution_m(both, places))
    contents["contrast.csv"] = table_csv(contrast_table(found, NAMES, places))
    contents["contrast.png"] = graph_bytes(draw_contrast(left, put_back, NAMES), "png")
    return contents, list(contrast_sentences(found))


def _animated(options: argparse.Namespace) -> _Made:
    """The demonstration drop by drop, the ball's true temperature revealed."""
    # Only an animation is painted by the bench's own kit: the tables need no pygame.
    from sim.bench.screen.demonstration.film import film, picture_count

    shown = demonstration(setup_of(options), procedure_of(options, reheat=False))
    name = f"demonstration.{options.animation}"
    with bar(picture_count(shown), "drawing the animation") as drawn:
        content = film(shown, options.animation, drawn.update)
    return {name: content}, [plain_sentence(shown)]


def _sources(options: argparse.Namespace) -> _Made:
    """The variance of the repeats taken apart."""
    plan = replace(procedure_of(options, reheat=False), temperatures_k=SPLIT_TEMPERATURES_K)
    found = splits(setup_of(options), plan)
    title = f"Where the spread comes from: {_of(options)}"
    contents = {
        "sources.csv": table_csv(split_table(found)),
        "sources.png": graph_bytes(draw_splits(found, title), "png"),
    }
    return contents, list(split_sentences(found))


def _repeats_needed(options: argparse.Namespace) -> _Made:
    """The chance that readings settle it, of one student and of classes."""
    plan = procedure_of(options, reheat=False)
    seen: list[Seen] = []
    with bar(len(REPEATS), "asking the classes") as asked:
        for number in REPEATS:
            seen += chances(setup_of(options), plan, repeats=(number,))
            asked.update()
    table = power_table(seen)
    title = f"How many repeats? {_of(options)}"
    contents = {
        "repeats-needed.csv": table_csv(table),
        "repeats-needed.png": graph_bytes(draw_power(seen, title), "png"),
    }
    return contents, [CHANCE_SAID, *plain_lines(table)]


def _of(options: argparse.Namespace) -> str:
    """The ball and the reader in words."""
    ball = setup_of(options).model
    return f"{ball.name.replace('_', ' ')} ball, {observer_text(options)}"
