"""The words at the foot of the corner: what was said, or a hint for the state that the bench is in.

There is one hint for each state, so that it never falls silent but while the ball is in the air;
what was said gives way to it after a while. Beside questions that the hints would answer it only
says the way back to the apparatus.
"""

from __future__ import annotations

from functools import lru_cache

from analysis.marking.questions import EVALUATION, HAZARDS
from analysis.readings.sets import Repeats
from sim.bench.model.desk import BENCH, Desk, Note, Wording, by_hand
from sim.bench.model.keys import page_key
from sim.bench.model.pages.first_and_last import START, extent_settled
from sim.bench.model.seeing import in_the_air
from sim.marking import sets_of
from sim.passing import is_wet
from sim.procedure import Procedure
from sim.soaking import COVERING_KG
from sim.state import Place, RoughReading, State

SAID_FOR_S = 8.0
"""So long something said at the apparatus stands before the hint; a caution stays longer."""
NEAR_FLAG_M = 0.005

# Each fits the room that is kept at the foot of the corner, so that it covers nothing of the rule.
ON_THE_CARD = by_hand("Read the card, and choose how much you will do[ (Tab, Return).|.]")
ON_THE_SETTLED_CARD = by_hand(
    "Read the card; [Return goes on. F1: all keys.|the button on it goes on.]"
)
BESIDE_QUESTIONS = by_hand(
    "[Esc: to the apparatus. {}: to your rough readings. F1: all keys."
    "|Tap Rough readings: beside them it is said what comes next.]"
)
WARM = by_hand(
    "Hot water: set the bath [(D)|(drag its dial)], or pour from kettle and jug "
    "[(H, C). F1: all keys.|(tap them).]"
)
SET_BATH = by_hand(
    "Turn the bath's dial to a temperature of the plan [(D). F1: all keys.|(drag it).]"
)
POUR = by_hand(
    "Pour from the kettle and the jug into the beaker [(H, C). F1: all keys.|(tap them).]"
)
WAIT_FOR_BATH = by_hand(
    "The bath changes 3 °C a minute. [S|The stopwatch] makes waiting 20 times as fast."
)
MEANWHILE = by_hand(
    "Meanwhile the thermometer goes into the bath [(M). S|(tap it). Stopwatch]: 20 times as fast."
)
HASTENED = by_hand("20 times as fast until that is done. [S|Stopwatch]: at its own pace again.")
THERMOMETER_IN = by_hand(
    "Thermometer into the bath [(M)|(tap it)]; read it; then the ball goes in [(V)|(drag it)]."
)
BATH_READY = by_hand("Read the thermometer in the bath. Then the ball goes in [(V)|(drag it)].")
PUT_IN = by_hand("Read the thermometer when it has settled. Then the ball goes in [(B)|(drag it)].")
SOAK = by_hand("Soak it until the stopwatch shows {}. [S|A tap on it] makes that 20 times as fast.")
SOAKED = by_hand("It has soaked as long as planned: lift it out and dry it [(T)|(tap the towel)].")
SOAKED_WET = by_hand("It has soaked as long as planned: to the rule with it [(R)|(drag it there)].")
DRY_IT = by_hand("The ball is wet and drips: dry it with the towel [(T)|(tap that)].")
TO_RULE = by_hand("Bring the ball to the rule before it cools [(R)|(drag it there)].")
TO_FLAG = by_hand(
    "[Lowest point to the flag (↑ ↓); eye to the bounce (Page ↑ ↓); Space."
    "|Lowest point to the flag, eye to the bounce (drag them); tap the ball.]"
)
LET_GO = by_hand(
    "[Eye level with the bounce, in the lens (Page ↑ ↓); then let go (Space)."
    "|Eye level with the bounce, in the lens (drag it); then tap the ball.]"
)
LET_GO_AGAIN = by_hand(
    "Eye level with the bounce [(L: as last read, Page ↑ ↓); let go (Space)."
    "|(tap the big eye: as last read); tap the ball.]"
)
WRITE = by_hand(
    "This drop has no line yet: [write down what you read, with its unit (N)."
    "|tap “write it down”, and give number and unit.]"
)
NEXT_DROP = by_hand("Drop {} of {} at this temperature: back to the rule [(R)|(drag it there)].")
NEXT_AFTER_WATER = by_hand(
    "Drop {} of {} at this temperature: back into the water first [({})|(drag it)]."
)
NEXT_BATH = by_hand("Next temperature ({} of {}): turn the bath's dial [(D)|(drag it)].")
NEXT_BEAKER = by_hand(
    "Next temperature ({} of {}): pour hot [(H) or cold (C)|or cold] into the beaker."
)
ALL_READ = by_hand("All readings are written down. Next: the results table [({})|(tap that page)].")
ANSWERED_BY_HINTS = (HAZARDS, EVALUATION)
"""Pages with questions about what is hot, wet, or cools, and about where the eye should be."""
_BEGIN = {None: WARM, "kept": SET_BATH, "beaker": POUR}
"""How a practical begins, by what its plan warms the ball in."""
ALL = (
    ON_THE_CARD,
    ON_THE_SETTLED_CARD,
    BESIDE_QUESTIONS.format("Esc, then 3"),
    *_BEGIN.values(),
    WAIT_FOR_BATH,
    MEANWHILE,
    HASTENED,
    THERMOMETER_IN,
    BATH_READY,
    PUT_IN,
    SOAK.format("60:00"),
    SOAKED,
    SOAKED_WET,
    DRY_IT,
    TO_RULE,
    TO_FLAG,
    LET_GO,
    LET_GO_AGAIN,
    WRITE,
    NEXT_DROP.format(10, 10),
    NEXT_AFTER_WATER.format(10, 10, "V"),
    NEXT_BATH.format(10, 10),
    NEXT_BEAKER.format(10, 10),
    ALL_READ.format("Esc, then 4"),
)


