"""A class judged in the window: a key an answer, each verdict kept before the next is asked for."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pygame
import pytest

from analysis.marking.work import Verdict
from analysis.refusal import Refused
from physics.ball import USUAL_BALL
from sim.__main__ import main
from sim.bench.model import intents as want
from sim.bench.model.judging import (
    FOCI,
    LIST,
    NOTHING,
    GiveVerdict,
    judging_after,
    judging_of,
    judging_wish,
)
from sim.bench.model.keys import Held
from sim.bench.model.pages.judging_pages import card_blocks, list_blocks
from sim.bench.screen.judging_window import JudgingWindow
from sim.bench.screen.lettering import MEASURE
from sim.bench.ui.typeset import laid_out
from sim.classroom.answers import AnswerGroup, read_answers
from sim.classroom.class_key import Handout, key_bytes, new_key, record_name
from sim.classroom.corrections import Corrections, keep_corrections, read_corrections
from sim.procedure import Procedure
from tests.sim.classroom.written_class import written_record

ROOT = Path(__file__).parents[2]
NAMES = tuple(f"Larkmere Pupil {number}" for number in range(1, 7))


@pytest.fixture(scope="module")
def classroom(tmp_path_factory):
    """A class of six whose answers are drawn from the samples, handed in and collected."""
    home = tmp_path_factory.mktemp("classroom")
    key = new_key(Handout("records", USUAL_BALL, Procedure()), NAMES, 3)
    (home / "key.json").write_bytes(key_bytes(key))
    (home / "in").mkdir()
    for number in range(1, 7):
        (home / "in" / record_name(key, number)).write_bytes(written_record(key, number, seed=3))
    collect(home)
    return home


def collect(home):
    words = ["collect", f"{home / 'in'}", "--key", f"{home / 'key.json'}"]
    assert main([*words, "--out", f"{home / 'results'}", "--force"]) == 0


def group(place, criterion="a", standing="left to you", students=(1,), answer=None):
    return AnswerGroup(
        "Method, reason 1", "Why?", criterion, "Says why", answer or f"answer {place}", "",
        students, standing,
    )  # fmt: skip


def judged(judging, *keys, shift=False):
    """The judging after some keys, and all that had to be kept."""
    changes = []
    for key in keys:
        judging, change = judging_after(judging, judging_wish(key, Held(shift=shift), judging))
        changes.append(change)
    return judging, changes


def key_down(key, mod=0):
    return pygame.event.Event(pygame.KEYDOWN, key=key, mod=mod)


def test_a_class_is_judged_with_a_key_for_each_distinct_answer_and_collected(classroom, capsys):
    out = classroom / "results"
    answers = read_answers(out / "class.xlsx")
    file = out / "corrections.csv"

    def keep(change):
        keep_corrections(file, change.made, change.withdrawn)

    shown = JudgingWindow(pygame.Surface((1366, 768)), judging_of(answers, Corrections()), keep)
    asked = [one for one in answers if one.standing == "left to you"]
    audited = [one for one in answers if one.standing == "credited, to be audited"]
    assert len(asked) > 10
    assert len(audited) > 3
    keys = 0
    while shown.judging.still_open:
        before = read_corrections(file, NAMES).rows
        now = shown.judging.answers[shown.judging.at]
        shown.event(key_down(pygame.K_r if now in audited else pygame.K_h))
        keys += 1
        assert len(read_corrections(file, NAMES).rows) == len(before) + len(now.students)
    assert keys == len(asked) + len(audited)
    shown.draw()
    capsys.readouterr()
    collect(classroom)
    assert "0 answers are left for the teacher to judge." in capsys.readouterr().out
    again = read_answers(out / "class.xlsx")
    assert {one.judged for one in again if one.standing == "left to you"} == {"half"}
    assert not judging_of(again, read_corrections(file, NAMES)).still_open


def test_the_window_shows_only_what_was_collected(tmp_path, capsys):
    assert main(["judge", f"{tmp_path}"]) == 1
    assert "holds no class.xlsx" in capsys.readouterr().err


def test_without_a_screen_one_sentence_says_what_does_the_same(classroom):
    plain = {name: value for name, value in os.environ.items() if "DISPLAY" not in name}
    done = subprocess.run(
        [sys.executable, "-m", "sim", "judge", f"{classroom / 'results'}"],
        env=plain | {"SDL_VIDEODRIVER": "x11"},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "No window can be opened here" in done.stderr
    assert "the sheet 'to judge' of class.xlsx does the same" in done.stderr


def test_a_credit_found_wrong_opens_every_other_credit_of_its_question():
    answers = (
        group(0, standing="credited, to be audited"),
        group(1, standing="credited"),
        group(2, standing="credited"),
        group(3, standing="not yet"),
        group(4, "b", "credited"),
        group(5, "b"),
    )
    judging = judging_of(answers, Corrections())
    assert judging.asked == (0, 5)
    right, _ = judged(judging, "r")
    assert right.asked == (0, 5)
    doubted, _ = judged(judging, "n")
    assert doubted.asked == (0, 1, 2, 5)
    assert doubted.at == 1


def test_shift_gives_a_verdict_to_all_open_of_the_question_and_one_key_takes_it_back():
    judging = judging_of(
        (group(0), group(1), group(2, students=(2, 3)), group(3, "b")), Corrections()
    )
    judging, _ = judged(judging, "r")
    after, (change,) = judged(judging, "n", shift=True)
    assert dict(after.words) == {0: "right", 1: "not yet", 2: "not yet"}
    assert after.at == 3
    assert {(one.student, one.verdict) for one in change.made} == {
        (1, Verdict.WRONG),
        (2, Verdict.WRONG),
        (3, Verdict.WRONG),
    }
    back, (change,) = judged(after, "u")
    assert dict(back.words) == {0: "right"}
    assert back.at == 1
    assert change.withdrawn == {(1, "a"), (2, "a"), (3, "a")}
    assert judged(judged(back, "u")[0], "u")[1] == [NOTHING]


def test_another_verdict_on_the_same_answer_is_taken_back_to_the_one_before():
    judging, _ = judged(judging_of((group(0), group(1)), Corrections()), "r", "UP", "h")
    assert judging.words[0] == "half"
    back, (change,) = judged(judging, "BACKSPACE")
    assert back.words[0] == "right"
    assert [one.verdict for one in change.made] == [Verdict.RIGHT]


def test_what_cannot_be_kept_is_not_given_and_says_why():
    def keep(_):
        raise Refused("corrections.csv cannot be written (it is open)", mend="close it elsewhere")

    judging = judging_of((group(0), group(1)), Corrections())
    shown = JudgingWindow(pygame.Surface((1366, 768)), judging, keep)
    shown.event(key_down(pygame.K_r))
    assert not shown.judging.words
    assert shown.judging.at == 0
    assert "close it elsewhere" in shown.judging.trouble
    shown.draw()


def test_a_reason_is_typed_and_goes_with_the_next_verdict_alone():
    kept = []
    judging = judging_of((group(0), group(1)), Corrections())
    shown = JudgingWindow(pygame.Surface((1366, 768)), judging, kept.append)
    shown.event(key_down(pygame.K_t))
    keys = {"h": pygame.K_h, "r": pygame.K_r, " ": pygame.K_SPACE, "n": pygame.K_n}
    for letter in "hr n":
        shown.event(key_down(keys[letter]))
        shown.event(pygame.event.Event(pygame.TEXTINPUT, text=letter))
    assert not kept
    shown.event(key_down(pygame.K_RETURN))
    shown.event(key_down(pygame.K_n))
    shown.event(key_down(pygame.K_r))
    assert [one.reason for change in kept for one in change.made] == ["hr n", ""]


def test_everything_can_be_reached_and_pressed_from_the_keyboard():
    judging = judging_of((group(0), group(1, "b")), Corrections())
    seen = [judging.focus]
    for _ in FOCI[1:]:
        judging, _ = judged(judging, "TAB")
        seen.append(judging.focus)
    assert tuple(seen) == FOCI
    judging = replace(judging, focus="half")
    judging, (change,) = judged(judging, "RETURN")
    assert [one.verdict for one in change.made] == [Verdict.HALF]
    judging, _ = judged(judging, "LEFT")
    assert judging.at == 0
    judging, _ = judged(judging, "ESCAPE")
    assert not judging.open


def test_answers_and_buttons_can_be_clicked():
    kept = []
    judging = judging_of((group(0), group(1), group(2)), Corrections())
    shown = JudgingWindow(pygame.Surface((1366, 768)), judging, kept.append)

    def click(page, name):
        box = page.sheet.frame(name).box
        at = (box.x + page.view.x + 5, box.y + page.view.y + 5)
        shown.event(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=at))

    click(shown.seen()[0], "answer 2")
    assert shown.judging.at == 2
    click(shown.seen()[1], "not yet")
    assert shown.judging.words == {2: "not yet"}
    assert kept[0].made[0].answer == "answer 2"


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5])
def test_nothing_is_wider_than_its_page_at_any_size_of_text(scale):
    long = "I think that it is because " + "of the way it was done " * 12
    base = "hazard 1: hot water; risk 1: it could go over somebody's hand and scald it"
    own = "partly repeatable by the bars; " + ", ".join(
        f"{celsius}.5 °C: 23.60 ± 11.50 cm" for celsius in range(20, 61, 5)
    )
    answers = tuple(
        replace(group(n, answer=f"{n} {long}"), builds_on=base, own_work=own) for n in range(80)
    )
    judging = judging_of(answers, Corrections(), scale)
    for blocks, width in ((list_blocks(judging), 754), (card_blocks(judging), 530)):
        sheet = laid_out(blocks, MEASURE, width, scale, LIST)
        lines = [line for one in sheet.placed for line in one.lines]
        lines += [line for one in sheet.placed for frame in one.frames for line in frame.lines]
        assert all(
            line.x + MEASURE.width_px(line.text, line.size_px, line.bold) <= width for line in lines
        )


def test_a_window_of_another_size_is_drawn_and_the_row_at_hand_is_seen():
    answers = tuple(group(n) for n in range(70))
    shown = JudgingWindow(pygame.Surface((1024, 600)), judging_of(answers, Corrections()), print)
    shown.event(key_down(pygame.K_EQUALS, pygame.KMOD_CTRL))
    for _ in range(69):
        shown.event(key_down(pygame.K_DOWN))
    listed, _ = shown.seen()
    box = listed.sheet.frame("answer 69").box
    assert listed.scroll_px <= box.y < listed.scroll_px + listed.view.height
    shown.draw()
    shown.event(pygame.event.Event(pygame.QUIT))
    assert not shown.judging.open


def test_what_was_judged_before_is_known_again():
    answers = (group(0, students=(1, 2)), group(1, students=(3,)))
    _, (change,) = judged(judging_of(answers, Corrections()), "h")
    again = judging_of(answers, Corrections(change.made))
    assert again.words == {0: "half"}
    assert again.at == 1
    other = (replace(answers[0], answer="another"), answers[1])
    assert not judging_of(other, Corrections(change.made)).words
    beside = (replace(answers[0], own_work="straight line"), answers[1])
    assert judging_of(beside, Corrections(change.made)).words  # a file of earlier programs
    _, (change,) = judged(judging_of(beside, Corrections()), "h")
    assert judging_of(beside, Corrections(change.made)).words == {0: "half"}
    curved = (replace(answers[0], own_work="curved line"), answers[1])
    assert not judging_of(curved, Corrections(change.made)).words
    assert GiveVerdict("right") == judging_wish("1", Held(), again)
    assert judging_wish("x", Held(), again) is None
    assert judging_of((group(0, standing="credited"),), Corrections()) is None
    assert isinstance(judging_wish("PLUS", Held(control=True), again), want.ScaleText)


KILLED = """
# Each round forks a judge, kills it (SIGKILL) at a random moment, and reads what it left.
import os, random, signal, sys, time
from pathlib import Path

