"""The opening card and the last page: what is to be found out, what is still empty, the file."""

from pathlib import Path

import pygame as K
import pytest

from sim import actions as act
from sim.bench.model.after import PAGES, desk_for
from sim.bench.model.hints import (
    BESIDE_QUESTIONS,
    ON_THE_CARD,
    ON_THE_SETTLED_CARD,
    WARM,
    hint,
    told,
)
from sim.bench.model.keeping import Keeper
from sim.bench.model.pages.book_page import QUESTION
from sim.bench.model.pages.first_and_last import CONTENTS, START_PAGE, on_card, still_empty
from sim.bench.screen import app
from sim.bench.screen.app import KEPT_AGAIN, open_folder
from sim.bench.ui.blocks import ButtonBox, TableBox, Words
from sim.procedure import SHORT, WHOLE, Procedure
from sim.record.file import begin_record
from sim.record.readings_file import readings_path
from sim.state import Setup, beginning, replace
from tests.bench.books import FULL, ORDER, said, sitting
from tests.bench.hands import bench, key, keys, text, wait
from tests.sim.steps import replay


def carded(setup=None):
    at = bench(setup)
    at.desk = on_card(at.desk)
    return at


def labels(at):
    return [b.label for b in START_PAGE.blocks(at.desk) if isinstance(b, ButtonBox)]


def test_a_new_practical_begins_with_the_card(tmp_path):
    wanted = app.Wanted(folder=tmp_path, new=True, seed=3)
    first = app.first_seen(K.display.set_mode((1366, 768)), wanted)
    assert first.desk.page == "Start"
    words = [b.text for b in START_PAGE.blocks(first.desk) if isinstance(b, Words)]
    assert QUESTION in words
    assert hint(first.desk) == ON_THE_CARD.keys


def test_the_card_names_every_page_in_the_order_of_the_ribbons():
    assert [page for page, _ in CONTENTS] == list(PAGES) == ORDER
    (table,) = (b for b in START_PAGE.blocks(carded().desk) if isinstance(b, TableBox))
    assert [row.cells[1] for row in table.rows] == ORDER


@pytest.mark.parametrize(("moves", "extent"), [((), WHOLE), ((K.K_TAB,), SHORT)])
def test_what_is_chosen_on_the_card_is_on_the_record_and_the_hands_are_free(moves, extent):
    at = carded()
    keys(at, *moves, K.K_RETURN)
    assert at.desk.state.extent == extent
    assert (at.desk.page, at.desk.focus) == (ORDER[0], "bench")
    assert hint(at.desk) == BESIDE_QUESTIONS.format("Ctrl+3").keys
    key(at, K.K_3, K.KMOD_CTRL)
    assert hint(at.desk) == WARM.keys
    assert replay(Setup(seed=3), at.keeper.actions).extent == extent


def test_the_choice_can_be_changed_until_the_first_reading():
    at = carded()
    key(at, K.K_RETURN)
    key(at, K.K_0, K.KMOD_CTRL)
    keys(at, K.K_TAB, K.K_RETURN)
    assert at.desk.state.extent == SHORT
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    key(at, K.K_n)
    text(at, "20 C")
    key(at, K.K_RETURN)
    text(at, "27 cm")
    key(at, K.K_RETURN)
    key(at, K.K_0, K.KMOD_CTRL)
    assert labels(at) == ["Go on"]
    assert hint(at.desk) == ON_THE_SETTLED_CARD.keys
    key(at, K.K_RETURN)
    assert at.desk.state.extent == SHORT
    assert at.desk.page == "Rough readings"


def test_a_plan_of_the_class_leaves_no_choice():
    at = carded(Setup(seed=3, plan=Procedure()))
    assert labels(at) == ["Begin"]
    assert hint(at.desk) == ON_THE_SETTLED_CARD.keys
    key(at, K.K_RETURN)
    assert at.keeper.actions == []
    with pytest.raises(act.NotPossible):
        replay(Setup(seed=3, plan=Procedure()), [act.ChooseExtent(True)])


def test_the_last_page_says_what_is_still_empty():
    missing = dict(still_empty(beginning(Setup(seed=3))))
    assert missing["Rough readings"] == "25 readings of 25"
    assert missing["Graph"] == "axes; crosses; the line"
    assert list(missing) == ORDER[:-1]
    assert still_empty(FULL) == ()
    book = FULL.book
    blank = {key: words for key, words in book.answers.items() if key != ("Energy", "efficiency")}
    less = replace(FULL, book=replace(book, answers=blank, line=()))
    assert dict(still_empty(less)) == {"Graph": "the line", "Energy": "1 of 7 answers"}


def test_the_last_page_names_the_file_and_opens_its_folder(monkeypatch, tmp_path):
    opened = []
    monkeypatch.setattr(app, "open_folder", lambda folder: opened.append(folder) or "")
    at = sitting(FULL)
    path = tmp_path / "practical 1.rebound.jsonl"
    at.desk = replace(at.desk, kept_in=path)
    key(at, K.K_9, K.KMOD_CTRL)
    assert any(path.name in words for words in said(at))
    assert any(str(tmp_path) in words for words in said(at))
    keys(at, K.K_TAB, K.K_RETURN)
    assert opened == [tmp_path]


def test_where_no_program_opens_folders_the_path_is_said(monkeypatch):
    monkeypatch.setenv("PATH", "")
    assert str(Path("/some/where")) in open_folder(Path("/some/where"))


def test_the_file_beside_the_record_is_tried_again_when_the_folder_is_back(tmp_path):
    folder, away = tmp_path / "stick", tmp_path / "away"
    folder.mkdir()
    record = begin_record(folder / "p.rebound.jsonl", Setup(seed=3))
    at = bench(keeper=Keeper(record))
    at.desk = desk_for(beginning(Setup(seed=3)))
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    folder.rename(away)
    key(at, K.K_n)
    text(at, "20 C")
    key(at, K.K_RETURN)
    text(at, "27 cm")
    key(at, K.K_RETURN)
    settle(at, lambda: at.desk.trouble)
    assert "tried again" in told(at.desk).text
    away.rename(folder)
    settle(at, lambda: not at.desk.trouble)
    assert told(at.desk).text == KEPT_AGAIN
    at.keeper.close()
    assert "27" in readings_path(record.path).read_text(encoding="utf-8")


def settle(at, done):
    """Let waits go on record until something is so; the file is written by a thread."""
    for _ in range(200):
        if done():
            return
        wait(at, 6.0)
        if at.keeper._writing is not None:
            at.keeper._writing.exception()  # until this try is over, however busy the machine
    raise AssertionError("it did not come about")
