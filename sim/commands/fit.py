"""`fit`: the model fitted to a school's own readings, and its ball kept in a ball file.

What came of it is said in sentences, and drawn as a picture of readings and model.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from matplotlib.figure import Figure

from analysis.command_line import say, say_written
from analysis.files import written
from analysis.paper.graph_sheet import FONT_POINTS, INK, graph_bytes, source_line
from analysis.paper.scales import CROSS_COLOUR, MM_PER_INCH, UNDER_LARGE_RULE
from analysis.quantity.headings import heading_text
from analysis.quantity.units import (
    FloatArray,
    celsius,
    centimetres,
    fixed,
    grams,
    kelvin,
    kilograms,
    millimetres,
    p_text,
    plain,
    significant_places,
    temperature_text,
    to_si,
)
from analysis.readings.readings import read_readings
from analysis.refusal import Refused
from analysis.statistics.spread import critical_value
from physics.ball import LOSS_SLOPE_SD_PER_K, USUAL_BALL, Ball
from physics.drop import HAND_SD_M
from physics.ranges import OutOfRange
from physics.reading import View
from sim.calibration.ball_file import FORMAT, VERSION, BallFile, Estimate, content_of
from sim.calibration.calibrate import EXCESS_K, OWN, Calibration, calibrate
from sim.calibration.fit import HANDBOOK_SD, most_under_m
from sim.calibration.model import FACTOR, LOSS, PARAMETERS, SLOPE
from sim.calibration.taking import Taking
from sim.commands.options import eye_height_m_of
from sim.procedure import BATH_WORDS
from sim.record.format import ball_fields

if TYPE_CHECKING:
    from matplotlib.axes import Axes


BALL_FILE = "own.ball.json"
PICTURE = "residuals.png"


def run(options: argparse.Namespace) -> int:
    """Read, fit, write the ball file and the picture, and say what came of it."""
    readings = read_readings(options.readings)
    try:
        ball = _weighed(options)
    except OutOfRange as error:
        raise Refused(f"There is no such ball: {error}.") from error
    found = calibrate(readings, _taking_of(options), ball)
    contents = {
        BALL_FILE: content_of(ball_file_of(found)),
        PICTURE: graph_bytes(draw_residuals(found), "png"),
    }
    files = written(options.out, contents, force=options.force)
    say(*lines(found), *(f"Noticed: {notice}" for notice in readings.notices))
    say_written(*files)
    return 0


def _taking_of(options: argparse.Namespace) -> Taking:
    """How the readings were taken, as the options tell."""
    return Taking(
        room_k=kelvin(options.room_c),
        bath=options.bath,
        soak_s=options.soak_s,
        water_kg=kilograms(options.water_g),
        before_soak_s=options.before_soak_s,
        towel=not options.no_towel,
        drying_s=options.drying_s,
        handling_s=options.handling_s,
        between_s=options.between_s,
        reheated=options.reheated == "yes",
        eye_height_m=eye_height_m_of(options),
        thermometer_sd_k=options.thermometer_c,
    )


def _weighed(options: argparse.Namespace) -> Ball:
    """What is not fitted, with the school's own mass and diameter."""
    return replace(
        USUAL_BALL,
        name=OWN,
        mass_kg=kilograms(options.mass_g),
        diameter_m=to_si(options.diameter_mm, "mm"),
    )


def lines(found: Calibration) -> Iterator[str]:
    """Yield the result for a terminal."""
    yield _readings(found)
    yield from _estimates(found)
    yield from (f"Not told: {sentence}" for sentence in _refused(found))
    yield from (f"Noticed: {sentence}" for sentence in noticed(found))
    yield from (f"Taken as given: {sentence}" for sentence in _given(found))


def ball_file_of(found: Calibration) -> BallFile:
    """The ball file of a fit."""
    return BallFile(
        format=FORMAT,
        version=VERSION,
        # It is one certain ball, so every bench that takes it gets the same.
        ball=ball_fields(replace(found.ball, loss_ratio_spread=0.0)),
        reader_spread_m=None if found.spread_m is None else found.spread_m.value,
        fitted=found.estimates,
        parameters=tuple(each.name for each in PARAMETERS),
        correlation=tuple(map(tuple, found.doubt.correlation.tolist())),
        refused=dict(found.refused),
        source=found.source,
        note=" ".join(_given(found)),
    )


def noticed(found: Calibration) -> Iterator[str]:
    """Yield what a reader of the result must know: misfit, one repeat, a reading far out."""
    misfit = found.misfit
    if misfit.found:
        way = "above" if misfit.worst_m > 0.0 else "below"
        at_k = found.course.water_k[found.course.row == misfit.worst_row][0]
        yield (
            f"the model misses whole sets by more than their scatter explains "
            f"({p_text(misfit.p)}): most at {temperature_text(at_k)}, where the readings lie "
            f"{_cm(abs(misfit.worst_m))} cm {way} it in the mean. The uncertainties "
            f"are {plain(found.doubt.stretch, 1)} times as large for that. Water cooler or "
            "warmer than was written down does this."
        )
    if misfit.sets == found.course.row.size:
        yield (
            "there is one drop in each set, so the reader's spread is the scatter about the "
            "model, and holds whatever the model misses."
        )
    yield from _far_out(found)