from sim.bench.model.judging import judging_after, judging_of, judging_wish
from sim.bench.model.keys import Held
from sim.classroom.answers import AnswerGroup
from sim.classroom.corrections import Corrections, keep_corrections, read_corrections

folder, rounds = Path(sys.argv[1]), int(sys.argv[2])
moments = random.Random(int(sys.argv[3]))
names = [""] * 400
answers = tuple(
    AnswerGroup("p", "q", f"c{n}", "asks", f"up, \\"I\\" think, {n}", "", (n + 1,), "left to you")
    for n in range(400)
)


def judge_until_killed(path, told):
    judging = judging_of(answers, Corrections())
    while judging.still_open:
        judging, change = judging_after(judging, judging_wish("r", Held(), judging))
        keep_corrections(path, change.made, change.withdrawn)
        os.write(told, b"+")
    time.sleep(60)


total = 0
for round_ in range(rounds):
    path = folder / f"{round_}" / "corrections.csv"
    path.parent.mkdir()
    reading, telling = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            judge_until_killed(path, telling)
        finally:
            os._exit(1)
    os.close(telling)
    os.read(reading, 1)  # it is judging
    time.sleep(moments.random() * 0.05)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the judge ended by itself"
    told = 1
    while part := os.read(reading, 65536):
        told += part.count(b"+")
    os.close(reading)
    found = read_corrections(path, names)
    assert not found.notices, found.notices
    assert [one.student for one in found.rows] == list(range(1, len(found.rows) + 1))
    assert told <= len(found.rows) <= told + 1, (told, len(found.rows))
    keep_corrections(path, found.rows)  # what the killed one left half-written goes
    assert [one.name for one in path.parent.iterdir()] == [path.name]
    total += told
print(rounds, total)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs os.fork")
def test_every_verdict_that_was_given_survives_a_kill(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", KILLED, f"{tmp_path}", "25", "1"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    rounds, total = map(int, done.stdout.split())
    assert rounds == 25
    assert total > rounds
