"""What the pressure of the gas inside adds to a bounce: the estimate that the model states.

Assumptions: sealed at the air's pressure at 20 °C and as warm as the wall; the contact is half a
swing, so its dent is v t / π deep; the dent takes a cap of its own depth from the hollow, or half
of one where the wall bulges beside it; the gas gives back all that is pressed into it.
"""

import numpy as np
import pytest

from physics.ball import USUAL_BALL
from physics.drop import bounce
from physics.restitution import loss_ratio

COLD_K, HOT_K = 293.15, 333.15
AIR_PA = 101_325.0
SEVENTH = HOT_K / COLD_K - 1.0


def stored_share(contact_s, cap, speed_m_s):
    """Share of the impact's energy that the gas's extra pressure stores, pressed adiabatically."""
    inner_m = USUAL_BALL.inner_radius_m
    dent_m = speed_m_s * contact_s / np.pi
    hollow_m3 = 4.0 / 3.0 * np.pi * inner_m**3
    left = 1.0 - cap * np.pi * dent_m**2 * (inner_m - dent_m / 3.0) / hollow_m3
    stored_j = AIR_PA * SEVENTH * hollow_m3 / 0.4 * (left**-0.4 - 1.0)
    return stored_j / (0.5 * USUAL_BALL.mass_kg * speed_m_s**2)


def added_cm(contact_s, cap):
    hot = bounce(USUAL_BALL, COLD_K, HOT_K, 1.0)
    share = stored_share(contact_s, cap, hot.impact_speed_m_s)
    loss = loss_ratio(USUAL_BALL, HOT_K, hot.impact_speed_m_s)
    # Only the rest goes into lossy rubber: λ of the whole, so λ / (1 - share) of the rest.
    without = np.exp(-2.0 * np.pi * loss * (1.0 / (1.0 - share) - 1.0))
    return 100.0 * hot.apex_m * (1.0 - without)


def test_the_pressure_rises_by_about_a_seventh():
    assert pytest.approx(1.0 / 7.0, abs=0.01) == SEVENTH


def test_that_adds_1_to_3_cm_of_some_26_cm():
    cold, hot = (bounce(USUAL_BALL, COLD_K, each, 1.0).apex_m for each in (COLD_K, HOT_K))
    assert 100.0 * (hot - cold) == pytest.approx(26.0, abs=1.0)
    assert 1.0 < added_cm(0.004, cap=0.5) < added_cm(0.004, cap=1.0) < 3.1
    assert 0.5 < added_cm(0.003, cap=0.5) < added_cm(0.005, cap=1.0) < 5.0
