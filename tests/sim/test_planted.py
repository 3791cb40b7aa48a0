"""Text that does harm elsewhere, planted wherever text comes in; every output is looked at."""

import csv
import json
from dataclasses import replace

import pytest
import xlsxwriter

from analysis.__main__ import main as analyse
from analysis.marking.questions import ANSWERED
from physics.ball import FAST
from sim import actions as act
from sim.__main__ import main
from sim.calibration.ball_file import content_of
from sim.classroom.class_key import Handout, key_bytes, new_key
from sim.procedure import Procedure
from sim.record.file import begin_record, continue_record
from sim.record.replay import read_record
from sim.state import Setup
from tests.sim.outputs import folder_is_harmless, text_is_harmless
from tests.sim.recorded import ACTS, timed
from tests.sim.test_calibrate_ball_file import BALL, FILE

SCRIPT = '"><script>alert(1)</script><img src=x onerror=alert(1)>]]>&lt;{{7*7}}'
FORMULA = '=HYPERLINK("https://x.invalid","=1+1")'
ESCAPE = "\x1b[2J\x1b]0;x\x07\x9b1A\u202eright to left\u2066\r\nSet-Cookie\u2028\x85two\tlines"
PATH = "../../../planted/..\\..\\C:\\planted"
PLANTS = (SCRIPT, FORMULA, ESCAPE, PATH, "+1", "-2+3", "@SUM(1)", "\t=1", "\r=2", "|calc", "＝1")
ALL = " ".join(PLANTS)
SCRIPT_SEEN = "<script>alert(1)</script>"


@pytest.fixture
def here(tmp_path, monkeypatch):
    """A folder within a folder: nothing may be written beside it."""
    home = tmp_path / "a" / "b" / "c" / "home"
    home.mkdir(parents=True)
    monkeypatch.chdir(home)
    yield home
    outside = [path for path in tmp_path.rglob("*") if home not in (path, *path.parents)]
    assert [path for path in outside if path not in home.parents] == []


def run(command, capfd, *words):
    """A command whose every line on the terminal is looked at; gives them."""
    assert command([str(word) for word in words]) == 0, capfd.readouterr().err
    said = "".join(capfd.readouterr())
    text_is_harmless(said, lines=1_000)
    return said


def planted_book(plant):
    """Acts that write a text into every place of the exercise book that takes one."""
    return (
        *ACTS,
        act.StrikeReading(1, plant),
        *(act.WriteCell(0, column, plant) for column in range(3)),
        *(act.WriteCell(1, column, f"{plant} 20") for column in range(3)),
        *(act.WriteAnswer(page, question, plant) for page, question in ANSWERED),
        act.SetAxis("across", plant, 20.0, 5.0),
        act.SetAxis("up", plant, 0.0, 5.0),
    )


def planted_table(path, plant):
    """A table with a text in every heading, note and answer that is none of a number."""
    rows = [
        [plant, plant],
        ["temperature / °C", "rebound height 1 / cm", "rebound height 2 / cm", "mean / cm", plant],
        *([t, h, h + 1, h + 0.5, plant] for t, h in ((20, 23), (30, 28), (40, 33))),
        [],
        *([page, question, plant] for page, question in ANSWERED),
    ]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)


def test_a_record_with_text_planted_in_it(here, capfd):
    for number, plant in enumerate((*PLANTS, ALL)):
        setup = Setup(seed=4, model=replace(FAST, name=plant))
        path = here / f"{number}.rebound.jsonl"
        with begin_record(path, setup, plant) as file:
            for action, time_s in timed(setup, planted_book(plant)):
                file.append(action, time_s)
    for number in range(len(PLANTS) + 1):
        run(main, capfd, "mark", f"{number}.rebound.jsonl")
    for ending in ("csv", "xlsx", "ods"):
        run(main, capfd, "readings", "0.rebound.jsonl", "--out", f"r.{ending}")
    assert SCRIPT_SEEN in folder_is_harmless(here)


