"""The plan of a class set reaches the sheet, the bench, the key and the marking alike.

Everything goes through the commands: a set is given out with a plan that is not the usual one and
a ball of 40 g, and what comes of it is looked at from the outside.
"""

import csv
from dataclasses import replace
from html import unescape

import pygame
import pypdf
import pytest

from analysis.readings.sheets import sheets
from physics.ball import FAST
from physics.reading import CAREFUL
from sim.__main__ import main
from sim.bench.screen.picture import picture
from sim.calibration.ball_file import FORMAT as BALL_FORMAT
from sim.calibration.ball_file import VERSION, BallFile, content_of
from sim.classroom.class_key import read_key, setup_for
from sim.procedure import Procedure
from sim.record.format import ball_fields
from sim.record.replay import read_record
from sim.state import Setup
from sim.student import perform
from tests.bench.books import open_page, said
from tests.bench.hands import bench
from tests.bookwork import book_actions
from tests.sim.recorded import write

PLAN = ("--temperatures-c", "30,45", "--repeats", "2", "--drop-height-cm", "80", "--soak-s", "90")
BALL = replace(FAST, name="heavy", mass_kg=0.040)
SENTENCE = (
    "The plan of your class: the bath at 30 and 45\u00a0°C, 2 drops at each, from 80\u00a0cm. Soak "
    "the ball 90\u00a0s, dry it; do not put it back between drops."
)
FLAG = (150, 40, 44)


@pytest.fixture(scope="module")
def given(tmp_path_factory):
    """The folder of a set of one student with a plan and a ball of its own."""
    folder = tmp_path_factory.mktemp("plan")
    (folder / "names.csv").write_text("name\nAda of Larkmere\n", encoding="utf-8")
    ball = BallFile(BALL_FORMAT, VERSION, ball_fields(BALL), 0.007, {}, (), (), {}, "a.csv", "")
    (folder / "own.ball.json").write_bytes(content_of(ball))
    set_ = ["classset", str(folder / "names.csv"), "--out", str(folder / "set"), "--seed", "1"]
    assert main([*set_, *PLAN, "--ball", str(folder / "own.ball.json")]) == 0
    return folder / "set"


@pytest.fixture(scope="module")
def record(given):
    return read_record(given / "for students" / "01 Ada of Larkmere.rebound.jsonl")


def done(given, tmp_path, **changes):
    """What the student hands in: with `changes` to the plan the readings alone, no book."""
    key = read_key(given / "teacher only" / "key.json")
    setup = setup_for(key, 1)
    acts = perform(setup, replace(setup.plan, observer=CAREFUL, **changes))
    folder = tmp_path / "in"
    folder.mkdir()
    path = folder / "01 Ada of Larkmere.rebound.jsonl"
    return write(path, (*acts.actions, *(book_actions(acts.end) if not changes else ())), setup)


def collected(given, path):
    """What the workbook has for the teacher to see, as (what, why)."""
    out = path.parent.parent / "out"
    key = given / "teacher only" / "key.json"
    assert main(["collect", str(path.parent), "--key", str(key), "--out", str(out)]) == 0
    rows = table(out / "class.xlsx", "for the teacher")
    return [row["why"] for row in rows if row["what"] == "to be checked"]


def table(path, name):
    """The rows of a workbook's sheet, by heading."""
    rows = next(sheet.rows for sheet in sheets(path) if sheet.name == name)
    head = next(number for number, row in enumerate(rows) if "practical" in row)
    return [dict(zip(rows[head], row, strict=False)) for row in rows[head + 1 :]]


def test_the_record_keeps_the_plan_in_its_first_line(record):
    plan = Procedure(temperatures_k=(303.15, 318.15), repeats=2, drop_height_m=0.8, soak_s=90.0)
    assert record.setup.plan == plan
    assert record.notices == ()


def test_the_sheet_says_the_plans_height_and_the_balls_mass(given):
    reader = pypdf.PdfReader(given / "for students" / "01 Ada of Larkmere.pdf")
    text = " ".join(reader.pages[0].extract_text().split())
    assert "dropped from 80 cm beside a rule, 2 times at each temperature" in text
    assert "The mass of the ball is 40 g." in text


