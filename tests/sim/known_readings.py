"""Readings made with known parameters, as the fit is to give them back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

import sim.student
from analysis.readings.readings import Readings
from physics.ball import FAST, LOSS_RATIO_SPREAD, LOSS_SLOPE_PER_K, LOSS_SLOPE_SD_PER_K
from physics.constants import STANDARD_GRAVITY_M_S2
from physics.reading import Reader
from sim.calibration.calibrate import OWN, Calibration, judged
from sim.calibration.model import Model, course_of, model_of, parallax_gain
from sim.calibration.taking import Taking
from sim.chance import apparatus_chance
from sim.procedure import Procedure
from sim.state import Setup

PLAN = Procedure()
ROWS, REPEATS = len(PLAN.temperatures_k), PLAN.repeats
EYE_SD_M = 0.005
OWN_BALL = replace(FAST, name=OWN)
PATIENT_S = 60.0
"""How long the student watches the thermometer. After the scripted 20 s it still trails the
freshly mixed water by 0.6 °C, which the first set would carry."""


@dataclass(frozen=True)
class Trial:
    """What was known, and what came of the fit."""

    loss_ratio_40: float
    cooling_factor: float
    slope_per_k: float
    spread_m: float
    found: Calibration


def readings_of(heights_m, *, reheated=False, places=1, at_k=PLAN.temperatures_k) -> Readings:
    """A table of heights, (temperatures, repeats), as a readings file gives it."""
    frame = pd.DataFrame(
        {
            "temperature_k": np.repeat(at_k, heights_m.shape[1]),
            "repeat": np.tile(np.arange(heights_m.shape[1]) + 1, len(heights_m)),
            "rebound_height_m": np.ravel(heights_m),
            "reheated": reheated,
        }
    )
    return Readings(frame, "known.csv", places)


def plain_model() -> Model:
    """The model of the scripted student's plan, the ball left to cool."""
    course = course_of(readings_of(np.zeros((ROWS, REPEATS))), Taking())
    return model_of(course, Taking(), OWN_BALL)


def reader(share: float, graduation_m: float) -> Reader:
    """An eye of EYE_SD_M, of which so much comes from the judged instant, the rest from place."""
    return Reader(
        "known",
        timing_sd_s=float(np.sqrt(np.sqrt(2.0) * share * EYE_SD_M / STANDARD_GRAVITY_M_S2)),
        place_sd_m=EYE_SD_M * float(np.sqrt(1.0 - share**2)),
        graduation_m=graduation_m,
    )


def trials(batches: int, members: int, graduation_m: float, seed: int) -> Iterator[Trial]:
    """Fit cohorts that differ in ball, cooling, slope and kind of eye.

    The slope and the thermometers are drawn as their stated uncertainties say; the kinds of
    eye go from all place to all instant.
    """
    model, patience = plain_model(), sim.student.SETTLE_S
    draw = np.random.default_rng(seed)
    spread_m = float(np.hypot(parallax_gain() * EYE_SD_M, graduation_m / np.sqrt(12.0)))
    for batch in range(batches):
        ball = replace(
            OWN_BALL,
            loss_ratio_40=draw.uniform(0.15, 0.26),
            cooling_factor=float(np.exp(draw.uniform(np.log(0.7), np.log(1.5)))),
            loss_slope_per_k=LOSS_SLOPE_PER_K + LOSS_SLOPE_SD_PER_K * draw.standard_normal(),
        )
        setup = Setup(seed=seed + batch, member=1, model=ball)
        plan = replace(PLAN, observer=reader((batch + 0.5) / batches, graduation_m))
        sim.student.SETTLE_S = PATIENT_S
        try:
            heights_m = sim.student.cohort(setup, plan, members).heights_m
        finally:
            sim.student.SETTLE_S = patience
        individual = 1.0 + LOSS_RATIO_SPREAD * apparatus_chance(setup.seed, 1).ball[:members]
        for table_m, own in zip(heights_m, individual, strict=True):
            yield Trial(
                float(ball.loss_ratio_40 * own),
                ball.cooling_factor,
                ball.loss_slope_per_k,
                spread_m,
                judged("known.csv", model, table_m.ravel(), graduation_m),
            )
