"""How a set of readings was taken: what its file does not tell."""

from __future__ import annotations

from dataclasses import dataclass

from sim.actions import LiftOut, Towel
from sim.habits import WATER_KG
from sim.procedure import DEMO_PROCEDURE, Bath
from sim.state import ROOM_K, THERMOMETER_ERROR_SD_K


@dataclass(frozen=True)
class Taking:
    """How the readings were taken. The defaults are the scripted student's own ways.

    Attributes:
        room_k: the room's temperature.
        bath: what it was warmed in; a beaker cools while it soaks.
        soak_s: how long the ball was in the water each time.
        water_kg: how much water a beaker held; its cooling during the soak is reckoned with.
        before_soak_s: from reading the thermometer in a beaker to the ball going in.
        towel: whether the ball was dried after each soak.
        drying_s: from lifting it out to its being dry; with no towel, to the handling.
        handling_s: from then to the release.
        between_s: from one release to the next where the ball was left to cool; used where
            the file has no elapsed times.
        reheated: whether the ball went back into the water before each drop; used where
            the file does not say.
        eye_height_m: height of the eye or lens; None for an eye at the bounce before.
        thermometer_sd_k: standard uncertainty of the thermometer's scale.

    """

    room_k: float = ROOM_K
    bath: Bath = DEMO_PROCEDURE.bath
    soak_s: float = DEMO_PROCEDURE.soak_s
    water_kg: float = WATER_KG
    before_soak_s: float = 16.0
    towel: bool = True
    drying_s: float = LiftOut.handling_time_s + Towel.handling_time_s
    handling_s: float = 7.0
    between_s: float = 18.0
    reheated: bool = False
    eye_height_m: float | None = None
    thermometer_sd_k: float = THERMOMETER_ERROR_SD_K
