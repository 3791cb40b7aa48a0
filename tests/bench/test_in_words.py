"""The bench said as well as shown: its words against the picture's own numbers, title and voice."""

import os
import re
import stat
from dataclasses import replace

import pygame as K
import pytest

from analysis.quantity.units import celsius
from sim.bench.model import speech
from sim.bench.model.along_bench import THINGS
from sim.bench.model.hints import told
from sim.bench.model.in_words import bench_in_words
from sim.bench.model.speech import NO_SPEAKER, Voice, speaker_here
from sim.bench.screen.window import TITLE
from sim.bench.ui.theme import FOCUS, PAGE, STRUCK, TEXT_CONTRAST, contrast
from sim.passing import thermometer_reading_exact_k
from sim.state import Place
from tests.bench.hands import bench, key, keys, text, wait


def soaked_and_held():
    at = bench()
    keys(at, *[K.K_h] * 3, K.K_c, K.K_b)
    wait(at, 4.0)
    keys(at, K.K_t, K.K_r)
    return at


def test_f2_says_the_bench_in_title_note_and_output(capsys):
    K.display.init()
    K.display.set_mode((64, 64))
    at = soaked_and_held()
    key(at, K.K_F2)
    words = at.desk.note.text
    assert "thermometer" in words
    assert K.display.get_caption()[0] == f"{TITLE}: {words}"
    assert capsys.readouterr().out == f"{words}\n"


def test_the_thermometer_is_told_to_half_a_degree():
    at = soaked_and_held()
    told_c = float(re.search(r"shows ([0-9.]+) °C", bench_in_words(at.desk)).group(1))
    assert told_c * 2 == int(told_c * 2)
    true_c = float(celsius(thermometer_reading_exact_k(at.desk.state)))
    assert told_c == pytest.approx(true_c, abs=0.26)


def test_a_ball_that_moves_is_told_without_a_height_and_a_film_as_the_lens_shows_it():
    at = soaked_and_held()
    at.desk = replace(at.desk, eye_m=0.3)
    key(at, K.K_k)
    key(at, K.K_SPACE)
    wait(at, 0.3)
    assert "in the air" in bench_in_words(at.desk)
    assert "lowest point" not in bench_in_words(at.desk).partition("Camera")[0]
    wait(at, 6.0)
    words = bench_in_words(at.desk)
    seen_cm = float(re.search(r"seen at ([0-9.]+) cm", words).group(1))
    drop = at.desk.state.last_drop
    # Similar triangles: 5 cm before the rule, 1 m from the eye (the test of the picture).
    expected_m = drop.apex_m + (drop.apex_m - at.desk.state.camera.height_m) * 5.0 / 95.0
    assert seen_cm == pytest.approx(100.0 * expected_m, abs=0.1)


def test_a_ball_outside_the_lens_is_not_told_by_it():
    at = soaked_and_held()
    at.desk = replace(at.desk, eye_m=0.3)
    assert "the lens shows the rule alone" in bench_in_words(at.desk)
    at.desk = replace(at.desk, eye_m=at.desk.hand_m)
    assert f"seen at {100 * at.desk.hand_m:.1f} cm" in bench_in_words(at.desk)


@pytest.fixture
def on_path(tmp_path, monkeypatch):
    """A folder that alone is searched for programs."""
    monkeypatch.setenv("PATH", str(tmp_path))
    return tmp_path


@pytest.mark.skipif(os.name == "nt", reason="the stand-in is a script of the shell")
def test_the_words_reach_the_speech_program_as_they_are(on_path):
    heard = on_path / "heard"
    program = on_path / "espeak-ng"
    program.write_text(f'#!/bin/sh\nwhile read -r line; do echo "$line"; done > {heard}\n')
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    assert speaker_here()[0] == "espeak-ng"
    voice = Voice(speaker_here())
    words = "The eye is at 30 cm; $(exit) `exit` 'half'."
    assert voice.say(words)
    voice._speaking.wait(10)
    assert heard.read_text() == f"{words}\n"


def test_without_a_speech_program_it_is_said_that_there_is_none(on_path):
    at = bench()
    at.speak()
    assert at.voice is None
    assert at.desk.note.text == NO_SPEAKER
    assert not Voice(speech.SPEAKERS[0]).say("hello")


def test_steam_can_be_stilled():
    at = bench()
    keys(at, *[K.K_h] * 4)
    wait(at, 2.0)

    def steam():
        at.draw()
        beaker = at.seen().layout.beaker
        above = K.Rect(beaker.x, beaker.y - 60, beaker.width, 50)
        return K.image.tobytes(at.surface.subsurface(above), "RGB")

    first = steam()
    wait(at, 0.4)
    assert steam() != first
    key(at, K.K_s, K.KMOD_ALT)
    still = steam()
    wait(at, 0.4)
    assert steam() == still


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_a_refusal_stands_beside_its_field_and_in_its_own_colour(scale):
    at = bench()
    at.desk = replace(at.desk, text_scale=scale)
    key(at, K.K_TAB)
    text(at, "40 furlongs")
    keys(at, K.K_RETURN, K.K_RETURN)
    note, focus = told(at.desk), at.desk.focus
    assert note.kind == "refusal"
    placed = next(p for p in at.seen().sheet.placed if p.frames and p.frames[0].name == focus)
    refused = [line for line in placed.lines if line.ink == STRUCK]
    assert " ".join(line.text for line in refused) == note.text
    assert all(line.y >= placed.frames[0].box.bottom for line in refused)
    assert contrast(STRUCK, PAGE) >= TEXT_CONTRAST
    text(at, "1")
    at.desk = replace(at.desk, note=replace(at.desk.note, text=""))
    assert not [p for p in at.seen().sheet.placed for line in p.lines if line.ink == STRUCK]


def test_the_whole_drop_is_done_from_thing_to_thing_and_return():
    """Arrows and Return alone, as in a page of fields; each thing says what Return does."""
    at = bench()

    def use(thing, times=1):
        for _ in range(len(THINGS)):
            if at.desk.thing == thing:
                break
            key(at, K.K_RIGHT)
        assert told(at.desk).text == THINGS[thing][0].keys or at.desk.thing == thing
        keys(at, *[K.K_RETURN] * times)

    use("kettle", 3)
    use("jug")
    use("ball")
    assert at.desk.state.place is Place.WATER
    wait(at, 2.0)
    use("ball")
    assert at.desk.state.held_height_m is not None
    use("ball")
    assert at.desk.state.drops == 1
    key(at, K.K_ESCAPE)
    assert at.desk.thing == ""


@pytest.mark.parametrize("thing", THINGS)
def test_a_thing_that_has_the_focus_has_a_ring_about_it(thing):
    at = bench()
    at.draw()
    before = K.surfarray.array3d(at.surface).astype(int)
    at.desk = replace(at.desk, thing=thing)
    at.draw()
    changed = (K.surfarray.array3d(at.surface) != before).any(axis=2)
    ring = K.surfarray.array3d(at.surface)[changed]
    assert changed.sum() > 300
    assert (ring == FOCUS).all(axis=1).mean() > 0.8
