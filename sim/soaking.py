"""What is done with water: pouring, the bath, putting the ball in, lifting it out, drying."""

from __future__ import annotations

from analysis.quantity.units import celsius, grams, kelvin
from physics.bath import mixed_k
from physics.heat import FILM_KG
from sim import actions as act
from sim.actions import NotPossible
from sim.passing import advance, advance_in_towel, beaker_changed, cautioned, into
from sim.procedure import COLDEST_BATH_K, HOTTEST_BATH_K, JUG_K, KETTLE_K, LONGEST_WAIT_S
from sim.state import BEAKER_HOLDS_KG, PLACE_IN, Place, State, replace

SPILL_KG = 0.010
"""What careless pouring sends over the rim. Stated assumption."""
HURRY = 0.4
"""Careless pouring takes this share of the time. Stated assumption."""
SMALLEST_POUR_KG = 1e-4
"""Less than a drop or two is no pouring, and a beaker that holds no more is empty."""
COVERING_KG = 0.080
"""Water that just covers the ball in a beaker 7 cm wide. Stated assumption."""
TONGS_FROM_K = kelvin(50.0)
"""From here on a bare hand is refused: 51 °C scalds in minutes, 60 °C in seconds
(adult skin, after Moritz and Henriques, Am. J. Pathol. 23, 1947, 695; from memory)."""
SCALDS_FROM_K = kelvin(60.0)

HOT_WATER = (
    "Water above 60 °C scalds in seconds: stand up to work, wear eye protection, use the tongs "
    "and keep the beaker away from the edge. The school's own rules come first."
)
HOT_BATH = (
    "Above 50 °C the bath scalds: tongs, eye protection, dry hands; leave it where it stands. The "
    "school's own rules come first."
)
BARE_HAND = (
    "This water is hot enough to scald: use the tongs, never fingers. The ball stays in the water."
)
SPILT = "Water is on the floor: wipe it up at once, a wet floor is slippery."


def _pour(state: State, action: act.AddHotWater | act.AddColdWater, source_k: float) -> State:
    if not SMALLEST_POUR_KG <= action.mass_kg <= BEAKER_HOLDS_KG:
        raise NotPossible(
            f"Pour between {grams(SMALLEST_POUR_KG):.1f} g and {grams(BEAKER_HOLDS_KG):.0f} g "
            f"of water at a time; {grams(action.mass_kg):.1f} g was asked for."
        )
    careful = action.carefully
    state = _water_seen(state)
    state = advance(state, action.handling_time_s * (1.0 if careful else HURRY))
    poured_kg = action.mass_kg - (0.0 if careful else min(SPILL_KG, action.mass_kg / 2.0))
    full_kg = state.water_kg + poured_kg
    mixture_k = float(mixed_k(state.water_kg, state.water_k, poured_kg, source_k))
    state = beaker_changed(state, water_k=mixture_k, water_kg=min(full_kg, BEAKER_HOLDS_KG))
    state = replace(state, preparation=state.preparation + 1)
    if not careful or full_kg > BEAKER_HOLDS_KG:
        state = cautioned(replace(state, floor_wet=True), SPILT)
    return cautioned(state, HOT_WATER) if state.water_k > SCALDS_FROM_K else state


def _water_seen(state: State) -> State:
    """The beaker's temperature now is one of those that the next soak is prepared with."""
    if state.water_kg == 0.0:
        return state
    coldest_k, warmest_k = state.prepared_k or (state.water_k, state.water_k)
    seen_k = (min(coldest_k, state.water_k), max(warmest_k, state.water_k))
    return replace(state, prepared_k=seen_k)


def add_hot_water(state: State, action: act.AddHotWater) -> State:
    """Water from the kettle comes to the water in the beaker."""
    return _pour(state, action, KETTLE_K)


def add_cold_water(state: State, action: act.AddColdWater) -> State:
    """Water from the cold jug comes to the water in the beaker."""
    return _pour(state, action, JUG_K)


