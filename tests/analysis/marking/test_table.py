"""The results table: every fault planted alone is found, and nothing else."""

from dataclasses import replace

import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import TABLE
from analysis.marking.study import Study
from analysis.marking.table import ALL
from analysis.marking.work import RoughLine, Verdict, Work
from tests.analysis.marking.right_work import (
    CLUB,
    Style,
    cells_of,
    right_work,
    rough_of,
    with_cells,
)

MEAN = 6  # the column of the means


def test_a_right_table_earns_every_mark():
    remarks = mark(right_work()).of_page(TABLE)
    assert {one.verdict for one in remarks} == {Verdict.RIGHT}
    assert [one.criterion for one in remarks] == [one.name for one in ALL]


@pytest.mark.parametrize(
    "style",
    [
        Style(unit_style="{} ({})"),
        Style(unit_style="{} in {}"),
        Style(unit_style="{} [{}]"),
        Style(places=1, mean_places=1),
        Style(mean_places=0),
    ],
)
def test_other_ways_within_the_rules_are_right_too(style, lost):
    assert lost(right_work(style=style)) == {}


def test_numbered_columns_under_one_heading_are_right():
    named = {(0, 1): "rebound height / cm"}
    counted = dict.fromkeys([(0, 2), (0, 3), (0, 4), (0, 5)])
    shifted = {(row + (row > 0), column): text for (row, column), text in cells_of(CLUB).items()}
    second_row = {(1, n): str(n) for n in range(1, 6)}
    work = replace(right_work(), cells={**shifted, **second_row})
    remarks = mark(with_cells(work, {**named, **counted})).of_page(TABLE)
    assert {one.verdict for one in remarks} == {Verdict.RIGHT}


@pytest.mark.parametrize(("column", "text"), [(0, "temperature"), (3, "rebound height 3")])
def test_a_heading_without_unit(column, text, only):
    remark = only(with_cells(right_work(), {(0, column): text}), "table.heading-unit")
    assert remark.where == f"column {column + 1}"
    assert remark.evidence == (text,)


def test_a_unit_that_the_quantity_is_not_measured_in(only):
    remark = only(with_cells(right_work(), {(0, 0): "temperature / cm"}), "table.heading-unit")
    assert "'cm'" in remark.nudge


@pytest.mark.parametrize(
    ("column", "text", "short"),
    [
        (0, "temp / °C", "temp"),
        (0, "T (°C)", "t"),
        (0, "temp. in °C", "temp"),
        (2, "h2 / cm", "h"),
        (6, "avg rebound height / cm", "avg"),
    ],
)
def test_an_abbreviation_where_a_quantity_is_meant(column, text, short, only):
    remark = only(with_cells(right_work(), {(0, column): text}), "table.heading-quantity")
    assert f"'{short}'" in remark.nudge
    assert remark.where == f"column {column + 1}"


def test_a_heading_that_is_missing(only):
    remark = only(with_cells(right_work(), {(0, 0): "/ °C"}), "table.heading-quantity")
    assert "does not say what was measured" in remark.nudge


def test_words_that_nobody_knows_go_to_the_teacher():
    remarks = mark(with_cells(right_work(), {(0, 0): "hotness / °C"})).of_page(TABLE)
    verdicts = {one.criterion: one.verdict for one in remarks}
    assert verdicts.pop("table.heading-quantity") is Verdict.TEACHER
    assert set(verdicts.values()) == {Verdict.RIGHT}


@pytest.mark.parametrize(
    ("cell", "text"), [((2, 0), "30 °C"), ((3, 2), "37 cm"), ((4, MEAN), "42.4cm")]
)
def test_a_unit_in_a_cell(cell, text, only):
    remark = only(with_cells(right_work(), {cell: text}), "table.cell-unit")
    assert remark.where == f"row {cell[0]}, column {cell[1] + 1}"


def test_words_in_a_cell(lost):
    work = with_cells(right_work(), {(1, 1): "about twenty"})
    found = lost(work)
    assert found["table.cell-unit"].evidence == ("about twenty",)
    assert set(found) == {"table.cell-unit", "table.readings"}  # the reading itself is gone


def test_a_doubtful_reading_may_be_marked_with_a_star_or_brackets(lost):
    assert lost(with_cells(right_work(), {(1, 1): "24*", (2, 1): "(31)"})) == {}


MARKS = ("{} (anomaly)", "{} anomaly", "{} - anomalous", "{}?", "{} (outlier)", "({}) anomaly")


@pytest.mark.parametrize("mark_as", [*MARKS, "[{}]", "{} *", "{} ANOMALOUS RESULT"])
def test_a_reading_with_its_doubt_beside_it_is_still_a_number(mark_as, lost):
    assert lost(with_cells(right_work(), {(1, 1): mark_as.format(24)})) == {}


@pytest.mark.parametrize("text", ["24 drops", "24 then 25", "24 (25)", "24 J", "anomaly"])
def test_a_number_with_anything_else_beside_it_is_none(text, lost):
    found = lost(with_cells(right_work(), {(1, 1): text}))
    assert found["table.cell-unit"].evidence == (text,)


