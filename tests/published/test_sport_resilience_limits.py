"""The sport's own limits for its balls.

Resilience (rebound height over drop height): the world federation's ball specification, drop
from 100 inches, ball at 23 °C and then at 45 °C. The method, the height and the temperatures
were read at second hand (S. Edgar, 2000, http://ithacasquash.com/thebounce/benchmark.html);
the percentages are from memory and nobody has checked them against the federation's sheet.
Size and mass: encyclopaedia entry "Squash (sport)", equipment section, read in four copies.
"""

import pytest

from physics.ball import EXTRA_SLOW, FAST, MEDIUM, PLAYING_SPEEDS, SLOW
from physics.drop import bounce
from physics.flight import fall_time_s, rise_time_s

DROP_M = 2.54
ROOM_K = 273.15 + 20.0


def resilience(ball, celsius):
    return bounce(ball, ROOM_K, 273.15 + celsius, DROP_M).apex_m / DROP_M


def hang_time_s(ball):
    """From the first bounce of a hot ball to the second, after a fall of 4.369 m."""
    fallen = bounce(ball, ROOM_K, 273.15 + 45.0, 4.369)
    up_s = rise_time_s(ball, ROOM_K, fallen.restitution * fallen.impact_speed_m_s)
    return up_s + fall_time_s(ball, ROOM_K, fallen.apex_m)


@pytest.mark.parametrize(
    ("ball", "least_at_23", "band_at_45"),
    # From memory: the slowest ball of the later table of two competition balls, and the one ball of
    # the table before it. The later table's second ball (15 % at 23 °C, 30 % to 35 % at 45 °C) is
    # livelier than the slow ball that was measured to hang 1 % longer than the slowest; our medium
    # ball lies there.
    [
        (EXTRA_SLOW, 0.12, (0.25, 0.30)),
        (SLOW, 0.12, (0.26, 0.33)),
        (MEDIUM, 0.15, (0.30, 0.35)),
    ],
    ids=["extra slow", "slow", "medium"],
)
def test_resilience(ball, least_at_23, band_at_45):
    assert resilience(ball, 23.0) >= least_at_23
    assert band_at_45[0] <= resilience(ball, 45.0) <= band_at_45[1]


@pytest.mark.parametrize(
    ("ball", "longer"), [(SLOW, 0.01), (MEDIUM, 0.07), (FAST, 0.14)], ids=["slow", "medium", "fast"]
)
def test_hang_time_after_the_bounce_against_the_slowest_ball(ball, longer):
    # Read in the source: S. Edgar, 2000, http://www.ithacasquash.com/thebounce/summary.html; drop
    # of 4.369 m, balls at 45 °C by thermocouple, whole per cent printed. So a hot fast ball comes
    # 30 % higher than the slowest, for the height goes with the square.
    assert hang_time_s(ball) / hang_time_s(EXTRA_SLOW) - 1.0 == pytest.approx(longer, abs=0.005)


def test_the_slowest_ball_bounces_twice_as_high_hot_as_fresh():
    # Same source: the bounce "can double" between a fresh and a hot ball, "factor 2" in our notes;
    # the sport's two temperatures are taken for fresh and hot.
    assert resilience(EXTRA_SLOW, 45.0) / resilience(EXTRA_SLOW, 23.0) == pytest.approx(
        2.0, abs=0.1
    )


@pytest.mark.parametrize("ball", PLAYING_SPEEDS.values(), ids=str)
def test_each_ball_lies_among_the_published_ones(ball):
    # Loss ratios at 40 °C worked from published rebounds by ln e: 0.174 the liveliest, table A's
    # 0.266 the deadest (test_student_tables_model).
    assert 0.174 <= ball.loss_ratio_40 <= 0.266


@pytest.mark.parametrize("ball", PLAYING_SPEEDS.values(), ids=str)
def test_size_and_mass(ball):
    # 40.0 mm ± 0.5 mm and 24.0 g ± 1.0 g.
    assert ball.diameter_m == pytest.approx(0.0400, abs=0.0005)
    assert ball.mass_kg == pytest.approx(0.0240, abs=0.0010)
