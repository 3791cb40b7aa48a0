"""What a scripted student sets out to do: the plan, and how the hands and the eye are.

The invented scenario that the commands use when they are told nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from physics.constants import ZERO_CELSIUS_K
from physics.number import Number
from physics.reading import HURRIED, Camera, Reader
from sim.refusal import NotPossible
from sim.state import JUG_K, KETTLE_K

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


@dataclass(frozen=True)
class Procedure:
    """A plan for a whole set of readings.

    Attributes:
        temperatures_k: the planned temperatures of the water, in the order of the set.
        repeats: drops at each temperature.
        drop_height_m: where the ball's lowest point is held.
        reheat: whether the ball goes back into the water between the drops of a set.
        soak_s: how long the ball stays in the water each time.
        towel: whether the ball is dried after each soak.
        observer: who reads, a Reader by eye or a Camera.
        eye_height_m: the height of the eye (or the camera); None keeps the eye at the
            level of the bounce before, and the camera at 0.35 m.

    """

    temperatures_k: tuple[float, ...] = tuple(
        ZERO_CELSIUS_K + celsius for celsius in (20.0, 30.0, 40.0, 50.0, 60.0)
    )
    repeats: int = 5
    drop_height_m: float = 1.0
    reheat: bool = False
    soak_s: float = 120.0
    towel: bool = True
    observer: Reader | Camera = HURRIED
    eye_height_m: float | None = None

    def __post_init__(self) -> None:
        """Refuse a plan that the bench cannot carry out."""
        if not self.temperatures_k:
            raise NotPossible("A practical needs at least one temperature.")
        for temperature_k in self.temperatures_k:
            if not JUG_K < temperature_k < KETTLE_K:
                raise NotPossible(
                    f"Water at {temperature_k - ZERO_CELSIUS_K:g} °C cannot be mixed from a jug "
                    f"at {JUG_K - ZERO_CELSIUS_K:g} °C and a kettle at "
                    f"{KETTLE_K - ZERO_CELSIUS_K:g} °C; choose a temperature between them."
                )
        if self.repeats < 1:
            raise NotPossible("A practical needs at least one drop at each temperature.")
        if self.soak_s < 0.0:
            raise NotPossible("A soak cannot be shorter than no time.")
        if not 0.05 <= self.drop_height_m <= 2.0:
            raise NotPossible(
                f"The ball can be dropped from 5 cm to 200 cm, not from "
                f"{self.drop_height_m * 100:g} cm."
            )


def dawdle_s(handling: Number) -> Number:
    """The time lost between picking up and the mark, from a standard normal; never negative."""
    dawdled: Number = np.maximum(DAWDLE_S + DAWDLE_SD_S * handling, 0.0)
    return dawdled


def hot_share(target_k: float) -> float:
    """The share of kettle water that makes a fresh beaker of a wanted temperature."""
    return (target_k - JUG_K) / (KETTLE_K - JUG_K)


def renewed_kg(target_k: float, water_k: Number, source_k: Number) -> Number:
    """How much of the beaker's water to exchange for the source's to reach a temperature."""
    return WATER_KG * (target_k - water_k) / (source_k - water_k)


CLUB = "Larkmere Vale School lunchtime club"
"""An invented club at an invented school."""
DEMO_SEED = 1
DEMO_PROCEDURE = Procedure()
"""Five temperatures, five repeats, one metre, a hurried eye, the ball not put back."""
