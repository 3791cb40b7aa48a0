"""Class sets: seeds nobody can guess, records that open, answers that are right."""

import csv
import io
import re
import threading
from dataclasses import replace

import numpy as np
import pytest

from analysis.readings.readings import grid, read_readings
from physics.ball import SLOW
from sim import actions as act
from sim.__main__ import main
from sim.classroom.class_key import (
    class_heights_m,
    empty_record,
    key_bytes,
    read_key,
    record_name,
    seed_of,
    setup_for,
    student_heights_m,
)
from sim.commands.classset import answer_columns
from sim.record.file import continue_record
from sim.record.replay import read_record
from sim.student import perform

NAMES = ("Ada of Larkmere", "Ada of Larkmere", "=1+1", "../../key", "CON", "", "王小明 🎾")


@pytest.fixture
def names_file(tmp_path):
    path = tmp_path / "names.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([("class", "name"), *(("10B", name) for name in NAMES)])
    return path


def made(names_file, *options):
    out = names_file.parent / "set"
    assert main(["classset", str(names_file), "--out", str(out), *options]) == 0
    return out


def files(folder):
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


def test_a_set_has_a_record_and_a_sheet_for_each_and_no_file_outside(names_file):
    names_file.write_text("name\n../../key\nCON\n", encoding="utf-8")
    out = made(names_file)
    found = files(out)
    assert len([f for f in found if f.startswith("for students/") and f.endswith(".jsonl")]) == 2
    assert len([f for f in found if f.startswith("for students/") and f.endswith(".pdf")]) == 2
    assert {"teacher only/key.json", "teacher only/answer key.xlsx"} <= set(found)
    assert sorted(p.name for p in names_file.parent.iterdir()) == ["names.csv", "set"]


def test_making_a_set_leaves_no_thread_behind(names_file):
    before = set(threading.enumerate())
    made(names_file, "--readings-only")
    assert set(threading.enumerate()) <= before


def test_it_is_said_whose_name_the_printed_font_lacks(names_file, capsys):
    names_file.write_text(f"name\n{NAMES[0]}\n{NAMES[-1]}\n", encoding="utf-8")
    made(names_file)
    assert "lacks letters of the names of practical 02:" in capsys.readouterr().out


def test_each_record_opens_on_the_bench_and_can_be_gone_on_with(names_file):
    out = made(names_file, "--no-sheets")
    key = read_key(out / "teacher only" / "key.json")
    for number in range(1, 8):
        path = out / "for students" / record_name(key, number)
        record = read_record(path)
        assert record.notices == ()
        assert record.actions == ()
        assert record.setup == setup_for(key, number)
        assert record.label == key.names[number - 1]
    file, record = continue_record(path)
    with file:
        file.append(act.PickUp(), record.end.time_s)
    assert read_record(path).actions == (act.PickUp(),)


def test_seeds_differ_have_128_bits_and_show_nothing_of_the_secret(make_key):
    key = make_key(None, tuple(map(str, range(500))))
    seeds = [seed_of(key, number) for number in range(501)]
    assert len(set(seeds)) == 501
    assert max(seeds) < 2**128
    ones = sum(seed.bit_count() for seed in seeds) / 501
    assert 62 < ones < 66  # half of 128 bits, +- 8 standard errors
    assert key.secret not in empty_record(key, 1).decode()
    assert make_key(None, ("a",)).secret != make_key(None, ("a",)).secret
    assert make_key(5, ("a",)).secret == make_key(5, ("a",)).secret


def test_one_changed_bit_of_the_secret_changes_every_seed(make_key):
    key = make_key(3)
    other = replace_secret(key, f"{int(key.secret, 16) ^ 1:064x}")
    assert all(seed_of(key, n) != seed_of(other, n) for n in range(30))


def replace_secret(key, secret):
    return type(key)(key.rebound_class_key, key.kind, secret, key.ball, key.plan, key.names)


@pytest.mark.parametrize("kind", ["records", "readings"])
def test_the_printed_readings_are_those_of_a_scripted_student(make_key, kind):
    key = make_key(4, ("a", "b", "c"), kind)
    heights_m = class_heights_m(key)
    for number in (1, 3):
        done = perform(setup_for(key, number), key.handout.procedure)
        read_m = np.reshape([line.height_m for line in done.end.rough], (5, 5))
        np.testing.assert_allclose(heights_m[number - 1], read_m, atol=1e-9)
        np.testing.assert_allclose(student_heights_m(key, number), read_m, atol=1e-9)


