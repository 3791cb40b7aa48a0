"""Two published student tables through the command, from a file as a school would write it.

Table A: "Bouncing balls", drop of 1 m, three drops by eye, cm, with the printed means;
http://www.markedbyteachers.com/gcse/science/bouncing-balls-2.html
Table S: "Squash ball - efficiency", drop of 0.80 m, three drops, m, with the author's efficiency
in whole per cent; scribd.com document 598382699.
"""

import json

import pytest

from analysis.__main__ import main

TABLE_A = """temperature / °C,rebound height 1 / cm,rebound height 2 / cm,rebound height 3 / cm
0,3,4,3
20,8,10,8
40,18,17,17
60,30,31,29
80,45,50,40
100,60,61,61
"""
TABLE_S = """temperature / °C,drop height / m,rebound 1 / m,rebound 2 / m,rebound 3 / m
5,0.80,0.08,0.08,0.07
22,0.80,0.15,0.15,0.14
33,0.80,0.22,0.21,0.20
43,0.80,0.25,0.22,0.23
53,0.80,0.30,0.29,0.29
63,0.80,0.35,0.34,0.31
71,0.80,0.39,0.40,0.38
83,0.80,0.45,0.44,0.43
"""
MEANS_A_CM = [3.33, 8.67, 17.33, 30.0, 45.0, 60.67]
EFFICIENCY_S_PERCENT = [10, 19, 26, 29, 36, 41, 49, 55]


def analysed(tmp_path, capsys, text):
    path = tmp_path / "published.csv"
    path.write_text(text, encoding="utf-8")
    assert main([str(path), "--json", "--out", str(tmp_path / "out")]) == 0
    assert (tmp_path / "out" / "report.html").exists()
    return json.loads(capsys.readouterr().out)


def test_table_a_gives_its_printed_means(tmp_path, capsys):
    found = analysed(tmp_path, capsys, TABLE_A)
    means = [row["mean"]["value"] for row in found["temperatures"]]
    assert means == pytest.approx(MEANS_A_CM, abs=0.005)
    # The set of 80 °C spans 10 cm: half of it either way.
    assert found["temperatures"][4]["half_range"] == {"value": 5.0, "unit": "cm"}


def test_table_s_gives_its_printed_efficiencies(tmp_path, capsys):
    found = analysed(tmp_path, capsys, TABLE_S)
    assert found["drop_height"] == {"value": 80.0, "unit": "cm"}
    kept = [row["energy_kept"]["value"] for row in found["temperatures"]]
    # Printed in whole per cent, and worked out by hand from rounded means.
    assert kept == pytest.approx(EFFICIENCY_S_PERCENT, abs=1.0)