def _readings(found: Calibration) -> str:
    course = found.course
    low, high = (temperature_text(end(course.water_k)) for end in (np.min, np.max))
    heights = np.unique(course.drop_height_m)
    from_cm = " to ".join(plain(float(centimetres(each)), 1) for each in heights[[0, -1]])
    dropped = from_cm if heights.size > 1 else from_cm.split(" to ")[0]
    return (
        f"{found.source}: {course.row.size} readings in {found.misfit.sets} sets, {low} to "
        f"{high}, dropped from {dropped} cm"
    )


def _estimates(found: Calibration) -> Iterator[str]:
    loss = found.loss_ratio_40
    yield f"Loss ratio at 40 °C: {_text(loss)}"
    yield f"Loss ratio at 0 °C: {_text(found.loss_ratio_0)}"
    constant, factor = found.time_constant_s, found.cooling_factor
    if constant is not None and factor is not None:
        room_c = plain(celsius(found.taking.room_k), 1)
        yield (
            f"Time constant in still air, {EXCESS_K:g} °C above a room of {room_c} °C: "
            f"{_text(constant, 's')}"
        )
        yield f"Cooling, as a multiple of the handbook's: {_text(factor)}"
        rows = found.doubt.correlation
        pairs = [(LOSS, FACTOR), (LOSS, SLOPE), (FACTOR, SLOPE)]
        texts = [fixed(float(rows[pair]), 2) for pair in pairs]
        yield (
            f"Correlations: loss ratio and cooling {texts[0]}, loss ratio and slope {texts[1]}, "
            f"cooling and slope {texts[2]}"
        )
    if found.spread_m is not None:
        most = most_under_m(found.spread_m.value, found.fit.task.step_m)
        yield f"Reader's spread: {_text(found.spread_m, 'cm', centimetres(1.0))}"
        yield (
            f"Mean under-reading: between 0 and {_cm(most)} cm; {_cm(found.fit.under_m)} cm "
            "was allowed for"
        )


def _refused(found: Calibration) -> Iterator[str]:
    if why := found.refused.get("cooling_factor"):
        yield (
            f"how fast the ball cools: {why}. The handbook's time constant of "
            f"{found.air_time_constant_s(1.0):.0f} s stands in, give or take {HANDBOOK_SD:.0%}."
        )
    if why := found.refused.get("reader_spread_m"):
        yield f"the reader's spread: {why}."
    yield (
        "the mean under-reading more closely: reading low by the same amount everywhere looks "
        "like a larger loss ratio."
    )
    yield (
        "the slope of the loss ratio with temperature by itself: the soak and the first seconds "
        "in air change the trend in the same way. With what is stated of it, it comes to "
        f"{_text(found.loss_slope_per_k)} for each °C."
    )


def _given(found: Calibration) -> Iterator[str]:
    stated, taking = found.fit.task.model.ball.loss_slope_per_k, found.taking
    yield (
        f"The loss ratio's logarithm falls by {stated:g} ± {LOSS_SLOPE_SD_PER_K:g} for each °C; "
        "that doubt is in the uncertainties."
    )
    water = (
        f" ({grams(taking.water_kg):g} g, read {taking.before_soak_s:g} s before)"
        if taking.bath == "beaker"
        else ""
    )
    yield (
        f"Soak {taking.soak_s:g} s in {BATH_WORDS[taking.bath]}{water}; room "
        f"{plain(celsius(taking.room_k), 1)} °C; thermometer good to "
        f"{plain(taking.thermometer_sd_k, 2)} °C."
    )
    dried = "dry" if taking.towel else "still wet"
    yield (
        f"The ball was {dried} {taking.drying_s:g} s after it was lifted out, and released "
        f"{taking.handling_s:g} s later. {_between(found)}"
    )
    view = View(0.0)
    eye = (
        "at the level of the bounce before"
        if taking.eye_height_m is None
        else f"{plain(float(centimetres(taking.eye_height_m)), 1)} cm above the floor"
    )
    yield (
        f"The eye was {eye}, {centimetres(view.eye_distance_m):g} cm from the rule, the ball "
        f"{centimetres(view.standoff_m):g} cm before it; the hand let go within "
        f"{millimetres(HAND_SD_M):g} mm."
    )


def _between(found: Calibration) -> str:
    course = found.course
    if not course.cooling.any():
        return "It went back into the water before every drop."
    if course.timed:
        return "Times between drops are the file's own."
    return (
        f"Between drops passed {found.taking.between_s:g} s: a cooling fitted with a wrong time "
        "is wrong in proportion."
    )


def _far_out(found: Calibration) -> Iterator[str]:
    """Grubbs' test over all residuals; only said, nothing is left out."""
    off = np.abs(found.fit.standardised)
    if found.misfit.found or off.max() <= float(critical_value(np.array(off.size))):
        return
    drop = int(np.argmax(off))
    course = found.course
    repeat = drop - int(np.argmax(course.row == course.row[drop])) + 1
    yield (
        f"reading {repeat} at {temperature_text(course.water_k[drop])} lies "
        f"{_cm(abs(found.fit.residuals_m[drop]))} cm from the model, farther than chance "
        "explains. It was kept: look whether it was misread."
    )


