"""The state of the bench in words: what a picture shows, for who does not see it.

Nothing is told that cannot be read off the picture, and nothing more finely than it can: the
thermometer to half a degree, the eye's level and what hangs at the rule to a centimetre, what the
lens shows to a millimetre while it stands still there. Of a ball that moves no height is told.
"""

from __future__ import annotations

from collections.abc import Callable

from analysis.marking.questions import GRAPH
from analysis.marking.work import Remark
from analysis.quantity.units import celsius, centimetres, fixed, grams
from physics.reading import View, seen_height_m
from sim.bench.model.desk import PAPER, SQUARES, Desk
from sim.bench.model.seeing import (
    LENS_STRIP_M,
    ball_seen,
    bath_word,
    in_the_air,
    lens_centre_m,
    lens_seen,
    stopwatch_seen,
)
from sim.bench.ui.blocks import SNAP
from sim.passing import is_wet, thermometer_reading_exact_k
from sim.state import Place, State

HALF_DEGREES = 2
WHERE = {
    Place.TRAY: "in its dish",
    Place.WATER: "in the beaker's water",
    Place.BATH: "in the bath",
    Place.FLOOR: "on the floor",
}


def bench_in_words(desk: Desk) -> str:
    """How everything stands at this moment, one sentence a thing."""
    return " ".join(_sentences(desk).values())


def in_words(desk: Desk) -> str:
    """How everything stands where the person is: on the graph paper, or else at the bench."""
    return " ".join(_paper_sentences(desk)) if desk.focus == PAPER else bench_in_words(desk)


def what_changed(before: Desk, now: Desk) -> str:
    """What stands otherwise than before: an act in words, for who does not see it.

    The thermometer and the stopwatch go on by themselves: they are told of where a hand was put
    to them.
    """
    then, since = _sentences(before), _sentences(now)
    for name, handled in _HANDLED.items():
        if handled(before) == handled(now):
            since[name] = then[name]
    changed = [words for name, words in since.items() if words != then[name]]
    if now.page != before.page:
        changed.append(f"The page “{now.page}” lies open.")
    if now.page == before.page == GRAPH:
        drawn = zip(_paper_sentences(before), _paper_sentences(now), strict=True)
        changed += [words for earlier, words in drawn if words != earlier]
    remarks = now.remarks.get(now.page)
    if remarks is not before.remarks.get(now.page):
        changed.append(_feedback_words(remarks or ()))
    return " ".join(changed)


def _feedback_words(remarks: tuple[Remark, ...]) -> str:
    """That there is feedback, and of how much; what it says is read on the page."""
    right = sum(one.verdict.earns for one in remarks)
    return f"Feedback stands below the button: {right} of {len(remarks)} right."


_HANDLED: dict[str, Callable[[Desk], object]] = {
    "thermometer": lambda desk: desk.state.thermometer_in,
    "stopwatch": lambda desk: (desk.state.put_in_s, desk.hasty_until_s is None),
}
"""What is the same of a thing that goes on by itself as long as nobody handles it."""


def _sentences(desk: Desk) -> dict[str, str]:
    """A sentence for each thing at the bench."""
    state = desk.shown
    return {
        "ball": _ball_words(desk, state),
        "thermometer": _thermometer_words(state),
        "bath": f"The bath is set to {bath_words(state)}.",
        "beaker": f"The beaker holds {beaker_words(state)}.",
        "eye": f"The eye is at {_cm(desk.eye_m, 0)}.",
        "lens": _lens_words(desk),
        "stopwatch": _stopwatch_words(desk, state),
    }


def _paper_sentences(desk: Desk) -> tuple[str, ...]:
    """Where the pencil is, in large and small squares from the lower left corner; what is drawn."""
    across, up = (_squares_words(at) for at in desk.pencil.point)
    book = desk.state.book
    line = "a line" if book.line else "no line"
    return (
        f"The pencil is {across} across, {up} up.",
        f"Crosses on the paper: {len(book.crosses)}; {line}.",
    )


def _squares_words(at: float) -> str:
    large, small = divmod(round(at / SNAP), round(SQUARES.in_large / SNAP))
    return f"{large} large and {fixed(small * SNAP, 1).removesuffix('.0')} small squares"


def _ball_words(desk: Desk, state: State) -> str:
    lowest = f", its lowest point at {_cm(desk.hand_m, 0)}"
    held = state.held_height_m is not None and not in_the_air(desk)
    return f"The ball is {_ball_place(desk, state)}{lowest if held else ''}."


def _thermometer_words(state: State) -> str:
    reading_c = float(celsius(thermometer_reading_exact_k(state)))
    halves_c = fixed(round(reading_c * HALF_DEGREES) / HALF_DEGREES, 1)
    return f"The thermometer in the {state.thermometer_in} shows {halves_c} °C."


def bath_words(state: State) -> str:
    """What the bath's dial stands at, and what the bath does."""
    return f"{fixed(float(celsius(state.bath_setting_k)), 1)} °C, {bath_word(state)}"


def beaker_words(state: State) -> str:
    """How much water the beaker holds, as its scale shows it."""
    return f"{fixed(round(float(grams(state.water_kg)), -1), 0)} ml"


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
    return f"Stopwatch {digits(shown_s)}, {word}."


def digits(shown_s: float) -> str:
    """What the stopwatch's digits are: minutes and whole seconds."""
    return f"{int(shown_s) // 60}:{int(shown_s) % 60:02d}"


def things_in_words(desk: Desk) -> dict[str, str]:
    """How each thing of the apparatus stands, in a word or two; a thing without any is left out."""
    state = desk.shown
    shown_s, word = stopwatch_seen(desk, state)
    camera = state.camera
    return {
        "beaker": beaker_words(state),
        "thermometer": f"in the {state.thermometer_in}",
        "ball": _ball_place(desk, state),
        "eye": f"at {_cm(desk.eye_m, 0)}",
        "stopwatch": f"{digits(shown_s)}, {word}",
        "camera": "away" if camera is None else f"at {_cm(camera.height_m, 0)}",
    }


def _ball_place(desk: Desk, state: State) -> str:
    """Where the ball is; of a ball that moves no more than that."""
    if in_the_air(desk):
        return "in the air"
    if state.place is not Place.TONGS:
        return WHERE[state.place]
    place = "in the tongs" if state.held_height_m is None else "at the rule"
    return f"{place}, wet" if is_wet(state) else place


def _cm(height_m: float, places: int) -> str:
    return f"{fixed(float(centimetres(height_m)), places)} cm"
