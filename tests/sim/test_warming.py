"""How much flatter than a ball as warm as its water a plan makes the line, for the answer key."""

import re
from dataclasses import replace

import numpy as np
import pytest
from python_calamine import CalamineWorkbook

from analysis.marking.sentences.criteria import load
from physics.ball import PLAYING_SPEEDS, USUAL_BALL
from sim.__main__ import main
from sim.procedure import Procedure
from sim.teaching.warming import flattening_sentence, gradients

LONG = Procedure(reheat=True)
SHORT = Procedure(bath="beaker", soak_s=120.0)


def test_a_longer_soak_and_going_back_flatten_the_line_less():
    ways = (LONG, Procedure(), replace(SHORT, reheat=True), SHORT)
    lost = [gradients(USUAL_BALL, way).share_lost for way in ways]
    assert 0.0 < lost[0] < min(lost[1:3])
    assert max(lost[1:3]) < lost[3]


def test_a_soak_without_end_put_back_and_hardly_cooled_flattens_it_by_nothing():
    still = replace(USUAL_BALL, cooling_factor=0.05)
    endless = gradients(still, replace(LONG, soak_s=3600.0, towel=True))
    assert endless.share_lost == pytest.approx(0.0, abs=0.03)


def test_a_plan_of_one_temperature_has_no_line():
    assert flattening_sentence(USUAL_BALL, Procedure((320.0,))) == ""


def test_the_worked_step_of_an_inaccuracy_says_what_the_model_gives():
    (worked,) = (row.worked for row in load().rows if row.question == "inaccuracy 1")
    said = float(re.search(r"after two minutes in a beaker.* is (\d+) % flatter", worked).group(1))
    for ball in PLAYING_SPEEDS.values():
        assert 100.0 * gradients(ball, SHORT).share_lost == pytest.approx(said, abs=2.0)


@pytest.mark.parametrize("options", [[], ["--bath", "beaker", "--soak-s", "120"]])
def test_the_answer_key_says_the_slope_that_the_class_really_got(options, tmp_path):
    names, out = tmp_path / "names.csv", tmp_path / "set"
    names.write_text("name\n" + "".join(f"Pupil {n}\n" for n in range(40)), encoding="utf-8")
    given = ["classset", str(names), "--no-sheets", "--seed", "1", "--out", str(out), *options]
    assert main(given) == 0
    key = CalamineWorkbook.from_path(out / "teacher only" / "answer key.xlsx")
    cells = key.get_sheet_by_name("answers").to_python()
    rows = [[str(cell) for cell in row if cell is not None] for row in cells]
    said = next(cell for row in rows for cell in row if cell.startswith("By the model"))
    told = float(re.search(r"flatter: ([\d.]+) cm", said).group(1))
    headings = next(row for row in cells if row and row[0] == "practical")
    at = next(i for i, name in enumerate(headings) if str(name).startswith("gradient"))
    got = [float(row[at]) for row in cells if row and isinstance(row[0], float | int)]
    # Forty lines of balls that differ by 3 % and eyes that read to 1 cm: the mean is good to 0.01.
    assert np.mean(got) == pytest.approx(told, abs=0.02)
