"""The floors of the bench: a second screen needs the model and the widgets, and nothing else."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

WITHOUT_A_WINDOW = """
import sys
from sim.bench.model.after import after, desk_for, passed_by
from sim.bench.model.desk import BENCH
from sim.bench.model.keys import Held, help_texts, intent_of, writing
from sim.bench.model.after import PAGES
from sim.bench.model.seeing import ball_seen, lens_seen
from sim.bench.model.hints import told
from sim.bench.ui.blocks import focus_order
from sim.bench.ui.fields import Typed
from sim.bench.model.intents import EditText
from sim.state import Setup, beginning

class Screen:
    def __init__(self):
        self.desk, self.said = desk_for(beginning(Setup(seed=3))), []
    def do(self, intent):
        self.desk = after(self.desk, intent).desk
        self.said.append(told(self.desk).text)
    def key(self, *keys):
        for key in keys:
            self.do(intent_of(key, Held(), self.desk))
            for _ in range(120):
                self.desk = passed_by(self.desk, 1 / 60).desk
    def type(self, words):
        assert writing(self.desk)
        self.do(EditText(Typed(words)))

screen = Screen()
screen.key("h", "c", "c", "b", "t", "r", "SPACE")
assert ball_seen(screen.desk) and lens_seen(screen.desk, None).heading
screen.key("TAB")
screen.type("30 C")
screen.key("RETURN")
screen.type("29 cm")
screen.key("RETURN")
assert len(screen.desk.state.rough) == 1
assert any("(N)" in words for words in screen.said)
for number, name in enumerate(PAGES, start=1):
    screen.do(intent_of(str(number), Held(control=True), screen.desk))
    assert screen.desk.page == name
    names = focus_order(PAGES[name].blocks(screen.desk))
    passed = []
    for _ in names:
        screen.key("TAB")
        passed.append(screen.desk.focus)
    assert tuple(passed) == names
    screen.key("TAB")
    assert screen.desk.focus == BENCH
assert help_texts()
loaded = [name for name in sys.modules if name.startswith(("pygame", "sim.bench.screen"))]
assert not loaded, loaded
"""


def test_a_reading_is_taken_and_every_page_walked_without_a_window():
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_A_WINDOW],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
