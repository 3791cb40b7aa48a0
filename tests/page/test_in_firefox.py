"""The page in Firefox, from a file: a short practical by keys, and what becomes of its file.

Needs Firefox and Mozilla's own driver of it, marionette_driver, which talks to Firefox without a
program between them; where one of them or the page's runtime is missing, the test is skipped and
says which.
"""

import importlib
import shutil
import warnings
from importlib.util import find_spec

import pytest

from sim import actions as act
from sim.__main__ import main
from sim.record.replay import read_record
from tests.page.conftest import SLOW_MS
from tests.page.test_whole_practical import written_here

DRIVER, PROGRAM = "marionette_driver", shutil.which("firefox-esr") or shutil.which("firefox")
pytestmark = [
    pytest.mark.skipif(PROGRAM is None, reason="Firefox is not installed"),
    pytest.mark.skipif(find_spec(DRIVER) is None, reason=f"{DRIVER} is not installed"),
]
HANDS = (
    *(act.ChooseExtent, act.AddHotWater, act.AddHotWater, act.AddColdWater, act.PutBallIn),
    *(act.LiftOut, act.Towel, act.Hold, act.SetEyeLevel, act.Release, act.NoteReading),
)
SOAKED_S = 60.0


class Firefox:
    """The page as a pupil at the keyboard has it in Firefox: keys to press, things to wait for."""

    def __init__(self, driver, marionette):
        self.driver, self.marionette = driver, marionette

    def press(self, *keys):
        """Keys by their names, with what is held meanwhile before them, as in Shift+PageDown."""
        names = self.driver.Keys
        named = {
            "Enter": names.ENTER,
            "Escape": names.ESCAPE,
            "PageDown": names.PAGE_DOWN,
            "Shift": names.SHIFT,
            "Space": " ",
        }
        for key in keys:
            together = [named.get(one, one) for one in key.split("+")]
            chain = self.marionette.actions.sequence("key", "keyboard")
            for one in together:
                chain.key_down(one)
            for one in reversed(together):
                chain.key_up(one)
            chain.perform()

    def until(self, wanted, what):
        """What a look at the page finds, once it finds something."""
        wait = self.driver.Wait(self.marionette, timeout=SLOW_MS / 1000.0)
        return wait.until(lambda _: wanted(), message=f"{what} does not come")

    def shown(self, selector):
        """The first thing of this kind that can be seen, once there is one."""
        found = self.driver.By.CSS_SELECTOR, selector
        there = self.marionette.find_elements
        return self.until(lambda: [one for one in there(*found) if one.is_displayed()], selector)[0]


@pytest.fixture
def firefox(tmp_path):
    """Firefox with a profile of its own, which saves into the test's folder without asking.

    What goes wrong in a page it writes into its log; nothing may have, at the end.
    """
    saves = {"browser.download.dir": str(tmp_path), "browser.download.folderList": 2}
    log = tmp_path / "firefox.log"
    with warnings.catch_warnings():
        # The driver imports what is old, and lets sockets lie while it waits for Firefox.
        warnings.simplefilter("ignore")
        driver = importlib.import_module(DRIVER)
        marionette = importlib.import_module(f"{DRIVER}.marionette").Marionette(
            bin=PROGRAM, headless=True, port=0, prefs=saves, gecko_log=str(log), workspace=tmp_path
        )
        marionette.start_session()
    yield Firefox(driver, marionette)
    marionette.quit()
    marionette.cleanup()
    said = log.read_text(encoding="utf-8", errors="replace").splitlines()
    assert [line for line in said if "JavaScript error: file:" in line] == []


def drop_once(firefox):
    """Fill, soak, lift and dry, to the rule, eye, drop, write down; by keys alone."""
    firefox.shown("#new")
    firefox.press("Enter")
    firefox.shown("#work")
    firefox.press("Enter", "h", "h", "c", "b", "s")
    watch = firefox.shown("[data-thing=stopwatch] .digits")
    firefox.until(lambda: seconds(watch.text) >= SOAKED_S, "the end of the soak")
    firefox.press("t", "r", *["Shift+PageDown"] * 9, "Space")
    firefox.shown("#wall[data-falling]")
    firefox.shown("#wall:not([data-falling])")
    firefox.press("n", *"55 C", "Enter", *"31.5 cm", "Enter", "Escape")


def seconds(digits):
    """What the stopwatch shows, 1:05 as 65."""
    minutes, rest = digits.split(":")
    return 60.0 * float(minutes) + float(rest)


def test_a_drop_by_keys_is_the_desktops_and_is_read(firefox, made, tmp_path):
    firefox.marionette.navigate(made.as_uri())
    drop_once(firefox)
    firefox.shown("#save").click()
    saved = firefox.until(
        lambda: [one for one in tmp_path.glob("*.jsonl") if one.stat().st_size], "the saved file"
    )[0]
    record = read_record(saved)
    assert not record.notices
    assert written_here(record, tmp_path / "again.rebound.jsonl") == saved.read_bytes()
    hands = [type(one) for one in record.actions if not isinstance(one, act.Wait)]
    assert hands == list(HANDS)
    assert main(["readings", str(saved)]) == 0
    (readings,) = tmp_path.glob("*.csv")
    heading, reading = readings.read_text(encoding="utf-8-sig").splitlines()
    read = dict(zip(heading.split(","), reading.split(","), strict=True))
    assert read["temperature / °C"] == "55"
    assert read["rebound height / cm"] == "31.5"
    assert float(read["elapsed time / s"]) > SOAKED_S
