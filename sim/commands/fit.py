"""`fit`: the model fitted to a school's own readings, and its ball kept in a ball file."""

from __future__ import annotations

import argparse
from dataclasses import replace

from analysis.command_line import say, say_written
from analysis.files import written
from analysis.paper.graph_sheet import graph_bytes
from analysis.quantity.units import kelvin, kilograms, to_si
from analysis.readings.readings import read_readings
from analysis.refusal import Refused
from physics.ball import FAST, Ball
from physics.ranges import OutOfRange
from sim.calibration.ball_file import content_of
from sim.calibration.calibrate import OWN, calibrate
from sim.calibration.fit_report import ball_file_of, draw_residuals, lines
from sim.calibration.taking import Taking
from sim.commands.options import eye_height_m_of

BALL_FILE = "own.ball.json"
PICTURE = "residuals.png"


def run(options: argparse.Namespace) -> int:
    """Read, fit, write the ball file and the picture, and say what came of it."""
    readings = read_readings(options.readings)
    try:
        ball = _weighed(options)
    except OutOfRange as error:
        raise Refused(f"There is no such ball: {error}.") from error
    found = calibrate(readings, _taking_of(options), ball)
    contents = {
        BALL_FILE: content_of(ball_file_of(found)),
        PICTURE: graph_bytes(draw_residuals(found), "png"),
    }
    files = written(options.out, contents, force=options.force)
    say(*lines(found), *(f"Noticed: {notice}" for notice in readings.notices))
    say_written(*files)
    return 0


def _taking_of(options: argparse.Namespace) -> Taking:
    """How the readings were taken, as the options tell."""
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
        eye_height_m=eye_height_m_of(options),
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
