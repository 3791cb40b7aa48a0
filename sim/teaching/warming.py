"""What the way of warming the ball does to the line: how much flatter a plan makes it.

A ball that has not taken the water's temperature, or has lost some of it before the drop, lags
behind the water by more the hotter the water is. Against the water's temperature the line is then
flatter than a ball as warm as its water would give. That is asked of the model, with an eye that
misses nothing, and said to the teacher in one sentence.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from analysis.quantity.units import FloatArray, celsius, centimetres, percent, plain
from analysis.statistics.line import fit_line
from physics.ball import Ball
from physics.drop import bounce
from physics.number import Number
from physics.reading import CAREFUL
from sim.procedure import BATH_WORDS, Procedure
from sim.state import ROOM_K, Setup
from sim.student import cohort

MEMBERS = 60
"""Students asked. They differ in the pace of their hands and in their thermometers alone."""
EVERY_EYE = replace(CAREFUL, timing_sd_s=0.0, place_sd_m=0.0, graduation_m=0.0)


class PlansGradients(NamedTuple):
    """Gradients against the water's temperature, m/K."""

    as_warm_as_the_water: float
    by_the_plan: float

    @property
    def share_lost(self) -> float:
        """How much flatter the plan makes the line, as a share of the first."""
        return 1.0 - self.by_the_plan / self.as_warm_as_the_water


def gradients(ball: Ball, plan: Procedure) -> PlansGradients | None:
    """The lines of a model's ball by a plan; None for a plan of fewer than two temperatures."""
    water_k = np.array(plan.temperatures_k)
    if len(set(plan.temperatures_k)) < 2:
        return None
    certain = replace(ball, loss_ratio_spread=0.0)
    warm = bounce(certain, ROOM_K, water_k, plan.drop_height_m).apex_m
    asked = replace(plan, observer=EVERY_EYE, eye_height_m=None)
    read = cohort(Setup(seed=1, model=certain, hand_sd_m=0.0), asked, MEMBERS).heights_m
    return PlansGradients(_gradient(water_k, warm), _gradient(water_k, read.mean(axis=(0, 2))))


def flattening_sentence(ball: Ball, plan: Procedure) -> str:
    """How much the plan flattens the line, in words; "" where there is no line."""
    found = gradients(ball, plan)
    if found is None:
        return ""
    warm, planned = (plain(float(centimetres(each)), 2) for each in found)
    return (
        f"By the model a ball as warm as its water would give {warm} cm for each °C. "
        f"{plain(plan.soak_s, 0)} s in {BATH_WORDS[plan.bath]} and the time to the drops leave it "
        "behind the water, most where the water is hottest, so that the line is "
        f"{plain(percent(found.share_lost), 0)} % flatter: {planned} cm for each °C. It is "
        "flattened least by a long soak in a bath kept hot, the ball put back before each drop."
    )


def _gradient(water_k: FloatArray, heights_m: Number) -> float:
    return float(fit_line(celsius(water_k), np.asarray(heights_m)).gradient)
