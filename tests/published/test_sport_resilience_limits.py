"""The sport's own limits for its balls.

Resilience (rebound height over drop height): the world federation's ball specification, drop
from 100 inches, ball at 23 °C and then at 45 °C. The method, the height and the temperatures
were read at second hand (S. Edgar, 2000, http://ithacasquash.com/thebounce/benchmark.html);
the percentages are from memory and nobody has checked them against the federation's sheet.
Size and mass: encyclopaedia entry "Squash (sport)", equipment section, read in four copies.
"""

import pytest

from physics.ball import EXTRA_SLOW, PLAYING_SPEEDS, SLOW
from physics.drop import bounce

DROP_M = 2.54
ROOM_K = 273.15 + 20.0


def resilience(ball, celsius):
    return bounce(ball, ROOM_K, 273.15 + celsius, DROP_M).apex_m / DROP_M


@pytest.mark.parametrize(
    ("ball", "least_at_23", "band_at_45"),
    # From memory: the two balls of the competition table.
    [(EXTRA_SLOW, 0.12, (0.25, 0.30)), (SLOW, 0.15, (0.30, 0.35))],
    ids=["extra slow", "slow"],
)
def test_resilience(ball, least_at_23, band_at_45):
    assert resilience(ball, 23.0) >= least_at_23
    assert band_at_45[0] <= resilience(ball, 45.0) <= band_at_45[1]


def test_faster_balls_lie_above_the_competition_bands():
    hot = [resilience(ball, 45.0) for ball in PLAYING_SPEEDS.values()]
    assert hot == sorted(hot)
    assert hot[-1] > 0.35


@pytest.mark.parametrize("ball", PLAYING_SPEEDS.values(), ids=str)
def test_size_and_mass(ball):
    # 40.0 mm ± 0.5 mm and 24.0 g ± 1.0 g.
    assert ball.diameter_m == pytest.approx(0.0400, abs=0.0005)
    assert ball.mass_kg == pytest.approx(0.0240, abs=0.0010)
