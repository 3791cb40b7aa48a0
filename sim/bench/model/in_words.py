"""The state of the bench in words: what a picture shows, for who does not see it.

Nothing is told that cannot be read off the picture, and nothing more finely than it can: the
thermometer to half a degree, the eye's level and what hangs at the rule to a centimetre, what the
lens shows to a millimetre while it stands still there. Of a ball that moves no height is told.
"""

from __future__ import annotations

from analysis.quantity.units import celsius, centimetres, fixed, grams
from physics.reading import View, seen_height_m
from sim.bench.model.desk import Desk, shown
from sim.bench.model.seeing import (
    LENS_STRIP_M,
    ball_seen,
    bath_word,
    in_the_air,
    lens_centre_m,
    lens_seen,
    stopwatch_seen,
)
from sim.passing import is_wet, thermometer_reading_exact_k
from sim.state import Place, State

HALF_DEGREES = 2
WHERE = {
    Place.TRAY: "The ball lies in its dish",
    Place.WATER: "The ball is in the beaker's water",
    Place.BATH: "The ball is in the bath",
    Place.FLOOR: "The ball lies on the floor",
}


def bench_in_words(desk: Desk) -> str:
    """How everything stands at this moment, one sentence a thing."""
    state = shown(desk)
    return " ".join(
        (
            _ball_words(desk, state),
            _thermometer_words(state),
            _water_words(state),
            f"The eye is at {_cm(desk.eye_m, 0)}.",
            _lens_words(desk),
            _stopwatch_words(desk, state),
        )
    )


def _ball_words(desk: Desk, state: State) -> str:
    if in_the_air(desk):
        return "The ball is in the air."
    if state.place is not Place.TONGS:
        return f"{WHERE[state.place]}."
    wet = ", wet" if is_wet(state) else ""
    if state.held_height_m is None:
        return f"The ball is in the tongs{wet}."
    return f"The ball hangs at the rule{wet}, its lowest point at {_cm(desk.hand_m, 0)}."


def _thermometer_words(state: State) -> str:
    reading_c = float(celsius(thermometer_reading_exact_k(state)))
    halves_c = fixed(round(reading_c * HALF_DEGREES) / HALF_DEGREES, 1)
    return f"The thermometer in the {state.thermometer_in} shows {halves_c} °C."


def _water_words(state: State) -> str:
    bath = f"The bath is set to {fixed(float(celsius(state.bath_setting_k)), 1)} °C"
    beaker = f"the beaker holds {fixed(round(float(grams(state.water_kg)), -1), 0)} ml"
    return f"{bath}, {bath_word(state)}; {beaker}."


def _lens_words(desk: Desk) -> str:
    """What the lens shows of a ball that is still: against which millimetre it is seen."""
    lens = lens_seen(desk, ball_seen(desk))
    moves = in_the_air(desk) and desk.state.camera is None
    if lens.ball is None or moves:
        return f"{lens.heading}: the lens shows the rule alone."
    view = View(lens.eye_m)
    seen_m = float(
        seen_height_m(lens.ball.lowest_m, lens.eye_m, view.eye_distance_m, view.standoff_m)
    )
    wanted_m = lens.eye_m if lens.centre_m is None else lens.centre_m
    if abs(seen_m - lens_centre_m(wanted_m, LENS_STRIP_M)) > LENS_STRIP_M / 2.0:
        return f"{lens.heading}: the lens shows the rule alone."
    return f"{lens.heading}: the ball's lowest point is seen at {_cm(seen_m, 1)}."


def _stopwatch_words(desk: Desk, state: State) -> str:
    shown_s, word = stopwatch_seen(desk, state)
    return f"Stopwatch {int(shown_s) // 60}:{int(shown_s) % 60:02d}, {word}."


def _cm(height_m: float, places: int) -> str:
    return f"{fixed(float(centimetres(height_m)), places)} cm"
