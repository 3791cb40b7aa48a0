"""Readings that look wrong are asked about first, with the gradient with and without them."""

import numpy as np
import pytest

from analysis.__main__ import main
from analysis.report.tables import json_document, summary_lines

LEVEL = {20: (14, 15, 14), 30: (20, 21, 20), 40: (26, 26, 27), 50: (32, 31, 32), 60: (38, 38, 37)}


def with_reading(temperature, height):
    """The level table with another third reading at one temperature."""
    return {**LEVEL, temperature: (*LEVEL[temperature][:2], height)}


def test_a_table_in_order_is_asked_nothing(summary_of):
    summary = summary_of(LEVEL)
    assert summary.questions == ()
    without = summary.doubtful.gradient_without_m_per_k
    assert without == pytest.approx(float(summary.trend.line.gradient))


@pytest.mark.parametrize(
    ("height", "places", "why"),
    [
        (0, 0, "0 cm at 60 °C, repeat 3 (a reading that was missed is left blank"),
        (0.38, 2, "0.38 cm at 60 °C, repeat 3 (100 times as much would fit: perhaps metres"),
        (3.8, 1, "3.8 cm at 60 °C, repeat 3 (10 times as much would fit)"),
    ],
)
def test_a_slip_is_asked_about_right_below_the_name_of_the_file(summary_of, height, places, why):
    summary = summary_of(with_reading(60, height), places=places)
    name, question, *_ = summary_lines(summary)
    assert name == "club.csv"
    assert question.startswith("Is this reading right? " + why)
    right = summary_of(with_reading(60, None)).trend.line.gradient
    assert summary.doubtful.gradient_without_m_per_k == pytest.approx(float(right))
    with_it, without = float(summary.trend.line.gradient) * 100, float(right) * 100
    assert f"with it the gradient is {with_it:.2f} cm per °C, without it {without:.2f}" in question
    assert without - with_it > 0.1


def test_a_flagged_anomaly_is_asked_about_and_still_counted(club):
    (question,) = club.questions
    assert "20 cm at 40 °C, repeat 3 (it lies far from the others of its set)" in question
    assert "It is counted" in question
    document = json_document(club)
    assert document["questions"] == [question]
    without = document["trend"]["gradient_without_doubtful"]["value"]
    assert without == pytest.approx(club.doubtful.gradient_without_m_per_k * 100)
    # By hand: without the 20 cm the mean at 40 °C, the middle, is 36.5 cm; the gradient stays.
    assert without == pytest.approx(document["trend"]["gradient"]["value"])


def test_a_whole_row_in_metres_is_found_and_a_cold_balls_low_bounce_is_not(summary_of):
    row = summary_of({**LEVEL, 40: (0.26, 0.26, 0.27)}, places=2)
    assert row.doubtful.slips.factor[2].tolist() == [100.0] * 3
    low = summary_of({10: (2, 2, 3), 60: (40, 41, 40), 70: (48, 47, 48)})
    assert low.questions == ()


def test_many_doubts_are_counted_after_the_fifth(summary_of):
    found = summary_of({t: (0, 0, *heights) for t, heights in LEVEL.items()}).questions
    assert "; and 5 more readings." in found[0]
    assert found[0].startswith("Are these readings right?")


def test_two_temperatures_and_one_of_them_wrong_have_no_gradient_without(summary_of):
    summary = summary_of({20: (14, 15), 60: (0,)})
    assert np.isnan(summary.doubtful.gradient_without_m_per_k)
    assert summary.questions[0].endswith("It is counted; look it up, or repeat the drop.")


def test_the_question_stands_high_up_in_the_report(tmp_path):
    lines = ["temperature / °C,rebound height 1 / cm,rebound height 2 / cm,rebound height 3 / cm"]
    lines += [f"{t},{a},{b},{c}" for t, (a, b, c) in with_reading(60, 0).items()]
    path = tmp_path / "club.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert main([str(path), "--out", str(tmp_path / "out")]) == 0
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert page.index("Is this reading right?") < page.index("Results")
