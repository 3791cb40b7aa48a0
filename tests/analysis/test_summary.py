"""Everything worked out once: the summary, its table and its figures."""

import csv
import dataclasses
import io
import json
from pathlib import Path

import numpy as np
import pytest

from analysis.refusal import Refused
from analysis.report.figures import CATALOGUE, FILES, keys_table
from analysis.report.summary import Weighed, summarise
from analysis.report.tables import json_document, summary_csv
from analysis.statistics.spread import suggests

THREE = {20: (8, 9, 8), 40: (18, 17, 17), 60: (30, 31, 29)}


def keys_of(value, path=""):
    """Every path to a figure or a plain value, written as in the table of keys."""
    if isinstance(value, dict) and "unit" not in value:
        for key, inner in value.items():
            yield from keys_of(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        yield from keys_of(value[0], f"{path}[]")
    else:
        yield path, value["unit"] if isinstance(value, dict) else ""


def columns_of(summary):
    """The columns of summary.csv by their headings."""
    text = summary_csv(summary).decode("utf-8-sig")
    headings, *rows = csv.reader(io.StringIO(text, newline=""))
    return dict(zip(headings, zip(*rows, strict=True), strict=True))


def column(summary, name):
    return columns_of(summary)[name]


def test_the_table_has_a_row_a_temperature_with_quantity_over_unit_headings(summary_of):
    found = columns_of(summary_of(THREE))
    assert found["temperature / °C"] == ("20", "40", "60")
    assert found["mean rebound height / cm"] == ("8.3", "17.3", "30.0")
    assert found["half-range uncertainty / cm"] == ("0.5", "0.5", "1.0")
    assert found["range / cm"] == ("1", "1", "2")
    plain = {"readings", "anomalies", "coefficient of restitution"}
    assert all(" / " in name for name in found if name not in plain)


def test_the_csv_opens_in_spreadsheets(summary_of):
    content = summary_csv(summary_of(THREE))
    assert content.startswith(b"\xef\xbb\xbf")
    assert content.count(b"\r\n") == content.count(b"\n") == 4


def test_what_cannot_be_said_is_blank_in_the_table_and_a_sentence_besides(summary_of):
    summary = summary_of({20: (24,), 40: (36, 37), 60: (48,)})
    assert column(summary, "half-range uncertainty / cm") == ("", "0.5", "")
    assert column(summary, "range / cm") == ("", "1", "")
    assert any(s.startswith("At 20, 60 °C: one reading") for s in summary.cannot_say)


def test_one_temperature_is_analysed_and_the_missing_trend_explained(summary_of):
    summary = summary_of({40: (36, 37, 35)})
    assert not summary.has_line
    assert summary.curve is None
    assert any("two temperatures" in sentence for sentence in summary.cannot_say)


def test_repeats_that_all_agree_take_their_uncertainty_from_the_resolution(summary_of):
    summary = summary_of({20: (24, 24, 24), 40: (36, 36, 36), 60: (48, 48, 48)})
    assert any("half a graduation" in sentence for sentence in summary.cannot_say)
    assert column(summary, "half-range uncertainty / cm") == ("0.0", "0.0", "0.0")
    assert summary.spread.uncertainty_m == pytest.approx([0.005] * 3)


@pytest.mark.parametrize(
    ("sets", "shown"),
    [
        ({20: (18, 26, 22), 60: (48, 40, 44)}, (("22", "4"), ("44", "4"))),
        ({20: (18, 27, 22), 60: (48, 40, 44)}, (("22.3", "4.5"), ("44.0", "4.0"))),
        ({20: (22, 22, 22), 60: (44, 44, 44)}, (("22.0", "0.0"), ("44.0", "0.0"))),
    ],
)
def test_mean_and_half_range_stand_beside_each_other_in_one_precision(summary_of, sets, shown):
    summary = summary_of(sets)
    columns = ("mean rebound height / cm", "half-range uncertainty / cm")
    assert tuple(zip(*(column(summary, each) for each in columns), strict=True)) == shown


def test_a_full_table_leaves_nothing_unsaid(summary_of):
    summary = summary_of({20: (24, 23, 25), 40: (36, 37, 35), 60: (48, 49, 47)})
    assert summary.cannot_say == ()


def test_readings_that_fall_at_room_temperature_alone_suggest_no_cooling(summary_of):
    falling, level = (24, 22, 20, 18, 16), (36, 37, 36, 37, 36)
    fell = summary_of({20: falling, 40: level, 60: tuple(h + 12 for h in level)})
    assert suggests(fell.spread.pooled_drift) == "nothing"
    hot = summary_of({20: (12, 13, 12, 13, 12), 40: falling, 60: tuple(h + 12 for h in falling)})
    assert suggests(hot.spread.pooled_drift) == "cooling"


def test_no_drift_is_told_where_students_are_pooled(readings_of, summary_of):
    falling = {t: (h, h - 2, h - 4, h - 6) for t, h in ((20, 24), (40, 36), (60, 48))}
    alone = summary_of(falling)
    assert alone.spread.pooled_drift.slope_m_per_repeat == pytest.approx(-0.02)
    readings = readings_of(falling)
    frame = readings.frame.assign(student=np.where(readings.frame["repeat"] < 3, "A", "B"))
    frame["repeat"] = (frame["repeat"] - 1) % 2 + 1
    pooled = summarise(dataclasses.replace(readings, frame=frame))
    assert pooled.grid.students == 2
    assert np.isnan(pooled.spread.pooled_drift.slope_m_per_repeat)
    assert any("pooled" in sentence for sentence in pooled.cannot_say)


def test_the_curve_bends_as_the_straightness_test_says(curved):
    assert curved.shape == "curves upwards"
    assert curved.curve[2] == pytest.approx(float(curved.trend.straightness.curvature_m_per_k2))


def test_mass_and_weight_give_the_same_energies(summary_of):
    by_mass = summary_of(THREE, weighed=Weighed(mass_kg=0.025, assumed=False))
    by_weight = summary_of(THREE, weighed=Weighed(weight_n=0.025 * 9.81, assumed=False))
    assert by_mass.energies.before_j == pytest.approx(0.025 * 9.81 * 1.0)
    assert by_weight.energies.after_j == pytest.approx(by_mass.energies.after_j)
    assert column(by_mass, "energy after / J")[0] == "0.0204"  # 0.24525 J x 0.25/3


def test_temperatures_are_written_in_full_and_no_further(summary_of):
    assert summary_of(THREE).temperature_texts == ("20", "40", "60")
    assert summary_of({20: (8,), 22.5: (9,)}).temperature_texts == ("20.0", "22.5")
    assert summary_of({20: (8,), 22.25: (9,)}).temperature_texts == ("20.00", "22.25")


@pytest.mark.parametrize("kind", ["club", "curved"])
def test_every_figure_is_documented_with_its_unit_and_the_other_way_round(kind, request):
    found = dict(keys_of(json_document(request.getfixturevalue(kind))))
    documented = {one.key: one.unit for one in (*CATALOGUE, FILES)}
    assert list(found) == list(documented)
    assert {k: u for k, u in found.items() if u} == {k: u for k, u in documented.items() if u}


def test_figures_are_json_without_nan_and_say_why_where_there_is_no_number(summary_of):
    found = json_document(summary_of({40: (36,)}))
    text = json.dumps(found, allow_nan=False)  # refuses NaN
    assert json.loads(text) == found
    row = found["temperatures"][0]
    assert row["mean"] == {"value": 36.0, "unit": "cm"}
    assert row["half_range"]["value"] is None
    assert "repeats" in row["half_range"]["reason"]
    assert "two temperatures" in found["trend"]["gradient"]["reason"]
    assert found["drift"]["slope"]["reason"] in found["cannot_say"]  # said once, in one way


def test_figures_hold_the_numbers_of_the_table(club):
    found = json_document(club)
    assert found["temperatures"][0]["readings"] == {"value": [24, 23, 25, 22, 24], "unit": "cm"}
    assert found["temperatures"][1]["readings"]["value"][4] is None
    assert found["temperatures"][2]["anomalous_repeats"] == [3]
    assert found["temperatures"][2]["mean_without_anomaly"]["value"] == pytest.approx(36.5)
    means = [23.6, 30.25, 33.2, 42.4, 48.4]
    gradient = np.polyfit([20, 30, 40, 50, 60], means, 1)[0]
    assert found["trend"]["gradient"] == {"value": pytest.approx(gradient), "unit": "cm per °C"}
    assert found["energy"]["mass_assumed"] is True


def test_the_developers_page_lists_the_keys_of_the_catalogue():
    page = Path(__file__).parents[2] / "DEVELOPERS.md"
    assert keys_table() in page.read_text(encoding="utf-8")


def test_impossible_heights_are_refused_in_one_sentence(summary_of):
    with pytest.raises(Refused, match=r"120\.5 cm is impossible.*\.$"):
        summary_of({20: (120, 121), 40: (119, 120)})