@pytest.mark.parametrize("page", ["Rough readings", "Method"])
def test_the_bench_says_the_plan(record, page):
    at = bench(record.setup)
    open_page(at, page)
    assert SENTENCE in said(at)


def test_a_practical_without_a_plan_says_none():
    assert not any("plan of your class" in text for text in said(bench()))


@pytest.mark.parametrize(("height_m", "seen_at_m"), [(0.8, 0.8), (1.0, 1.0), (1.8, 1.22)])
def test_the_flag_stands_at_the_planned_height(height_m, seen_at_m):
    at = bench(Setup(seed=3, plan=Procedure(drop_height_m=height_m)))
    surface = pygame.Surface(at.surface.get_size())
    picture(surface, at.desk, at.seen())
    rule = at.seen().layout.rule
    beside = [
        row
        for row in range(rule.bottom)
        if tuple(surface.get_at((rule.right + 6, row)))[:3] == FLAG
    ]
    middle = sum(beside) / len(beside)
    assert (rule.bottom - middle) / rule.height == pytest.approx(seen_at_m, abs=0.01)


def test_the_key_works_energy_with_the_balls_own_mass(given):
    (key,) = table(given / "teacher only" / "answer key.xlsx", "answers")
    # m g h with the own mass, the plan's height, and g = 9.81 N/kg as the report takes it
    assert key["energy before / J"] == pytest.approx(0.040 * 9.81 * 0.8, abs=6e-5)


def test_a_report_works_energy_with_the_balls_own_mass(given, tmp_path):
    own = str(given.parent / "own.ball.json")
    assert main(["perform", "--ball", own, "--out", str(tmp_path / "out")]) == 0
    report = unescape((tmp_path / "out" / "report.html").read_text(encoding="utf-8"))
    report = report.replace("\u00a0", " ")
    assert "The ball's mass was given as 40 g." in report
    # m g h from one metre: 0.040 kg x 9.81 N/kg x 1 m = 0.3924 J
    assert "0.392" in report
    assert "is assumed" not in report


def test_the_marking_takes_height_and_mass_from_plan_and_ball(given, tmp_path, capsys):
    path = done(given, tmp_path)
    assert main(["mark", str(path)]) == 0
    assert "62 of 62 marks" in capsys.readouterr().out
    assert collected(given, path) == []


def test_a_table_from_paper_is_marked_with_the_sheets_height_and_mass(given, tmp_path):
    reader = pypdf.PdfReader(given / "for students" / "01 Ada of Larkmere.pdf")
    assert "at 30 °C" in reader.pages[0].extract_text()
    folder = tmp_path / "in"
    folder.mkdir()
    answers = [("temperature / °C", "rebound height 1 / cm"), ("30", "15"), ("45", "20")]
    before_j = 0.040 * 9.81 * 0.8
    answers += [
        ("Energy", "energy before", f"{before_j:.3f} J"),
        ("Energy", "height before", "0.80 m"),
    ]
    with (folder / "01 table.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(answers)
    key, out = given / "teacher only" / "key.json", tmp_path / "out"
    assert main(["collect", str(folder), "--key", str(key), "--out", str(out)]) == 0
    (marks,) = table(out / "class.xlsx", "marks")
    assert marks["energy.before"] == 1
    assert marks["energy.height-before"] == 1


def test_drops_from_another_height_and_too_few_of_them_are_told_to_the_teacher(given, tmp_path):
    path = done(given, tmp_path, drop_height_m=1.0, repeats=1)
    assert collected(given, path) == [
        "2 readings are of drops from another height than the plan's 80 cm, the first from 100 cm.",
        "The plan asks for 2 at each temperature; fewer readings stand at 30 °C, 45 °C.",
    ]


def test_a_set_given_out_before_there_were_plans_is_no_altered_bench(given, tmp_path):
    key = read_key(given / "teacher only" / "key.json")
    folder = tmp_path / "in"
    folder.mkdir()
    bare = replace(setup_for(key, 1), plan=None)
    acts = perform(bare, setup_for(key, 1).plan).actions
    path = write(folder / "01 Ada of Larkmere.rebound.jsonl", acts, bare)
    assert collected(given, path) == []