def hint(desk: Desk) -> str:
    """The hint for a desk; nothing while the ball is in the air."""
    if in_the_air(desk):
        return ""
    state = desk.shown
    if desk.page == START and state.put_in_s is None:
        return desk.worded(ON_THE_SETTLED_CARD if extent_settled(state) else ON_THE_CARD)
    if desk.page in ANSWERED_BY_HINTS and not state.soaking:
        return desk.worded(BESIDE_QUESTIONS.format(page_key(3, in_browser=desk.in_browser)))
    return desk.worded(_of_state(desk, state))


def _of_state(desk: Desk, state: State) -> Wording:
    if state.soaking:
        return _soaking(desk, state)
    if state.place is Place.TONGS:
        return _in_the_tongs(desk, state)
    if state.line_missing:
        return WRITE
    if state.last_drop is None or state.preparation != state.last_drop.soak_preparation:
        return _water(desk, state)
    return _next(desk, state)


def _soaking(desk: Desk, state: State) -> Wording:
    put_in_s, soak_s = state.put_in_s or 0.0, state.extent.soak_s
    if desk.hasty_until_s is not None:
        return HASTENED
    if state.time_s - put_in_s < soak_s - 0.5:
        minutes, seconds = divmod(round(soak_s), 60)
        return SOAK.format(f"{minutes}:{seconds:02d}")
    return SOAKED if _dries(state) else SOAKED_WET


def _dries(state: State) -> bool:
    return state.setup.plan is None or state.setup.plan.towel


def _in_the_tongs(desk: Desk, state: State) -> Wording:
    if state.held_height_m is None:
        return TO_RULE
    if is_wet(state) and _dries(state):
        return DRY_IT
    if abs(desk.hand_m - state.setup.drop_height_m) > NEAR_FLAG_M:
        return TO_FLAG
    return LET_GO_AGAIN if state.rough else LET_GO


def _water(desk: Desk, state: State) -> Wording:
    """The hint while water is prepared: for the way of warming that was begun."""
    plan = state.setup.plan
    if state.bath_changing:
        if desk.hasty_until_s is not None:
            return HASTENED
        return WAIT_FOR_BATH if state.thermometer_in == "bath" else MEANWHILE
    if state.water_kg >= COVERING_KG and (plan is None or plan.bath == "beaker"):
        return PUT_IN
    if state.bath_setting_k != state.setup.room_k or state.thermometer_in == "bath":
        return BATH_READY if state.thermometer_in == "bath" else THERMOMETER_IN
    return _BEGIN[None if plan is None else plan.bath]


def _next(desk: Desk, state: State) -> Wording:
    """What comes after a drop that has its line: another one, another temperature, the table."""
    sets, extent, plan = _sets(state.rough, state.setup.plan), state.extent, state.setup.plan
    here = next(one for one in sets if len(state.rough) - 1 in (*one.standing, *one.struck_out))
    done = len(here.standing)
    if done < extent.repeats:
        if plan is not None and plan.reheat:
            key = "V" if plan.bath == "kept" else "B"
            return NEXT_AFTER_WATER.format(done + 1, extent.repeats, key)
        return NEXT_DROP.format(done + 1, extent.repeats)
    finished = sum(len(one.standing) >= extent.repeats for one in sets)
    if finished >= extent.temperatures:
        return ALL_READ.format(page_key(4, in_browser=desk.in_browser))
    words = NEXT_BEAKER if state.thermometer_in == "beaker" else NEXT_BATH
    return words.format(finished + 1, extent.temperatures)


@lru_cache(maxsize=4)
def _sets(rough: tuple[RoughReading, ...], plan: Procedure | None) -> tuple[Repeats, ...]:
    return sets_of(rough, plan)


SIGNS = {"hint": "", "refusal": "Not now: ", "caution": "Caution: ", "trouble": "Record: "}
"""What stands before the words, so that no colour has to say it."""


def told(desk: Desk) -> Note:
    """The words at the foot of the corner: trouble with the record, what was said, or a hint."""
    note = desk.note
    if desk.trouble and note.kind != "caution":
        note = Note(desk.trouble, "trouble")
    if not note.text or _over(desk, note):
        note = Note(hint(desk))
    return Note(SIGNS[note.kind] + note.text, note.kind) if note.text else note


def _over(desk: Desk, note: Note) -> bool:
    """Whether something said has stood long enough; what is said of a field stays with it."""
    if note.kind not in ("hint", "refusal") or (note.kind == "refusal" and desk.focus != BENCH):
        return False
    return desk.clock_s - note.said_s > SAID_FOR_S