def test_the_answer_key_holds_means_half_ranges_and_gradients(make_key):
    key = make_key(4, ("a", "b"))
    heights_cm = np.round(class_heights_m(key) * 100, 6)
    columns = {one.heading: one.cells for one in answer_columns(key, heights_cm / 100)}
    for student in range(2):
        rows = heights_cm[student]
        assert columns["mean at 30 °C / cm"][student] == pytest.approx(rows[1].mean(), abs=0.051)
        half = (rows[4].max() - rows[4].min()) / 2
        assert columns["half-range at 60 °C / cm"][student] == pytest.approx(half)
        gradient = np.polyfit([20, 30, 40, 50, 60], rows.mean(axis=1), 1)[0]
        assert columns["gradient / cm per °C"][student] == pytest.approx(gradient, abs=6e-4)
        energy_j = 0.024 * 9.80665 * rows[0].mean() / 100
        assert columns["energy after at 20 °C / J"][student] == pytest.approx(energy_j, rel=2e-3)
        assert columns["efficiency at 20 °C / %"][student] == pytest.approx(
            rows[0].mean(), abs=0.06
        )


def test_a_key_comes_back_from_its_file(make_key, tmp_path):
    key = make_key(9, NAMES)
    (tmp_path / "key.json").write_bytes(key_bytes(key))
    assert read_key(tmp_path / "key.json") == key


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "no key of a class set"),
        (b"[1, 2]", "no key of a class set"),
        (b'{"rebound_class_key": 3}', "newer version"),
        (b'{"rebound_class_key": 1, "secret": "00"}', "no key of a class set"),
    ],
)
def test_what_is_no_key_is_refused(tmp_path, capsys, content, says):
    (tmp_path / "key.json").write_bytes(content)
    assert main(["collect", str(tmp_path), "--key", str(tmp_path / "key.json")]) == 1
    assert says in capsys.readouterr().err


@pytest.mark.parametrize(
    ("field", "value"),
    [
        (b'"loss_ratio_40": 0.199', b'"loss_ratio_40": -1.0'),
        (b'"repeats": 5', b'"repeats": 0'),
        (b"300.0", b"3e8"),
        (b"Larkmere", b"Larkm\xe8re"),
    ],
)
def test_a_key_with_impossible_values_is_refused(make_key, tmp_path, capsys, field, value):
    content = key_bytes(make_key(1))
    assert field in content
    (tmp_path / "key.json").write_bytes(content.replace(field, value))
    assert main(["collect", str(tmp_path), "--key", str(tmp_path / "key.json")]) == 1
    assert "no key of a class set" in capsys.readouterr().err


def test_the_ball_and_the_plan_reach_records_and_readings(names_file):
    out = made(names_file, "--no-sheets", "--ball", "slow", "--repeats", "3", "--seed", "2")
    key = read_key(out / "teacher only" / "key.json")
    assert setup_for(key, 1).model == replace(SLOW, name=SLOW.name)
    assert class_heights_m(key).shape == (7, 5, 3)


def test_readings_only_are_one_file_that_the_analysis_reads(names_file):
    out = made(names_file, "--readings-only", "--seed", "2")
    assert files(out) == [
        "teacher only/answer key.csv",
        "teacher only/key.json",
        "teacher only/readings of all.csv",
    ]
    key = read_key(out / "teacher only" / "key.json")
    readings = read_readings(out / "teacher only" / "readings of all.csv")
    for number in (1, 7):
        frame = readings.frame[readings.frame["student"].str.startswith(f"{number:02}")]
        heights_m = grid(replace(readings, frame=frame)).heights_m
        np.testing.assert_allclose(heights_m, class_heights_m(key)[number - 1], atol=1e-9)


def test_the_answer_key_of_readings_only_has_a_row_a_student(names_file):
    out = made(names_file, "--readings-only")
    text = (out / "teacher only" / "answer key.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    assert len(rows) == 8
    assert rows[3][1] == "'=1+1"
    assert all(re.fullmatch(r"-?\d*(\.\d+)?", cell) for row in rows[1:] for cell in row[2:])


def test_a_second_set_never_takes_the_place_of_the_first(names_file, capsys):
    out = made(names_file, "--no-sheets")
    before = (out / "teacher only" / "key.json").read_bytes()
    again = ["classset", str(names_file), "--out", str(out), "--no-sheets", "--force"]
    assert main(again) == 1
    assert "choose another folder" in capsys.readouterr().err
    assert (out / "teacher only" / "key.json").read_bytes() == before


def test_a_plan_that_no_bench_can_do_leaves_no_folder(names_file, capsys):
    out = names_file.parent / "set"
    assert main(["classset", str(names_file), "--out", str(out), "--temperatures-c", "99"]) == 1
    assert "neither kept in the bath nor mixed" in capsys.readouterr().err
    assert sorted(p.name for p in names_file.parent.iterdir()) == ["names.csv"]


def test_a_plan_too_large_for_paper_is_refused_with_a_way_out(names_file, capsys):
    out = names_file.parent / "set"
    assert main(["classset", str(names_file), "--out", str(out), "--repeats", "20"]) == 1
    assert "--no-sheets" in capsys.readouterr().err
    assert not out.exists()
