"""What the page shows, as plain values: the blocks of the book, and the scene at the bench.

Nothing here is drawn. The thermometer's thread and the ball go out as places on their scales, to
be drawn there and read by the student's own eye; no number of theirs is printed anywhere.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from analysis.quantity.units import celsius, school_unit
from physics.reading import View, seen_height_m
from sim.bench.model.along_bench import THINGS
from sim.bench.model.desk import BENCH, Desk
from sim.bench.model.handling import HALF_DEGREE_K, dial_at_k
from sim.bench.model.in_words import bath_words, digits, things_in_words
from sim.bench.model.keys import key_for
from sim.bench.model.seeing import (
    HIGHEST_C,
    LENS_STRIP_M,
    LOWEST_C,
    RULE_LENGTH_M,
    THERMOMETER_SHOWS_K,
    BallSeen,
    ball_seen,
    in_the_air,
    lens_centre_m,
    lens_seen,
    poured_now,
    steam_strength,
    stopwatch_seen,
)
from sim.bench.ui.blocks import (
    Block,
    ButtonBox,
    Cell,
    FieldBox,
    Gap,
    PaperAxis,
    PaperBox,
    PaperPoint,
    TableBox,
    TableRow,
    Words,
)
from sim.bench.ui.fields import NumberField, TextArea
from sim.passing import is_wet, thermometer_reading_exact_k
from sim.procedure import COLDEST_BATH_K, HOTTEST_BATH_K, KETTLE_K
from sim.state import BEAKER_HOLDS_KG, Place, State

Values = dict[str, Any]


def block_values(block: Block) -> Values:
    """A block of a page as plain values; `kind` says which."""
    match block:
        case Words(text, kind):
            return {"kind": "words", "text": text, "as": kind}
        case FieldBox():
            return _field_values(block)
        case ButtonBox(name, label):
            return {"kind": "button", "name": name, "label": label}
        case TableBox(headings, rows):
            return {
                "kind": "table",
                "headings": [_cell_values(cell) for cell in headings],
                "rows": [_row_values(row) for row in rows],
            }
        case PaperBox():
            return _paper_values(block)
        case Gap():
            return {"kind": "gap"}


def _field_values(box: FieldBox) -> Values:
    return {
        "kind": "field",
        "name": box.name,
        "text": box.field.text,
        "label": box.label,
        "letters": box.letters,
        "rows": box.rows if isinstance(box.field, TextArea) else 0,
        "number": isinstance(box.field, NumberField),
        "longest": box.field.longest,
        "refusal": box.refusal,
    }


def _cell_values(cell: Cell) -> Values | str:
    return cell if isinstance(cell, str) else _field_values(cell)


def _row_values(row: TableRow) -> Values:
    return {
        "cells": [_cell_values(cell) for cell in row.cells],
        "struck_out": row.struck_out,
        "name": row.name,
    }


def _paper_values(box: PaperBox) -> Values:
    pencil = box.pencil
    return {
        "kind": "paper",
        "name": box.name,
        "squares": list(pencil.squares),
        "point": list(pencil.point),
        "zoom": pencil.zoom,
        "corner": list(pencil.corner),
        "across": _axis_values(box.across),
        "up": _axis_values(box.up),
        "crosses": _points(box.crosses),
        "line": _points(box.line),
        "laying": _points(box.laying),
        "tools": [block_values(tool) for tool in box.tools],
    }


def _axis_values(axis: PaperAxis | None) -> Values | None:
    return None if axis is None else {"title": axis.title, "numbers": list(axis.numbers)}


def _points(points: tuple[PaperPoint, ...]) -> list[list[float]]:
    return [[point.across, point.up] for point in points]


def falling_values(desk: Desk) -> Values:
    """What changes with every frame while a ball is in the air: the ball, and the lens."""
    ball = ball_seen(desk)
    lens = lens_seen(desk, ball)
    wanted_m = lens.eye_m if lens.centre_m is None else lens.centre_m
    return {
        "in_the_air": in_the_air(desk),
        "ball": _ball_values(ball),
        "lens": {
            "heading": lens.heading,
            "eye_m": lens.eye_m,
            "centre_m": lens_centre_m(wanted_m, LENS_STRIP_M),
            "strip_m": LENS_STRIP_M,
            "ball": _seen_values(desk, lens.eye_m, lens.ball),
        },
    }


def _ball_values(ball: BallSeen | None) -> Values | None:
    if ball is None:
        return None
    return {"lowest_m": ball.lowest_m, "wet": ball.wet, "held": ball.held}


def _seen_values(desk: Desk, eye_m: float, ball: BallSeen | None) -> Values | None:
    """Against which heights of the rule the eye sees the ball's lowest point and its top."""
    if ball is None:
        return None
    view = View(eye_m)
    ends_m = (ball.lowest_m, ball.lowest_m + desk.state.ball.diameter_m)
    lowest_m, top_m = (
        float(seen_height_m(end, eye_m, view.eye_distance_m, view.standoff_m)) for end in ends_m
    )
    return {"lowest_m": lowest_m, "top_m": top_m, "wet": ball.wet, "held": ball.held}