def test_readings_with_text_planted_in_them(here, capfd):
    rows = [["temperature / °C", "height / cm", "student", *PLANTS, ALL]]
    for number, name in enumerate((*PLANTS, ALL)):
        rows += [[t, t + number / 2, name, *PLANTS, ALL] for t in (20, 30, 40)]
    with (here / "in.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    with xlsxwriter.Workbook(here / "in.xlsx", {"strings_to_formulas": False}) as book:
        page = book.add_worksheet("=1+1!<b>\u202e")
        for number, row in enumerate(rows):
            page.write_row(number, 0, row)
    for ending, more in (("csv", ("--pdf", "--svg")), ("xlsx", ("--json",))):
        run(analyse, capfd, f"in.{ending}", *more, "--out", f"of {ending}")
        assert "HYPERLINK" in folder_is_harmless(here / f"of {ending}")


def test_filled_tables_with_text_planted_in_them(here, capfd):
    (here / "out").mkdir()
    for number, plant in enumerate((*PLANTS, ALL)):
        planted_table(here / f"{number}.csv", plant)
        run(analyse, capfd, "mark", f"{number}.csv", "--out", f"out/{number}.html")
    assert SCRIPT_SEEN in folder_is_harmless(here / "out")


def test_a_ball_file_with_text_planted_in_it(here, capfd):
    ball = {**FILE.ball, "name": ALL[:60]}
    document = {**json.loads(content_of(FILE)), "ball": ball, "source": ALL, "note": ALL}
    (here / "own.ball.json").write_text(json.dumps(document), encoding="utf-8")
    assert BALL.name != ball["name"]
    run(main, capfd, "perform", "--ball", "own.ball.json", "--repeats", "2", "--out", "out")
    run(main, capfd, "contrast", "--ball", "own.ball.json", "--repeats", "2", "--out", "two")
    for out in ("out", "two"):
        folder_is_harmless(here / out)


def test_a_class_with_text_planted_in_it(here, capfd):
    with (here / "names.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["name"], *([name] for name in PLANTS)])
    run(main, capfd, "classset", "names.csv", "--out", "set", "--repeats", "2")
    run(main, capfd, "classset", "names.csv", "--out", "numbers", "--readings-only")
    assert SCRIPT_SEEN in folder_is_harmless(here / "set")
    folder_is_harmless(here / "numbers")
    handed = here / "in"
    (handed / f"{ESCAPE.replace('/', '')} folder").mkdir(parents=True)
    records = sorted((here / "set" / "for students").glob("*.jsonl"))
    for path, plant in zip(records, PLANTS, strict=True):
        file, record = continue_record(path)
        with file:
            for action, time_s in timed(record.setup, planted_book(plant)):
                file.append(action, time_s)
        assert read_record(path).end.book.answers
        path.rename(handed / f"{path.stem}{plant.replace('/', '')}.jsonl"[-200:])
    planted_table(handed / f"02 {FORMULA.replace('/', '')}{ESCAPE}.csv", ALL)
    (handed / f"{ESCAPE} folder" / f"=1{SCRIPT.replace('/', '')}.csv").write_bytes(b"\0")
    (handed / f"02 half \udcff{ESCAPE}.ods").write_bytes(b"no workbook")
    run(main, capfd, "collect", "in", "--key", "set/teacher only/key.json", "--out", "results")
    assert SCRIPT_SEEN in folder_is_harmless(here / "results")


def test_a_key_with_names_that_no_list_of_names_gives(here, capfd):
    key = new_key(Handout("records", FAST, Procedure()), PLANTS, 1)
    (here / "key.json").write_bytes(key_bytes(key))
    (here / "in").mkdir()
    for number in range(1, len(PLANTS) + 1):
        planted_table(here / "in" / f"{number:02}.csv", PLANTS[number - 1])
    with (here / "by hand.csv").open("w", encoding="utf-8", newline="") as file:
        head = ["student", "criterion", "verdict", "marks", "reason"]
        rows = [[name, "table.mean", "not yet", "", name] for name in PLANTS]
        csv.writer(file).writerows([head, *rows, [ALL, ALL, ALL, ALL, ALL]])
    words = ("--key", "key.json", "--corrections", "by hand.csv", "--out", "results")
    said = run(main, capfd, "collect", "in", *words)
    assert f"Practical 1 ({SCRIPT}): Typed in from paper" in said
    assert SCRIPT_SEEN in folder_is_harmless(here / "results")


REFUSED = [
    (analyse, "{}.csv"),
    (analyse, "mark {}.csv"),
    (main, "fit {}.csv"),
    (main, "mark {}.jsonl"),
    (main, "perform --ball {}.ball.json"),
    (main, "collect in --key {}.json"),
    (main, "collect in --key key.json --corrections {}.csv"),
    (main, "collect in --key key.json --criteria {}.toml"),
]


@pytest.mark.parametrize("plant", [SCRIPT, ESCAPE, ALL], ids=["script", "escape", "all"])
def test_a_refusal_of_a_planted_name_or_content_is_one_harmless_line(here, capfd, plant):
    key = new_key(Handout("records", FAST, Procedure()), ("Ada",), 1)
    (here / "key.json").write_bytes(key_bytes(key))
    (here / "in").mkdir()
    name = plant.replace("/", "")[:60]
    for command, words in REFUSED:
        first, *rest = words.split()
        arguments = [word.replace("{}", name) for word in (first, *rest)]
        (path,) = (here / word for word in arguments if name in word)
        path.write_text(f"temperature / °C,repeat 1 / cm\n{plant},{plant}\n", encoding="utf-8")
        assert command(arguments) == 1
        said = capfd.readouterr()
        assert said.out == ""
        text_is_harmless(said.err)
        path.unlink()


WRONG_USAGE = [
    (main, "{}"),
    (main, "{} --new"),
    (main, "mark a b {}"),
    (main, "fit x --mass-g {}"),
    (analyse, "a.csv --{0}{0}"),
    (analyse, "mark a b {}"),
    (analyse, "a.csv --mass-g {}"),
]


@pytest.mark.parametrize(("command", "words"), WRONG_USAGE)
def test_wrong_usage_quotes_what_was_typed_without_its_power(command, words, capfd):
    with pytest.raises(SystemExit) as left:
        command([word.format(ESCAPE.replace(" ", "")) for word in words.split()])
    assert left.value.code == 2
    text_is_harmless("".join(capfd.readouterr()), lines=20)
