"""Two published student tables of rebound height against temperature, held against the model.

Table A: "Bouncing balls", drop of 1 m, three drops by eye, cm;
http://www.markedbyteachers.com/gcse/science/bouncing-balls-2.html
Table S: "Squash ball - efficiency", drop of 0.80 m, three drops, m; scribd.com document 598382699.
The kind of ball is not told in A; S fits the sport's second-slowest ball. Both temperatures
are the water's: the ball was cooler when it fell (S's author allows 15 °C for that), so the
gradient against the ball's own temperature is steeper than the tables'.
"""

from dataclasses import dataclass

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from physics.ball import PLAYING_SPEEDS, Ball
from physics.drop import bounce

ROOM_K = 273.15 + 20.0
TAUGHT_C = np.linspace(20.0, 60.0, 41)


@dataclass(frozen=True)
class Table:
    drop_m: float
    celsius: np.ndarray
    mean_m: np.ndarray


A = Table(
    1.0,
    np.array([0.0, 20.0, 40.0, 60.0, 80.0, 100.0]),
    np.array([[3, 4, 3], [8, 10, 8], [18, 17, 17], [30, 31, 29], [45, 50, 40], [60, 61, 61]]).mean(
        axis=1
    )
    / 100.0,
)
S = Table(
    0.80,
    np.array([5.0, 22.0, 33.0, 43.0, 53.0, 63.0, 71.0, 83.0]),
    np.array(
        [
            [0.08, 0.15, 0.22, 0.25, 0.30, 0.35, 0.39, 0.45],
            [0.08, 0.15, 0.21, 0.22, 0.29, 0.34, 0.40, 0.44],
            [0.07, 0.14, 0.20, 0.23, 0.29, 0.31, 0.38, 0.43],
        ]
    ).mean(axis=0),
)
# Loss ratios at 40 °C worked from the tables by ln e, air left out: A 0.266, S 0.202.
PUBLISHED_LOSS = {"A": 0.266, "S": 0.202}
TABLES = {"A": A, "S": S}


def rebound_m(loss_ratio_40, celsius, drop_m):
    ball = Ball(name="fitted", loss_ratio_40=loss_ratio_40)
    return bounce(ball, ROOM_K, 273.15 + celsius, drop_m).apex_m


def fitted(table):
    def squares(loss_ratio_40):
        off = rebound_m(loss_ratio_40, table.celsius, table.drop_m) - table.mean_m
        return float(np.sum(off**2))

    return minimize_scalar(squares, bounds=(0.05, 0.6), method="bounded").x


@pytest.mark.parametrize("name", TABLES)
def test_a_fitted_ball_gives_the_table_back(name):
    table = TABLES[name]
    loss = fitted(table)
    off = rebound_m(loss, table.celsius, table.drop_m) - table.mean_m
    # Root mean square 1.8 % (A) and 1.3 % (S) of the drop height; the two together come to
    # the 1.5 % that the common slope was published with. Read to 1 cm: 1 % is the floor.
    assert np.sqrt(np.mean(off**2)) / table.drop_m < 0.02
    # Air takes 1.5 % of a rebound, so the loss left to the rubber is a little smaller.
    assert loss == pytest.approx(PUBLISHED_LOSS[name], abs=0.006)


@pytest.mark.parametrize("name", TABLES)
def test_published_loss_ratios_give_the_level(name):
    heights_cm = 100.0 * rebound_m(PUBLISHED_LOSS[name], np.array([20.0, 60.0]), 1.0)
    # The two tables, S scaled to 1 m: 8 cm to 19 cm at 20 °C, 28 cm to 41 cm at 60 °C.
    assert 8.0 < heights_cm[0] < 19.0
    assert 28.0 < heights_cm[1] < 41.0


@pytest.mark.parametrize(
    ("name", "measured_cm", "steeper"),
    # Least squares on the tables: A 0.533 cm/°C from 20 °C to 60 °C; S 0.586 % to 0.595 % of
    # the drop height per °C. The model's lines are 6 % and 7 % steeper, as they ought to be
    # against the ball's own temperature.
    [("A", 0.533, 1.06), ("S", 0.59, 1.07)],
)
def test_gradient_over_the_taught_range(name, measured_cm, steeper):
    heights_cm = 100.0 * rebound_m(fitted(TABLES[name]), TAUGHT_C, 1.0)
    gradient, intercept = np.polyfit(TAUGHT_C, heights_cm, 1)
    assert gradient == pytest.approx(measured_cm * steeper, abs=0.01)
    assert np.corrcoef(TAUGHT_C, heights_cm)[0, 1] >= 0.98
    assert abs(intercept) > 1.0  # centimetres: the line misses the origin


@pytest.mark.parametrize("ball", PLAYING_SPEEDS.values(), ids=list(PLAYING_SPEEDS))
def test_every_playing_speed_has_the_tables_shape(ball):
    heights_cm = 100.0 * bounce(ball, ROOM_K, 273.15 + TAUGHT_C, 1.0).apex_m
    gradient, intercept = np.polyfit(TAUGHT_C, heights_cm, 1)
    # The tables' band is 0.47 to 0.62 cm/°C against the water. It is left open to 0.66
    # upwards: the same 6 % as above.
    assert 0.47 < gradient < 0.66
    assert np.corrcoef(TAUGHT_C, heights_cm)[0, 1] >= 0.98
    assert intercept > 0.2
    # Between a fifth and three fifths of the way: A 2.5 %, S 1.9 % per °C at 45 °C; livelier
    # balls than theirs rise by less of themselves.
    relative = (heights_cm[26] - heights_cm[24]) / 2.0 / heights_cm[25] * 100.0
    assert 1.6 < relative < 2.8


def test_relative_gradient_at_45_degrees_of_the_fitted_balls():
    for table in TABLES.values():
        near_cm = rebound_m(fitted(table), np.array([44.0, 45.0, 46.0]), 1.0)
        # A 2.5 %, S 1.9 %, the sport's middle values 2.6 % per °C: 1.8 to 2.8.
        assert 1.8 < 100.0 * (near_cm[2] - near_cm[0]) / 2.0 / near_cm[1] < 2.8
