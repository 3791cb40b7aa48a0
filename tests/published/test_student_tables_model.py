"""Two published student tables of rebound height, like for like against the model.

The tables have the water's temperature. Here the ball is taken to be as warm as the water, which a
soak without end gives: same temperatures, same drop height, the one free number the loss ratio.
The tolerances are the tables' own, two standard errors of a least-squares line through the means:
the slope of A from 20 °C to 60 °C is known to 11 %, that of S from 22 °C to 71 °C to 6 %.
"""

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from analysis.statistics.line import fit_line
from physics.ball import PLAYING_SPEEDS, Ball
from physics.drop import bounce
from tests.published.student_tables import A, S, StudentTable

ROOM_K = 273.15 + 20.0
TAUGHT_C = np.linspace(20.0, 60.0, 41)
TABLES = pytest.mark.parametrize("table", [A, S], ids=lambda table: table.name)


def rebound_m(loss_ratio_40, celsius, drop_m):
    ball = Ball(name="fitted", loss_ratio_40=loss_ratio_40)
    return bounce(ball, ROOM_K, 273.15 + celsius, drop_m).apex_m


def means_m(table: StudentTable):
    return table.heights_m.mean(axis=1)


def fitted(table: StudentTable):
    def squares(loss_ratio_40):
        off = rebound_m(loss_ratio_40, table.celsius, table.drop_m) - means_m(table)
        return float(np.sum(off**2))

    return minimize_scalar(squares, bounds=(0.05, 0.6), method="bounded").x


def lines(table: StudentTable):
    """Through the taught range of a table, 20 °C to 71 °C at most: its own, and the model's."""
    taught = (table.celsius >= 20.0) & (table.celsius <= 71.0)
    celsius = table.celsius[taught]
    model_m = rebound_m(fitted(table), celsius, table.drop_m)
    return fit_line(celsius, means_m(table)[taught]), fit_line(celsius, model_m)


@TABLES
def test_a_fitted_ball_gives_the_table_back(table):
    loss = fitted(table)
    off = rebound_m(loss, table.celsius, table.drop_m) - means_m(table)
    # Root mean square 1.3 % (A) and 1.8 % (S) of the drop height. Read to 1 cm: 1 % is the floor.
    assert np.sqrt(np.mean(off**2)) / table.drop_m < 0.02
    # Air takes 1.5 % of a rebound, so the loss left to the rubber is a little smaller.
    assert loss == pytest.approx(table.loss_ratio, abs=0.006)


@pytest.mark.parametrize(
    "table",
    [
        A,
        pytest.param(
            S,
            marks=pytest.mark.xfail(
                strict=True,
                reason="the stated slope of the loss ratio is that of balls cooler than their "
                "water; S with a ball as warm as its water allows 0.0189 1/K at most",
            ),
        ),
    ],
    ids=lambda table: table.name,
)
def test_slope_like_for_like(table):
    own, model = lines(table)
    assert abs(model.gradient - own.gradient) < 2.0 * own.gradient_uncertainty


@TABLES
def test_level_like_for_like(table):
    own, model = lines(table)
    middle = own.mean_x
    assert abs(model.at(middle) - own.at(middle)) < 2.0 * own.uncertainty_at(middle)


@pytest.mark.parametrize("ball", PLAYING_SPEEDS.values(), ids=list(PLAYING_SPEEDS))
def test_every_playing_speed_is_near_a_straight_line(ball):
    # Linear is a good model from 20 °C to 60 or 70 °C: the tables' r are 0.988 to 0.997.
    heights_cm = 100.0 * bounce(ball, ROOM_K, 273.15 + TAUGHT_C, 1.0).apex_m
    assert np.corrcoef(TAUGHT_C, heights_cm)[0, 1] >= 0.98
