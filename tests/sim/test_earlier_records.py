"""Records, keys and ball files that earlier programs wrote: they open, and nobody is doubted.

The files in `earlier` were written by the program as it was before there was a bath: format 1 at a
bench of no class set, the slow ball taken by its playing speed; format 2 of the class set whose key
lies beside it, with a table typed in from its printed sheet. All with a finished book, read by the
model reader. What they were then stands here as numbers.
"""

import json
import shutil
from pathlib import Path

import msgspec
import pytest

import physics
from analysis.readings.sheets import sheets
from sim.__main__ import main
from sim.actions import NoteReading, SetBath
from sim.calibration.ball_file import ball_in, read_ball_file
from sim.procedure import Procedure
from sim.record.file import continue_record
from sim.record.format import BEGINNING, KeptAct, linked, opening_line, opening_of
from sim.record.replay import read_record
from sim.state import Setup
from tests.sim.recorded import write

EARLIER = Path(__file__).parent / "earlier"
NAMES = ("format-1", "format-2")


def record_path(tmp_path, name):
    """A copy of a record, which may be written to."""
    path = tmp_path / f"{name}.rebound.jsonl"
    shutil.copy(EARLIER / path.name, path)
    return path


def collected(folder, key):
    """What the class's workbook has to be checked, and who handed in what."""
    out = folder.parent / "out"
    assert main(["collect", str(folder), "--key", str(key), "--out", str(out)]) == 0
    rows = next(one.rows for one in sheets(out / "class.xlsx") if one.name == "for the teacher")
    head = next(number for number, row in enumerate(rows) if "practical" in row)
    told = [dict(zip(rows[head], row, strict=False)) for row in rows[head + 1 :]]
    return [row["why"] for row in told if row["what"] == "to be checked"]


@pytest.fixture
def folder(tmp_path):
    inside = tmp_path / "in"
    inside.mkdir()
    return inside


@pytest.mark.parametrize("name", NAMES)
def test_a_record_of_each_format_opens_with_every_act_and_no_notice(name):
    path = EARLIER / f"{name}.rebound.jsonl"
    record = read_record(path)
    assert record.notices == ()
    assert record.label == "Ada of Larkmere"
    assert len(record.actions) == len(path.read_bytes().splitlines()) - 1
    assert len(record.end.rough) == 9
    assert not record.true_then


def test_what_an_earlier_record_says_of_ball_and_plan_is_kept():
    bare, planned = (read_record(EARLIER / f"{name}.rebound.jsonl").setup for name in NAMES)
    assert bare.plan is None
    assert bare.model.name == "fast"
    assert bare.model.loss_ratio_40 == 0.16
    assert bare.model.loss_slope_per_k == 0.0184
    plan = planned.plan
    assert (plan.bath, plan.soak_s, plan.repeats, plan.reheat) == ("beaker", 120.0, 3, False)


def test_a_ball_that_was_taken_by_its_playing_speed_is_that_ball_still():
    assert read_record(EARLIER / "format-1.rebound.jsonl").end.ball.name == "slow"


@pytest.mark.parametrize("name", NAMES)
def test_an_earlier_record_is_gone_on_with_and_stays_what_it_was(tmp_path, name):
    path = record_path(tmp_path, name)
    file, record = continue_record(path)
    with file:
        file.append(SetBath(310.15), record.end.time_s)
    again = read_record(path)
    assert again.notices == ()
    assert again.actions == (*record.actions, SetBath(310.15))
    assert not again.true_then


def test_a_new_record_says_its_model_and_is_held_to_it(tmp_path):
    record = read_record(write(tmp_path / "new.rebound.jsonl", ()))
    assert record.true_then
    line = json.loads(opening_line(Setup(seed=1, plan=Procedure()), None).line)
    assert (line["format"], line["physics"], line["plan"]["bath"]) == (
        3,
        physics.MODEL_VERSION,
        "kept",
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_book_of_an_earlier_record_is_marked(tmp_path, capsys, name):
    assert main(["mark", str(record_path(tmp_path, name))]) == 0
    assert "62 of 62 marks" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("model", "doubts"),
    [
        (1, ("It was begun with another version of the program",)),
        (
            physics.MODEL_VERSION,
            (
                "not what the reading aid called out",
                "more than 15 cm from",
                "from the true heights by the root mean square",
            ),
        ),
    ],
)
def test_readings_of_an_earlier_model_are_not_held_against_todays_truth(folder, model, doubts):
    earlier = read_record(EARLIER / "format-2.rebound.jsonl")
    wild = [
        msgspec.structs.replace(one, height_m=one.height_m + 0.2)
        if isinstance(one, NoteReading)
        else one
        for one in earlier.actions
    ]
    opening = opening_of(earlier.setup, earlier.label)
    line, digest = linked(BEGINNING, msgspec.structs.replace(opening, physics=model))
    lines = [line]
    for time_s, action in zip(earlier.times_s, wild, strict=True):
        line, digest = linked(digest, KeptAct(time_s, action))
        lines.append(line)
    (folder / "01 Ada of Larkmere.rebound.jsonl").write_bytes(b"".join(lines))
    told = collected(folder, EARLIER / "key.json")
    assert len(told) == len(doubts)
    assert all(words in each for words, each in zip(doubts, told, strict=True))


def test_an_earlier_record_brings_one_notice(folder):
    shutil.copy(EARLIER / "format-2.rebound.jsonl", folder / "01 Ada of Larkmere.rebound.jsonl")
    (told,) = collected(folder, EARLIER / "key.json")
    assert told.startswith("It was begun with another version of the program")


@pytest.mark.parametrize("model", [1, physics.MODEL_VERSION])
def test_a_table_is_held_against_a_sheet_that_can_be_worked_out_again(folder, model):
    key = json.loads((EARLIER / "key.json").read_bytes())
    key |= {"physics": model, "secret": "00" * 32}  # so today's sheet has other readings
    (folder.parent / "key.json").write_text(json.dumps(key), encoding="utf-8")
    shutil.copy(EARLIER / "01 table.csv", folder)
    told = collected(folder, folder.parent / "key.json")
    by_hand = any("hold the readings against the sheet by hand" in each for each in told)
    assert by_hand == (model == 1)
    rows = next(
        one.rows for one in sheets(folder.parent / "out" / "class.xlsx") if one.name == "marks"
    )
    head = next(number for number, row in enumerate(rows) if "practical" in row)
    marks = dict(zip(rows[head], rows[head + 1], strict=False))
    assert marks["table.decimal-places"] == 1
    assert (marks.get("table.readings") == 0) == (model != 1)


def test_an_earlier_ball_file_serves_as_ball(tmp_path):
    path = EARLIER / "own.ball.json"
    ball = ball_in(read_ball_file(path), path)
    assert (ball.name, ball.mass_kg, ball.loss_ratio_40, ball.cooling_factor) == (
        "our own",
        0.0235,
        0.19,
        1.1,
    )
    assert main(["perform", "--ball", str(path), "--repeats", "1", "--out", str(tmp_path)]) == 0