def scene_values(desk: Desk) -> Values:
    """Everything that the picture of the bench is drawn from."""
    state = desk.shown
    shown_s, _ = stopwatch_seen(desk, state)
    words = things_in_words(desk)
    wishes = {name: wish(desk) for name, (_, wish) in THINGS.items()}
    return {
        **falling_values(desk),
        "rule_m": RULE_LENGTH_M,
        "flag_m": state.setup.drop_height_m,
        "diameter_m": float(desk.state.ball.diameter_m),
        "eye_m": desk.eye_m,
        "place": "rule" if state.held_height_m is not None else state.place.name.lower(),
        "wet": state.place is Place.TONGS and is_wet(state),
        "things": {
            name: {"shows": words.get(name, ""), "key": key_for(wish)}
            for name, wish in wishes.items()
        },
        "thermometer": {
            "in": state.thermometer_in,
            "thread": _share_of_scale(state),
            "ends": [LOWEST_C, HIGHEST_C],
            "span": THERMOMETER_SHOWS_K,
        },
        "beaker_full": float(state.water_kg / BEAKER_HOLDS_KG),
        "bath": bath_values(state),
        "steam": {
            "kettle": steam_strength(float(celsius(KETTLE_K))),
            "beaker": steam_strength(float(celsius(state.water_k))) if state.water_kg else 0.0,
            "bath": steam_strength(float(celsius(state.bath_k))),
        },
        "steam_still": desk.steam_still,
        "stopwatch": {"digits": digits(shown_s), "turn": shown_s / 60.0 % 1.0},
        "poured": poured_now(desk),
        "floor_wet": bool(state.floor_wet),
        "camera_m": None if state.camera is None else state.camera.height_m,
        "thing": desk.thing if desk.focus == BENCH else "",
        "by_finger": desk.by_finger,
    }


def bath_values(state: State, turned_k: float = 0.0) -> Values:
    """The bath, its dial held by a hand that has turned it so far; `dial` is 0 to 1."""
    setting_k = dial_at_k(state, turned_k) if turned_k else state.bath_setting_k
    return {
        "words": bath_words(replace(state, bath_setting_k=setting_k)),
        "set_c": float(celsius(setting_k)),
        "dial": float(setting_k - COLDEST_BATH_K) / (HOTTEST_BATH_K - COLDEST_BATH_K),
        "changing": state.bath_changing,
    }


def _share_of_scale(state: State) -> float:
    """How far up its scale the thermometer's thread stands, 0 to 1."""
    reading = float(celsius(thermometer_reading_exact_k(state)))
    return min(max((reading - LOWEST_C) / (HIGHEST_C - LOWEST_C), 0.0), 1.0)


def dial_values() -> Values:
    """The field beside the bath: what it is called, and what can be written in it."""
    return {
        "label": f"bath's dial / {school_unit('temperature')}",
        "unit": school_unit("temperature"),
        "lowest": float(celsius(COLDEST_BATH_K)),
        "highest": float(celsius(HOTTEST_BATH_K)),
        "step": HALF_DEGREE_K,
    }


def things_values() -> list[Values]:
    """The apparatus in the order of the focus: each one's name, and what is said of it.

    Said to who works by keys, and to who works by finger.
    """
    return [{"name": name, "words": words._asdict()} for name, (words, _) in THINGS.items()]
