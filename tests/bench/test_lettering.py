"""The typeface: found without matplotlib, with the signs of the subject, and bounded."""

import subprocess
import sys

import pygame
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.paper import typeface
from analysis.paper.typeface import typeface_file
from analysis.refusal import Refused
from sim.bench.screen import lettering
from sim.bench.screen.lettering import MEASURE, broken, font, line_surface

INK = (0, 0, 0)


@pytest.fixture(autouse=True)
def _fonts():
    pygame.font.init()
    lettering.forget()


def test_matplotlib_is_not_imported_for_its_typeface():
    code = (
        "import sys, sim.bench.screen.lettering as t; t.font(15); "
        "print([m for m in ('matplotlib', 'numpy', 'pandas') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("bold", [False, True])
def test_the_signs_of_the_subject_are_in_the_typeface(bold):
    face = font(20, bold)
    unknown = pygame.image.tobytes(face.render("\uffff", True, INK), "RGBA")
    for sign in "½°²³⁻¹×±λθ−▲▼▸…’é":
        assert face.metrics(sign)[0] is not None, sign
        assert pygame.image.tobytes(face.render(sign, True, INK), "RGBA") != unknown, sign


@pytest.mark.parametrize(
    "text",
    ["", "שלום", "مرحبا", "😀🧪", "a\u0301", "\ud800", "\x00", "a\nb\t", "\u200b", "\xad\u2060"],
)
def test_no_text_brings_it_down(text):
    line = line_surface(text, 15, INK)
    assert line.get_height() == MEASURE.line_height_px(15)
    assert line.get_width() == MEASURE.width_px(text, 15)


@given(st.text(max_size=30))
def test_whatever_is_written_can_be_drawn_and_broken(text):
    line_surface(text, 15, INK)
    assert broken(text, 15, 60)


def test_a_rendered_line_is_kept_and_told_apart_by_all_that_makes_it():
    line = line_surface("0.85", 15, INK)
    assert line_surface("0.85", 15, INK) is line
    others = [
        line_surface("0.86", 15, INK),
        line_surface("0.85", 16, INK),
        line_surface("0.85", 15, (9, 9, 9)),
        line_surface("0.85", 15, INK, bold=True),
    ]
    assert all(other is not line for other in others)


def test_rendered_lines_are_bounded_and_the_latest_stay(monkeypatch):
    monkeypatch.setattr(lettering, "MOST_PIXELS", 40_000)
    kept = line_surface("this one is used all the time", 15, INK)
    for number in range(200):
        line_surface(f"line {number} of a long practical", 15, INK)
        assert line_surface("this one is used all the time", 15, INK) is kept
        assert lettering._rendered.pixels <= 40_000
    held = [line.get_width() * line.get_height() for line in lettering._rendered._lines.values()]
    assert sum(held) == lettering._rendered.pixels


def test_broken_lines_are_no_wider_than_asked():
    text = "As the temperature increases, the rebound height increases. " + "W" * 60
    for wide in (40, 150, 420):
        lines = broken(text, 15, wide)
        assert all(MEASURE.width_px(line, 15) <= wide for line in lines)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_bold_is_wider_than_plain():
    assert MEASURE.width_px("height", 15, bold=True) > MEASURE.width_px("height", 15)


def test_a_missing_typeface_is_told_in_one_sentence(monkeypatch, tmp_path):
    font.cache_clear()
    typeface_file.cache_clear()
    monkeypatch.setattr(typeface, "_FOLDER", tmp_path)
    with pytest.raises(Refused, match="install matplotlib again"):
        font(99)
    typeface_file.cache_clear()
