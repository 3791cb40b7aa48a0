"""The ball in air: cooling through its surface, its film of water drying, the towel.

What leaves the surface is worked out in `physics.transfer.surface`, how the wall gives it up in
`physics.wall`. Held against the conduction equation with the same laws at the surface, the mean of
the wall stays within 0.4 K through every sequence of soak, lift, towel, drops and soak again
(tests/physics/test_conduction.py).

All functions take the state in which the ball came into its surroundings and the time since then.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from physics.ball import Ball
from physics.conduction import GROWTH, Conduction, conduction_of, stepped
from physics.number import FloatArray, Number
from physics.ranges import within
from physics.transfer.lookup import Lookup, read_off
from physics.transfer.surface import (
    dry_loss_w_m2,
    dry_table,
    film_loss_table,
    moving_table,
    skin,
    wet_table,
)
from physics.wall import Shell, lag_s, shell, wall

FILM_KG = 0.15e-3
"""The film of water on a ball that is lifted out, once the drops have fallen off: 0.03 mm.
Stated assumption. It lasts 80 s on a ball that came out at 60 °C, 20 minutes on one as warm as the
room."""

FLIGHT_SPEED_M_S = 2.0
"""The air's speed past a ball that falls and bounces. The mean over a fall of 1 m is
2.2 m/s, over the bounces a little less. Stated assumption."""

TOWEL_W_M2_K = 35.0
"""Heat that a towel takes from the ball by conduction. Estimate: a dry cotton towel has an
effusivity √(kρc) near 140 W s^½/(m² K) (0.06 W/(m K), 250 kg/m³, 1300 J/(kg K), from memory) and
takes 2 × 140 √(t/π) per kelvin in a time t, a mean of 70 W/(m² K) over 5 s; half of the ball is
in contact at a time. A ball at 60 °C loses 0.9 K in 5 s. Good to a factor of two: a damp towel
takes more, the water that it has taken up warms it."""

DRY_W_M2_K, WET_W_M2_K = 15.0, 60.0
"""Film coefficients of the linear part for a dry ball and a wet one."""
DRY_EXCESSES_K = (10.0, 55.0)
"""Excesses of the surface over the room at which a dry ball cools as the correlations say."""
WET_STEP_S = 0.75
"""The first step of a wet ball: with the next, three times as long, the time of lifting out."""
MOVING_EXCESS_K = 30.0
"""Of the surface over the room, where the coefficient of the moving ball is right: in the second
that it moves a ball 60 K above the room comes out 0.02 K too warm."""
LONGEST_S = 1e9


class Warmth(NamedTuple):
    """The ball's temperatures, (..., NODES, balls), and the water on it, kg.

    The film is one number for all, or has the shape (..., 1, balls).
    """

    profile_k: FloatArray
    film_kg: Number


def in_air(ball: Ball, room_k: float, warmth: Warmth, time_s: Number) -> Warmth:
    """The ball in still air: while its film lasts as a wet ball, then as a dry one.

    A dry ball's modes fade each by itself: the slowest, which is nearly all of a settled wall, at a
    rate that grows with its amount as convection and radiation make it, da/dt = −(r₀ + r₁ |a|) a,
    the others as with a fixed film coefficient. That has an exact solution.

    Args:
        ball: the ball.
        room_k: the room's temperature, one number, kelvin, 0 °C to 45 °C.
        warmth: how the ball came into the air; a film of 0 kg for a towelled ball.
        time_s: how long ago that was, s, one number or of shape (balls,).

    Returns:
        how it is now. A wait may be cut anywhere, if every piece is counted from the beginning.

    Raises:
        OutOfRange: for a time below zero or a room outside these, naming it.

    """
    within(time_s, 0.0, LONGEST_S, "time", "s")
    if not (isinstance(warmth.film_kg, float | int) and warmth.film_kg == 0.0):
        warmth, time_s = _while_wet(ball, room_k, warmth, time_s)
    exchange, fading_per_s, bend = _dry(ball, room_k)
    amounts = exchange.amounts_of(warmth.profile_k, room_k)
    left = np.asarray(-fading_per_s * time_s)
    np.exp(left, out=left)
    now = left * amounts
    slowest = np.abs(amounts[..., :1, :])
    now[..., :1, :] /= 1.0 + bend * slowest * (1.0 - left[..., :1, :])
    return Warmth(exchange.temperatures_k(now, room_k), warmth.film_kg)


def in_flight(ball: Ball, room_k: float, profile_k: FloatArray, time_s: Number) -> FloatArray:
    """The wall after a time of falling and bouncing, dry: moving air cools faster.

    At 60 °C in a room of 20 °C a fall of 0.45 s costs 0.1 K. What the floor takes in the
    few milliseconds of contact is left out. Raises OutOfRange as `in_air` does.
    """
    within(time_s, 0.0, LONGEST_S, "time", "s")
    return _through(_exchange(ball, _moving_w_m2_k(ball, room_k)), room_k, profile_k, time_s)


def towelled(ball: Ball, room_k: float, profile_k: FloatArray, time_s: float) -> FloatArray:
    """The wall after a time in a towel as warm as the room, which takes up the film at once."""
    within(time_s, 0.0, LONGEST_S, "time", "s")
    exchange = _one(_outward(shell(ball), (TOWEL_W_M2_K * ball.area_m2,)))
    return _through(exchange, room_k, profile_k, time_s)


def _through(
    exchange: Conduction, room_k: float, profile_k: FloatArray, time_s: Number
) -> FloatArray:
    """The wall after a time with a film coefficient that does not change."""
    left = np.exp(-exchange.fading_per_s * time_s) * exchange.amounts
    now_k: FloatArray = (exchange.shapes @ left) @ (profile_k - room_k)
    now_k += room_k
    return now_k


def air_time_constant_s(ball: Ball, room_k: float, excess_k: float) -> float:
    """Time constant of a dry ball in still air whose mean is so far above the room, s.

    Once the wall has settled: its mean is warmer than its surface by the lag times its cooling.
    """
    surface_k = room_k + np.linspace(0.0, excess_k, 401)
    loss_w = dry_loss_w_m2(skin(ball), surface_k, room_k) * ball.area_m2
    cooling_k_s = loss_w / ball.heat_capacity_j_k
    mean_excess_k = surface_k - room_k + lag_s(ball) * cooling_k_s
    return excess_k / float(np.interp(excess_k, mean_excess_k, cooling_k_s))


def _while_wet(
    ball: Ball, room_k: float, warmth: Warmth, time_s: Number
) -> tuple[Warmth, FloatArray]:
    """The ball when its film or the time is over, and what is left of the time.

    The film goes by what evaporates at both ends of each whole step, evenly in between.
    """
    exchange = _exchange(ball, WET_W_M2_K)
    beyond_w = _beyond(ball, wet_table(ball, room_k), WET_W_M2_K)
    drying = film_loss_table(ball, room_k)
    amounts = exchange.amounts_of(warmth.profile_k, room_k)
    left_s = time_s + np.zeros_like(amounts[..., :1, :])
    film_kg = warmth.film_kg + np.zeros_like(left_s)
    step_s = WET_STEP_S
    while ((left_s > 0.0) & (film_kg > 0.0)).any():
        ahead = stepped(exchange, amounts, beyond_w, step_s)
        flow = read_off(drying, exchange.seen @ amounts) + read_off(drying, exchange.seen @ ahead)
        lost_kg = 0.5 * step_s * ball.cooling_factor * ball.area_m2 * flow
        share = np.where(lost_kg > film_kg, film_kg / np.maximum(lost_kg, 1e-12), 1.0)
        lasts_s = np.where(film_kg > 0.0, share, 0.0) * step_s
        passed_s = np.minimum(left_s, lasts_s)
        whole = passed_s.min() == step_s
        amounts = ahead if whole else stepped(exchange, amounts, beyond_w, passed_s)
        dried = (share < 1.0) & (left_s >= lasts_s)
        film_kg = np.where(dried, 0.0, film_kg - lost_kg * (passed_s / step_s))
        left_s, step_s = left_s - passed_s, step_s * GROWTH
    return Warmth(exchange.temperatures_k(amounts, room_k), film_kg), left_s


def _beyond(ball: Ball, table: Lookup, film_w_m2_k: float) -> Callable[[FloatArray], FloatArray]:
    """What the surface loses beyond a film coefficient, W, from its excess over the room."""
    area_m2 = ball.cooling_factor * ball.area_m2

    def beyond_w(excess_k: FloatArray) -> FloatArray:
        return area_m2 * (read_off(table, excess_k) - film_w_m2_k * excess_k)

    return beyond_w


class _Dry(NamedTuple):
    """A dry wall in still air, or one for each of many cooling factors."""

    exchange: Conduction
    fading_per_s: FloatArray
    """(n, 1): of the slowest mode when hardly any of it is left."""
    bend: FloatArray
    """r₁ / r₀ of the slowest mode, (1, 1), per amount."""


def _dry(ball: Ball, room_k: float) -> _Dry:
    flux_w_m2 = read_off(dry_table(ball, room_k), np.array(DRY_EXCESSES_K))
    factors = np.asarray(ball.cooling_factor)
    found = _dried(
        shell(ball), lag_s(ball), tuple(flux_w_m2.tolist()), tuple(factors.ravel().tolist())
    )
    if factors.ndim:
        return found
    return _Dry(_one(found.exchange), found.fading_per_s[0], found.bend[0])


@lru_cache(maxsize=256)
def _dried(
    of: Shell, lag_s: float, flux_w_m2: tuple[float, ...], factors: tuple[float, ...]
) -> _Dry:
    """The slowest mode's rate is right for the mean of a settled wall at the two excesses.

    There the mean is warmer than the surface by the lag times the rate of cooling.
    """
    area_m2, many = 4.0 * np.pi * of.outer_m**2, np.array(factors)[:, None]
    exchange = _outward(of, tuple((DRY_W_M2_K * area_m2 * many[:, 0]).tolist()))
    cooling_k_s = many * np.array(flux_w_m2) * area_m2 / of.heat_j_k
    mean_k = np.array(DRY_EXCESSES_K) + lag_s * cooling_k_s
    rates_per_s = cooling_k_s / mean_k
    slope = (rates_per_s[:, 1] - rates_per_s[:, 0]) / (mean_k[:, 1] - mean_k[:, 0])
    at_zero_per_s = rates_per_s[:, 0] - slope * mean_k[:, 0]
    fading_per_s = exchange.fading_per_s.copy()
    fading_per_s[:, 0, 0] = at_zero_per_s
    mean_of_amount = (wall(of).heat_j_k / of.heat_j_k) @ exchange.shapes[:, :, 0].T
    bend = np.abs(mean_of_amount) * slope / at_zero_per_s
    return _Dry(exchange, fading_per_s, bend[:, None, None])


def _exchange(ball: Ball, film_w_m2_k: float) -> Conduction:
    """The wall with a film coefficient about it: one exchange, or one for each of many factors."""
    outward_w_k = np.asarray(ball.cooling_factor * film_w_m2_k * ball.area_m2)
    found = _outward(shell(ball), tuple(outward_w_k.ravel().tolist()))
    return found if outward_w_k.ndim else _one(found)


def _one(exchanges: Conduction) -> Conduction:
    return Conduction(*(each[0] for each in exchanges))


def _moving_w_m2_k(ball: Ball, room_k: float) -> float:
    """The film coefficient of a moving ball for a factor of 1, at a usual excess of its surface."""
    table = moving_table(ball, room_k, FLIGHT_SPEED_M_S)
    return float(read_off(table, np.array([MOVING_EXCESS_K]))[0]) / MOVING_EXCESS_K


@lru_cache(maxsize=256)
def _outward(of: Shell, outward_w_k: tuple[float, ...]) -> Conduction:
    """Exchanges of one wall with surroundings that take so many watts per kelvin of its surface."""
    held = wall(of)
    conductance_w_k = np.repeat(held.conductance_w_k[None], len(outward_w_k), axis=0)
    conductance_w_k[:, -1, -1] += outward_w_k
    return conduction_of(held.heat_j_k[None], conductance_w_k, slice(-1, None))
