"""`fit`: the model fitted to a school's own readings, and its ball kept in a ball file."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from analysis.files import written
from analysis.paper.graph_sheet import graph_bytes
from analysis.quantity.units import kelvin, kilograms, metres, to_si
from analysis.readings.readings import read_readings
from analysis.refusal import Refused
from physics.ball import FAST, Ball
from physics.ranges import OutOfRange
from sim.calibration.ball_file import content_of
from sim.calibration.calibrate import OWN, calibrate
from sim.calibration.model import Taking
from sim.calibration.verdict import ball_file_of, draw_residuals, lines
from sim.commands.options import add_output_options, number

BALL_FILE = "own.ball.json"
PICTURE = "residuals.png"


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the command takes on the command line."""
    parser.description = (
        "Fits the ball's loss ratio, its cooling in air and the reader's spread to "
        "a readings file, says how sure each is and what the readings cannot decide, and "
        f"writes {BALL_FILE} for --ball and a picture of the residuals."
    )
    parser.epilog = (
        "The file's own columns come first: repeats in order, drop height, reheated, "
        "elapsed time of each release. The options tell what the file does not."
    )
    parser.add_argument("readings", type=Path, metavar="READINGS", help="csv, xlsx or ods file")
    _add_soak_options(parser)
    _add_drop_options(parser)
    add_output_options(parser, "own-ball")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, fit, write the ball file and the picture, and say what came of it."""
    readings = read_readings(options.readings)
    try:
        ball = _weighed(options)
    except OutOfRange as error:
        raise Refused(f"There is no such ball: {error}.") from error
    found = calibrate(readings, taking_of(options), ball)
    contents = {
        BALL_FILE: content_of(ball_file_of(found)),
        PICTURE: graph_bytes(draw_residuals(found), "png"),
    }
    files = written(options.out, contents, force=options.force)
    for line in lines(found):
        print(line)
    for notice in readings.notices:
        print(f"Noticed: {notice}")
    print("Written: " + ", ".join(str(file) for file in files))
    return 0


def taking_of(options: argparse.Namespace) -> Taking:
    """How the readings were taken, as the options tell."""
    eye_cm = options.eye_level_cm
    return Taking(
        room_k=kelvin(options.room_c),
        soak_s=options.soak_s,
        water_kg=kilograms(options.water_g),
        before_soak_s=options.before_soak_s,
        towel=not options.no_towel,
        drying_s=options.drying_s,
        handling_s=options.handling_s,
        between_s=options.between_s,
        reheated=options.reheated == "yes",
        eye_height_m=None if eye_cm is None else metres(eye_cm),
        thermometer_sd_k=options.thermometer_c,
    )


def _weighed(options: argparse.Namespace) -> Ball:
    """What is not fitted, with the school's own mass and diameter."""
    return replace(
        FAST,
        name=OWN,
        mass_kg=kilograms(options.mass_g),
        diameter_m=to_si(options.diameter_mm, "mm"),
    )


def _add_soak_options(parser: argparse.ArgumentParser) -> None:
    soak = parser.add_argument_group("how the ball was warmed")
    soak.add_argument(
        "--soak-s", type=number(0, 1e5), default=120.0, help="time in the water, each time (120)"
    )
    soak.add_argument(
        "--water-g", type=number(1, 1e5), default=250.0, help="water in the beaker (250)"
    )
    soak.add_argument(
        "--before-soak-s",
        type=number(0, 1e5),
        default=16.0,
        help="from reading the thermometer to the ball going in (16)",
    )
    soak.add_argument(
        "--drying-s",
        type=number(0, 1e5),
        default=8.0,
        help="from lifting the ball out to its being dry (8)",
    )
    soak.add_argument(
        "--no-towel", action="store_true", help="the ball was not dried: it stays wet for a minute"
    )
    soak.add_argument(
        "--reheated",
        choices=("yes", "no"),
        default="no",
        help="whether the ball went back into the water before each drop, where the file has no "
        "such column (no)",
    )
    soak.add_argument(
        "--thermometer-c",
        type=number(0, 10),
        default=0.3,
        help="standard uncertainty of the thermometer's scale, °C (0.3)",
    )
    soak.add_argument("--room-c", type=number(0, 45), default=20.0, help="the room, °C (20)")


def _add_drop_options(parser: argparse.ArgumentParser) -> None:
    drop = parser.add_argument_group("how it was dropped and read")
    drop.add_argument(
        "--handling-s", type=number(0, 1e5), default=7.0, help="from drying to release (7)"
    )
    drop.add_argument(
        "--between-s",
        type=number(0, 1e5),
        default=18.0,
        help="from one release to the next where the ball was left to cool and the file has no "
        "elapsed times (18)",
    )
    drop.add_argument(
        "--eye-level-cm",
        type=number(0, 250),
        help="height of the eye above the floor (the level of the bounce before)",
    )
    drop.add_argument("--mass-g", type=number(1, 1000), default=24.0, help="the ball's mass (24)")
    drop.add_argument(
        "--diameter-mm", type=number(10, 200), default=40.0, help="the ball's diameter (40)"
    )
