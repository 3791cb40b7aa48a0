"""The offer to go on: practicals begun before are found, shown and chosen by key or pointer."""

import pygame as K
import pytest

from sim import actions as act
from sim.bench.model.after import Wanted
from sim.bench.model.keeping import NEW, offered
from sim.bench.screen.app import Closed, chosen_record, layout_of, work
from sim.bench.screen.lettering import MEASURE
from sim.bench.screen.window import window
from sim.bench.ui.marks import view_box
from sim.bench.ui.typeset import laid_out
from sim.record.file import begin_record, continue_record, unfinished
from sim.record.format import RecordInUse
from sim.record.replay import read_record
from sim.state import Setup


@pytest.fixture
def begun(tmp_path):
    """Two practicals in which something was done."""
    for number in (1, 2):
        path = tmp_path / f"practical {number}.rebound.jsonl"
        with begin_record(path, Setup(seed=number)) as record:
            record.append(act.AddHotWater(0.2), 0.0)
    return tmp_path


@pytest.fixture
def surface():
    with window() as opened:
        K.event.clear()
        yield opened


def press(*codes):
    for code in codes:
        K.event.post(K.Event(K.KEYDOWN, key=code, mod=0, unicode=""))


def test_nothing_is_asked_where_nothing_was_begun(tmp_path):
    assert offered(tmp_path / "nowhere") is None


def test_return_goes_on_with_the_newest_and_the_last_button_begins_anew(surface, begun):
    newest = unfinished(begun)[0].path
    press(K.K_RETURN)
    assert chosen_record(surface, offered(begun)) == newest
    press(K.K_TAB, K.K_TAB, K.K_SPACE)
    assert chosen_record(surface, offered(begun)) is None


def test_a_click_chooses_also_at_200_percent(surface, begun):
    layout = layout_of(surface.get_size(), 2.0)
    scale = layout.type_scale
    view = view_box(layout.page, scale)
    offer = offered(begun)
    box = laid_out(offer.blocks(), MEASURE, view.width, scale).frame("offer.1").box
    x, y = box.centre
    K.event.post(K.Event(K.MOUSEBUTTONDOWN, pos=(x + view.x, y + view.y), button=1))
    assert chosen_record(surface, offered(begun), 2.0) == unfinished(begun)[1].path


def test_closing_the_window_chooses_nothing(surface, begun):
    K.event.post(K.Event(K.QUIT))
    with pytest.raises(Closed):
        chosen_record(surface, offered(begun))


def test_focus_goes_round(begun):
    offer = offered(begun)
    assert offer.keyed("TAB", shift=True)[0].focus == offer.keyed("UP")[0].focus == NEW
    for key in ("TAB", "DOWN", "TAB"):
        offer, pressed = offer.keyed(key)
        assert pressed is None
    assert offer.focus == "offer.0"
    assert offer.keyed("RETURN") == (offer, "offer.0")


def test_a_practical_goes_on_where_it_stopped(surface, begun):
    path = unfinished(begun)[0].path
    press(K.K_h)
    K.event.post(K.Event(K.QUIT))
    assert work(surface, Wanted(begun, record=path)) == ""
    end = read_record(path).end
    assert end.water_kg == pytest.approx(0.25)


def test_two_windows_never_write_to_one_record(surface, begun):
    path = unfinished(begun)[0].path
    other, _ = continue_record(path)
    with other, pytest.raises(RecordInUse, match="is open in another window"):
        work(surface, Wanted(begun, record=path))


def test_a_folder_that_cannot_be_written_is_told_and_the_practical_goes_on(surface, tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("no folder")
    press(K.K_h)
    K.event.post(K.Event(K.QUIT))
    assert work(surface, Wanted(blocked, new=True)) == ""