def pour_away(state: State, action: act.PourAway) -> State:
    """Some of the beaker's water goes down the sink."""
    if state.place is Place.WATER:
        raise NotPossible("Lift the ball out before pouring water away.")
    if not SMALLEST_POUR_KG <= action.mass_kg <= state.water_kg:
        raise NotPossible(
            f"The beaker holds {grams(state.water_kg):.0f} g of water, so "
            f"{grams(action.mass_kg):.1f} g cannot be poured away."
        )
    state = advance(_water_seen(state), action.handling_time_s)
    left_kg = state.water_kg - action.mass_kg
    return replace(state, water_kg=left_kg if left_kg >= SMALLEST_POUR_KG else 0.0)


def set_bath(state: State, action: act.SetBath) -> State:
    """The dial is turned, and the bath goes to that temperature as time passes."""
    if state.place is Place.BATH:
        raise NotPossible("Lift the ball out before turning the dial of the bath.")
    if not COLDEST_BATH_K <= action.temperature_k <= HOTTEST_BATH_K:
        raise NotPossible(
            f"The dial of the bath goes from {celsius(COLDEST_BATH_K):g} °C to "
            f"{celsius(HOTTEST_BATH_K):g} °C; {celsius(action.temperature_k):.1f} °C was asked for."
        )
    state = replace(
        advance(state, action.handling_time_s),
        bath_setting_k=float(action.temperature_k),
        bath_found_k=state.bath_k,
        preparation=state.preparation + 1,
    )
    return cautioned(state, HOT_BATH) if action.temperature_k > TONGS_FROM_K else state


def move_thermometer(state: State, action: act.MoveThermometer) -> State:
    """The thermometer is stood in the other vessel."""
    if state.thermometer_in == action.to:
        raise NotPossible(f"The thermometer stands in the {action.to} already.")
    return beaker_changed(advance(state, action.handling_time_s), thermometer_in=action.to)


def put_ball_in(state: State, action: act.PutBallIn) -> State:
    """The ball goes into the water, from wherever it is; into the bath once that is ready."""
    if state.soaking:
        raise NotPossible(f"The ball is {state.place.value} already: lift it out first.")
    if action.into == "beaker" and state.water_kg < COVERING_KG:
        raise NotPossible("There is not enough water in the beaker to cover the ball.")
    if action.into == "bath" and state.bath_changing:
        raise NotPossible("The bath is not at its temperature yet: wait until its lamp goes out.")
    state = _water_seen(advance(state, action.handling_time_s))
    place = PLACE_IN[action.into]
    state = into(replace(state, held_height_m=None, reheated=True), place)
    return replace(state, put_in_s=state.time_s, soak_preparation=state.preparation)


def wait(state: State, action: act.Wait) -> State:
    """Time passes and nothing else is done."""
    if not 0.0 <= action.time_s <= LONGEST_WAIT_S:
        raise NotPossible(f"A wait lasts from 0 s to a day; {action.time_s} s was asked for.")
    return advance(state, action.time_s)


def lift_out(state: State, action: act.LiftOut) -> State:
    """The ball comes out wet. Bare fingers are refused by hot water, with a caution."""
    if not state.soaking:
        raise NotPossible("The ball is not in the water.")
    in_bath = state.place is Place.BATH
    if not action.with_tongs and (state.bath_k if in_bath else state.water_k) >= TONGS_FROM_K:
        return cautioned(advance(state, action.handling_time_s), BARE_HAND)
    water_seen_k = _bath_seen_k(state) if in_bath else _water_seen(state).prepared_k
    out = into(replace(state, prepared_k=None, soak_k=water_seen_k), Place.TONGS, FILM_KG)
    return advance(out, action.handling_time_s)


def _bath_seen_k(state: State) -> tuple[float, float]:
    """Coldest and warmest of the bath as it was found and as it is."""
    found_k = state.bath_found_k
    return min(found_k, state.bath_k), max(found_k, state.bath_k)


def towel(state: State, action: act.Towel) -> State:
    """The ball is dried."""
    if state.place is not Place.TONGS:
        raise NotPossible("Take the ball in the tongs before drying it.")
    return advance_in_towel(state, action.handling_time_s)


def wipe_floor(state: State, action: act.WipeFloor) -> State:
    """The floor is dry again."""
    return replace(advance(state, action.handling_time_s), floor_wet=False)
