"""The habits of a scripted student: how the water is brought to a temperature, where the eye goes.

Numbers and formulas alone; `sim.student` does things by them, one student at a time or thousands.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from physics.number import Number
from physics.reading import Camera
from sim.procedure import COLDEST_BATH_K, HOTTEST_BATH_K, JUG_K, KETTLE_K, Procedure

DAWDLE_S = 3.0
DAWDLE_SD_S = 1.0
"""The time between picking the ball up and bringing it to the mark varies so from drop to
drop. Stated assumption."""
SETTLE_S = 20.0
"""How long a student watches the thermometer before trusting it. Stated assumption."""
WATER_KG = 0.250
"""How full the beaker is kept. Stated assumption: enough to cover the ball well."""
FIRST_GUESS_M = 0.30
"""Where the eye goes for the first drop of all, before any rebound has been seen."""
CAMERA_HEIGHT_M = 0.35
"""Where the camera stands when nobody says otherwise: amid the usual rebounds."""
NEAR_ENOUGH_K = 0.25
"""A thermometer read to half a degree cannot ask for a finer adjustment."""


def dawdle_s(handling: Number) -> Number:
    """The time lost between picking up and the mark, from a standard normal; never negative."""
    dawdled: Number = np.maximum(DAWDLE_S + DAWDLE_SD_S * handling, 0.0)
    return dawdled


def hot_share(target_k: float) -> float:
    """The share of kettle water that makes a fresh beaker of a wanted temperature."""
    return (target_k - JUG_K) / (KETTLE_K - JUG_K)


class Exchange(NamedTuple):
    """Water to pour away and to pour in again, 0 kg where none is asked for, and whence."""

    mass_kg: Number
    source_k: Number


def exchange_for(target_k: float, read_k: Number) -> Exchange:
    """What a thermometer's reading asks for: kettle or jug water for some of the beaker's."""
    source_k = np.where(read_k < target_k, KETTLE_K, JUG_K)
    renewed_kg = WATER_KG * (target_k - read_k) / (source_k - read_k)
    asks = np.abs(read_k - target_k) >= NEAR_ENOUGH_K
    return Exchange(np.where(asks, renewed_kg, 0.0), source_k)


def dial_for(setting_k: Number, target_k: float, read_k: Number) -> Number:
    """Where to turn the bath's dial when the thermometer in it shows this; as it is if right."""
    mended_k = np.clip(setting_k + (target_k - read_k), COLDEST_BATH_K, HOTTEST_BATH_K)
    return np.where(np.abs(read_k - target_k) >= NEAR_ENOUGH_K, mended_k, setting_k)


def watching_height_m(procedure: Procedure, seen_m: Number) -> Number:
    """Where the camera stands, or where the eye goes that saw the last rebound at `seen_m`."""
    if procedure.eye_height_m is not None:
        return procedure.eye_height_m
    return CAMERA_HEIGHT_M if isinstance(procedure.observer, Camera) else seen_m