@pytest.mark.parametrize("mark_as", [*MARKS, "{}*"])
def test_on_paper_a_reading_marked_as_an_anomaly_may_be_left_out_or_kept(mark_as):
    cells = {(3, 3): mark_as.format(20)}
    for mean in ("36.5", "33.2"):
        work = replace(with_cells(right_work(), {**cells, (3, MEAN): mean}), rough=None)
        found = {one.criterion: one.verdict for one in mark(work).of_page(TABLE)}
        assert set(found.values()) == {Verdict.RIGHT}
    left_out = replace(with_cells(right_work(), {**cells, (3, MEAN): "36.5"}), rough=None)
    assert Study(left_out).named_set.struck_out_cm == (20,)
    spoilt = replace(with_cells(right_work(), {**cells, (3, MEAN): "35.5"}), rough=None)
    found = {one.criterion: one.verdict for one in mark(spoilt).of_page(TABLE)}
    assert found["table.mean"] is Verdict.WRONG


@pytest.mark.parametrize("cell", ["30 degrees", "30 oC", "30°", "30 deg C"])
def test_a_temperature_in_degrees_is_read_and_costs_the_cell_alone(cell, only):
    only(with_cells(right_work(), {(2, 0): cell}), "table.cell-unit")


@pytest.mark.parametrize(
    "unit", ["oC", "deg C", "degrees C", "degrees Celsius", "ºC", "⁰C", "^oC", "°c", "℃", "celcius"]
)
@pytest.mark.parametrize("style", ["{} / {}", "{} ({})", "{} in {}"])
def test_degrees_celsius_in_the_spellings_of_a_keyboard(unit, style, lost):
    assert lost(with_cells(right_work(), {(0, 0): style.format("temperature", unit)})) == {}


@pytest.mark.parametrize(
    "go",
    [
        *(
            "try {}",
            "go {}",
            "attempt {}",
            "trial {}",
            "test {}",
            "take {}",
            "drop {}",
            "bounce {}",
        ),
        *("{}th try", "rebound height try {}", "height, try {}"),
    ],
)
@pytest.mark.parametrize("style", ["{} (cm)", "{} / cm"])
def test_a_column_for_one_go_may_be_called_what_it_is(go, style, lost):
    heads = {(0, column): style.format(go.format(column)) for column in range(4, 6)}
    assert lost(with_cells(right_work(), heads)) == {}


def test_ordinal_words_count_the_goes(lost):
    goes = ("second try (cm)", "3rd go (cm)", "Fourth attempt / cm")
    heads = {(0, column): text for column, text in enumerate(goes, start=2)}
    assert lost(with_cells(right_work(), heads)) == {}


def test_uneven_decimal_places(only):
    remark = only(with_cells(right_work(), {(3, 4): "37.0"}), "table.decimal-places")
    assert remark.where == "row 3, column 5"
    assert only(with_cells(right_work(), {(2, 0): "30.0"}), "table.decimal-places").evidence == (
        "30.0",
    )


def test_a_mean_that_does_not_follow(lost):
    found = lost(with_cells(right_work(), {(1, MEAN): "26.4"}))
    assert found["table.mean"].where == "row 1"
    assert "23.6 cm" in found["table.mean"].worked
    assert "23.6" not in found["table.mean"].nudge
    assert "with or without" in found["table.mean"].nudge
    assert not [name for name in found if name.startswith("table.") and name != "table.mean"]


@pytest.mark.parametrize(("mean", "earned"), [("23.6", 1), ("23.7", 0), ("23.5", 0), ("24", 1)])
def test_a_mean_may_be_half_a_unit_of_its_last_place_out(mean, earned):
    remarks = mark(with_cells(right_work(), {(1, MEAN): mean})).of_page(TABLE)
    assert {one.criterion: one.earned for one in remarks}["table.mean"] == earned


def struck_work(mean, kept_cell):
    """At 40 °C the club struck out a sixth reading of 20 cm."""
    rough = (*rough_of(CLUB), RoughLine(40.0, 20.0, 0, struck_out=True))
    cells = {(0, 6): "rebound height 6 / cm", (0, 7): "mean rebound height / cm"}
    for row, heights in enumerate(CLUB.values(), start=1):
        cells |= {(row, 6): None, (row, 7): f"{sum(heights) / 5:.1f}"}
    cells |= {(3, 7): mean, (3, 6): "20" if kept_cell else None}
    return with_cells(replace(right_work(), rough=rough), cells)


@pytest.mark.parametrize("kept_cell", [True, False])
def test_a_struck_out_reading_is_left_out_of_the_mean(kept_cell):
    remarks = mark(struck_work("36.2", kept_cell)).of_page(TABLE)
    assert {one.verdict for one in remarks} == {Verdict.RIGHT}


@pytest.mark.parametrize("kept_cell", [True, False])
def test_a_mean_that_keeps_the_struck_out_reading_is_told_as_such(kept_cell):
    found = {
        o.criterion: o for o in mark(struck_work("33.5", kept_cell)).of_page(TABLE) if not o.earned
    }
    assert set(found) == {"table.mean"}
    assert "follows if the struck-out reading is kept" in found["table.mean"].nudge


