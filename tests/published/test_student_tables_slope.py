"""The slope of the loss ratio, fitted in common to two published student tables by stated ways.

The tables do not tell how the ball was warmed, so each way gives another slope. The value that the
model states has to lie among those of the ways a careful school could have taken, each within its
stated uncertainty; a short soak in a beaker that cools asks for a slope that the model has not.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from physics.ball import LOSS_SLOPE_PER_K, LOSS_SLOPE_SD_PER_K, Ball
from physics.drop import bounce
from physics.reading import CAREFUL
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort
from tests.published.student_tables import A, S

ROOM_K = 273.15 + 20.0
EYE = replace(CAREFUL, timing_sd_s=0.0, place_sd_m=0.0, graduation_m=0.0)
AS_WARM_AS_THE_WATER = None
PUT_BACK = {"bath": "kept", "soak_s": 300.0, "reheat": True}
OFF_ONE_SOAK = {"bath": "kept", "soak_s": 300.0, "reheat": False}
SHORT = {"bath": "beaker", "soak_s": 120.0, "reheat": False}


def ball_k(celsius, drop_m, way):
    """How warm the ball is at each of three drops, for each temperature of the water."""
    if way is AS_WARM_AS_THE_WATER:
        return np.repeat(273.15 + celsius[:, None], 3, axis=1)
    plan = Procedure(tuple(273.15 + celsius), 3, drop_m, observer=EYE, **way)
    return cohort(Setup(seed=1, hand_sd_m=0.0), plan, 40).ball_k.mean(axis=0)


def pooled_slope(way):
    """The slope that fits both tables best, each with a ball of its own; relative squares."""
    reached = []
    for table in (A, S):
        inside = (table.celsius > 5.0) & (table.celsius < 95.0)  # what the bath can reach
        celsius, own_m = table.celsius[inside], table.heights_m[inside].mean(axis=1)
        reached.append((own_m, ball_k(celsius, table.drop_m, way), table.drop_m))

    def misfit(slope_per_k):
        return sum(_best(slope_per_k, *each) for each in reached)

    return minimize_scalar(misfit, bounds=(0.01, 0.05), method="bounded").x


def _best(slope_per_k, own_m, warm_k, drop_m):
    def squares(loss_ratio_40):
        ball = Ball(name="fitted", loss_ratio_40=loss_ratio_40, loss_slope_per_k=slope_per_k)
        model_m = bounce(ball, ROOM_K, warm_k, drop_m).apex_m.mean(axis=1)
        return float(np.sum((model_m - own_m) ** 2)) / drop_m**2

    return minimize_scalar(squares, bounds=(0.1, 0.4), method="bounded").fun


@pytest.mark.parametrize("way", [AS_WARM_AS_THE_WATER, PUT_BACK, OFF_ONE_SOAK])
def test_the_stated_slope_agrees_with_each_way_of_a_careful_school(way):
    assert abs(pooled_slope(way) - LOSS_SLOPE_PER_K) < LOSS_SLOPE_SD_PER_K


def test_the_stated_slope_lies_among_those_of_the_careful_ways():
    found = [pooled_slope(way) for way in (AS_WARM_AS_THE_WATER, PUT_BACK, OFF_ONE_SOAK)]
    assert min(found) < LOSS_SLOPE_PER_K < max(found)


def test_a_short_soak_in_a_beaker_that_cools_would_ask_for_another_slope():
    assert pooled_slope(SHORT) > LOSS_SLOPE_PER_K + LOSS_SLOPE_SD_PER_K
