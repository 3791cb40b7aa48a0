"""The printed sheets, read from the outside."""

import io
import re
from dataclasses import replace

import numpy as np
import pypdf
import pytest

from physics.ball import FAST
from sim.classroom.class_key import Handout, class_heights_m
from sim.classroom.printed_sheets import Printed, questions_pdf, sheets_pdf
from sim.procedure import Procedure

NAMES = ("Ada of Larkmere", "عمر", "x" * 200, "王 =1+1")


@pytest.fixture(scope="module")
def sheets(make_key):
    heights_m = class_heights_m(make_key(6, NAMES))
    students = tuple(
        Printed(f"{number:02}", name, heights_m[number - 1])
        for number, name in enumerate(NAMES, start=1)
    )
    return heights_m, pypdf.PdfReader(
        io.BytesIO(sheets_pdf(students, Handout("records", FAST, Procedure())))
    )


def test_each_student_has_a_front_and_a_back_on_a4(sheets):
    pages = sheets[1].pages
    assert len(pages) == 2 * len(NAMES)
    for page in pages:
        size_mm = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
        assert size_mm == pytest.approx([210, 297], abs=0.1)
    for number in range(len(NAMES)):
        for page in pages[2 * number : 2 * number + 2]:
            assert f"Practical {number + 1:02}" in page.extract_text()


def test_the_readings_on_paper_are_those_of_the_student(sheets):
    heights_m, reader = sheets
    for number, page in enumerate(reader.pages[::2]):
        lines = re.findall(r"at (\d+) °C:\s*([\d, ]+?)\s*cm", page.extract_text())
        assert [line[0] for line in lines] == ["20", "30", "40", "50", "60"]
        printed = [[float(text) for text in line[1].split(",")] for line in lines]
        np.testing.assert_allclose(printed, np.round(heights_m[number] * 100, 6))


def test_no_sheet_gives_away_a_mean_or_a_neighbours_readings(sheets):
    heights_m, reader = sheets
    for number, page in enumerate(reader.pages[::2]):
        text = page.extract_text()
        for mean_cm in np.round(heights_m[number].mean(axis=1) * 100, 1):
            assert mean_cm == round(mean_cm) or f"{mean_cm:.1f}" not in text
        assert not any(name in text for name in NAMES[:1] if name != NAMES[number])


@pytest.mark.parametrize("temperatures", [1, 8, 9, 10, 11, 12])
def test_the_fullest_front_ends_above_the_foot_of_the_sheet(temperatures):
    plan = replace(
        Procedure(), temperatures_k=tuple(np.linspace(283.15, 333.15, temperatures)), repeats=12
    )
    student = Printed("01", "Ada", np.full((temperatures, 12), 0.255))
    reader = pypdf.PdfReader(io.BytesIO(sheets_pdf((student,), Handout("records", FAST, plan))))
    feet = []
    reader.pages[0].extract_text(visitor_text=lambda text, cm, tm, *_: feet.append((tm[5], text)))
    lowest = min((foot, text) for foot, text in feet if text.strip())
    assert "Work on these only" in lowest[1]
    assert lowest[0] * 25.4 / 72 > 15.0


def test_the_questions_hold_the_words_that_they_refer_to():
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(questions_pdf())).pages]
    text = " ".join(" ".join(pages).split())
    assert "The last page says what resolution and uncertainty are." in text
    assert "The words of measurement" in pages[-1]
    assert all(word in pages[-1].lower() for word in ("resolution", "uncertainty"))