def test_a_mean_that_leaves_out_a_reading_that_stands(lost):
    rough = tuple(
        replace(one, height_cm=20.0) if (one.temperature_c, one.height_cm) == (40, 35) else one
        for one in rough_of(CLUB)
    )
    work = with_cells(replace(right_work(), rough=rough), {(3, 3): "20", (3, MEAN): "36.5"})
    remark = {one.criterion: one for one in mark(work).of_page(TABLE)}["table.mean"]
    assert remark.verdict is Verdict.WRONG
    assert "follows if one reading is left out" in remark.nudge
    on_paper = {one.criterion: one for one in mark(replace(work, rough=None)).of_page(TABLE)}[
        "table.mean"
    ]
    assert on_paper.verdict is Verdict.TEACHER
    assert "20 cm" in on_paper.nudge


def test_means_to_more_places_than_the_readings_justify(lost):
    cells = {(row, MEAN): f"{sum(heights) / 5:.3f}" for row, heights in enumerate(CLUB.values(), 1)}
    found = lost(with_cells(right_work(), cells))
    assert set(found) == {"table.mean-places"}


def test_means_to_uneven_places():
    remarks = mark(with_cells(right_work(), {(1, MEAN): "24"})).of_page(TABLE)
    found = [one for one in remarks if not one.earned]
    assert [one.criterion for one in found] == ["table.mean-places"]
    assert "row 1, column 7" in found[0].where


@pytest.mark.parametrize("places", [0, 1])
def test_means_to_the_places_of_the_readings_or_one_more_whatever_the_spread(places):
    wide = {20: (20, 28, 24), 40: (30, 41, 37), 60: (44, 52, 49)}
    close = {20: (24, 24, 24, 24), 40: (36, 36, 36, 37), 60: (48, 48, 49, 48)}
    for heights in (wide, close):
        for extra, earned in ((0, 1), (1, 1), (2, 0)):
            style = Style(places=places, mean_places=places + extra)
            remarks = mark(right_work(heights, style)).of_page(TABLE)
            found = {one.criterion: one.earned for one in remarks}
            assert found["table.mean-places"] == earned


def test_a_missing_mean(lost):
    found = lost(with_cells(right_work(), {(2, MEAN): None}))
    assert set(found) == {"table.mean"}
    assert found["table.mean"].nudge == "There is no mean in row 2."


def test_a_reading_that_differs_from_the_rough_page(only):
    remark = only(with_cells(right_work(), {(2, 3): "37"}), "table.readings")
    assert remark.where == "row 2, column 4"
    assert "31, 29, 31, 30, 30 cm" in remark.worked


def test_a_reading_that_is_missing_from_its_row(only):
    remark = only(with_cells(right_work(), {(2, 3): None}), "table.readings")
    assert "row 2" in remark.where


def test_a_temperature_that_was_miscopied(lost):
    found = lost(with_cells(right_work(), {(2, 0): "35"}))
    assert "temperature in row 2" in found["table.readings"].where
    assert "table.rows" not in found


def test_a_missing_row(lost):
    work = with_cells(right_work(), {(5, column): None for column in range(7)})
    found = {one.criterion: one for one in mark(work).of_page(TABLE) if not one.earned}
    assert set(found) == {"table.rows"}
    assert "60 °C" in found["table.rows"].worked
    assert "60" not in found["table.rows"].nudge


def test_a_row_that_was_never_read(lost):
    extra = {(6, 0): "70", **{(6, n): "55" for n in range(1, 6)}, (6, MEAN): "55.0"}
    found = {
        o.criterion: o for o in mark(with_cells(right_work(), extra)).of_page(TABLE) if not o.earned
    }
    assert set(found) == {"table.rows"}
    assert found["table.rows"].where == "row 6"


def test_readings_noted_at_drifting_temperatures_copy_into_one_row():
    rough = tuple(
        replace(one, temperature_c=one.temperature_c - 0.5 * (place % 2))
        for place, one in enumerate(rough_of(CLUB))
    )
    remarks = mark(replace(right_work(), rough=rough)).of_page(TABLE)
    assert {one.verdict for one in remarks} == {Verdict.RIGHT}


def test_metres_in_the_table_are_as_good_as_centimetres():
    cells = dict(right_work().cells)
    for (row, column), text in cells.items():
        if row == 0 and column:
            cells[row, column] = text.replace("cm", "m")
        elif column:
            places = 3 if column == MEAN else 2
            cells[row, column] = f"{float(text) / 100:.{places}f}"
    remarks = mark(replace(right_work(), cells=cells)).of_page(TABLE)
    assert {one.verdict for one in remarks} == {Verdict.RIGHT}


def test_an_empty_table_is_missing_not_wrong():
    remarks = mark(Work(rough=rough_of(CLUB))).of_page(TABLE)
    assert {one.verdict for one in remarks} == {Verdict.MISSING}
    assert len(remarks) == len(ALL)