def _text(found: Estimate, unit: str = "", in_units: float = 1.0) -> str:
    """Write value, standard uncertainty (two figures) and interval, so many units to the SI's."""
    numbers = [in_units * each for each in msgspec.structs.astuple(found)]
    places = significant_places(numbers[1], 2)
    value, uncertainty, low, high = (fixed(each, places) for each in numbers)
    space = " " if unit else ""
    return f"{value} ± {uncertainty}{space}{unit} (95 %: {low} to {high}{space}{unit})"


def _cm(length_m: float) -> str:
    return fixed(float(centimetres(length_m)), 2)


WIDTH_MM, HEIGHT_MM = 170.0, 150.0
MOST_LABELS = 12
"""Sets whose temperatures are written; of more, some are left out."""
MOST_DIVIDERS = 60
LIMIT = 2.0
"""The dashed lines stand at so many standard deviations."""


def draw_residuals(found: Calibration) -> Figure:
    """Draw readings and model over the drops in order, and the residuals below, in cm.

    Crosses for readings, bars for the model; upright lines part the sets. Where the model
    fits, the residuals lie about the middle line in every set, with no trend from first
    drop to last, and nineteen in twenty between the dashed lines.
    """
    figure = Figure(figsize=(WIDTH_MM / MM_PER_INCH, HEIGHT_MM / MM_PER_INCH), facecolor="white")
    above, below = figure.subplots(
        2, 1, sharex=True, gridspec_kw={"height_ratios": [3, 2], "hspace": 0.08}
    )
    residuals_cm = centimetres(found.fit.residuals_m)
    heights_cm = centimetres(found.fit.task.heights_m)
    drop = np.arange(1.0, heights_cm.size + 1.0)
    _drawn_readings(above, drop, heights_cm, heights_cm - residuals_cm)
    _residuals(below, drop, residuals_cm, centimetres(found.fit.total_m))
    for axes in (above, below):
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(labelsize=FONT_POINTS)
    _sets(above, below, found)
    _entitle(figure, found.source)
    return figure


def _drawn_readings(
    axes: Axes, drop: FloatArray, read_cm: FloatArray, model_cm: FloatArray
) -> None:
    axes.plot(
        drop, read_cm, ls="none", marker="x", ms=5, mew=0.9, color=CROSS_COLOUR, label="reading"
    )
    axes.plot(drop, model_cm, ls="none", marker="_", ms=8, mew=1.6, color=INK, label="model")
    axes.set_ylabel(heading_text("rebound height", "cm"), fontsize=FONT_POINTS + 1)
    axes.legend(
        loc="lower right", bbox_to_anchor=(1.0, 0.99), ncols=2, frameon=False, fontsize=FONT_POINTS
    )
    axes.margins(y=0.12)


def _residuals(axes: Axes, drop: FloatArray, off_cm: FloatArray, sd_cm: FloatArray) -> None:
    axes.axhline(0.0, color=INK, lw=0.9)
    for side in (-LIMIT, LIMIT):
        axes.plot(drop, side * sd_cm, color=INK, lw=0.8, ls=(0, (6, 4)))
    axes.plot(drop, off_cm, ls="none", marker="x", ms=5, mew=0.9, color=CROSS_COLOUR)
    most = 1.25 * float(max(np.abs(off_cm).max(), LIMIT * sd_cm.max()))
    axes.set_ylim(-most, most)
    axes.set_ylabel(heading_text("reading less model", "cm"), fontsize=FONT_POINTS + 1)


def _sets(above: Axes, below: Axes, found: Calibration) -> None:
    """Part the sets, and write their temperatures under them."""
    row = found.course.row
    starts = np.flatnonzero(np.diff(row, prepend=-1))
    ends = np.append(starts[1:], row.size)
    if starts.size <= MOST_DIVIDERS:
        for start in starts[1:]:
            for axes in (above, below):
                axes.axvline(start + 0.5, color=UNDER_LARGE_RULE.colour, lw=0.6)
    shown = slice(None, None, -(-starts.size // MOST_LABELS))
    middles = (starts + ends + 1.0) / 2.0
    below.set_xticks(
        middles[shown], [temperature_text(found.course.water_k[each]) for each in starts[shown]]
    )
    above.tick_params(axis="x", length=0)
    below.tick_params(axis="x", length=0)
    below.set_xlim(0.4, row.size + 0.6)
    below.set_xlabel(
        "drops in order, by temperature of the water; dashed: two standard deviations",
        fontsize=FONT_POINTS + 1,
    )


def _entitle(figure: Figure, source: str) -> None:
    figure.text(0.5, 0.975, "The fitted ball against the readings", ha="center", va="top", size=11)
    figure.text(0.5, 0.94, source_line(source), ha="center", va="top", size=9, parse_math=False)
    figure.subplots_adjust(left=0.1, right=0.98, bottom=0.09, top=0.89)
