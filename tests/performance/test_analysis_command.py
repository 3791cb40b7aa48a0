"""`python -m analysis` against a bare script with the same number of artists, as a ratio.

Each run is a fresh process, the two take turns, and the lowest processor time of each counts, so
that other work on the machine weighs as little as may be.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest
import xlsxwriter

from analysis.readings.readings import read_readings
from analysis.report.results_graph import draw
from analysis.report.summary import summarise

MOST = 1.3
ROUNDS = 7

READINGS = """\
temperature / °C,rebound height 1 / cm,rebound height 2 / cm,rebound height 3 / cm
20,24,23,25
30,31,29,31
40,36,37,36
50,42,43,41
60,48,49,47
"""

# What a script needs to do the same by hand: read, average, plot, save. `lines` and `texts` are
# set to the artists that our own graph has.
BARE = """\
import matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt
import pandas as pd

frame = pd.read_csv("club.csv")
x = frame.iloc[:, 0]
y = frame.iloc[:, 1:].mean(axis=1)
figure, axes = plt.subplots(figsize=({width}, {height}))
for n in range({lines}):
    axes.plot(x, y + n, label=f"line {{n}}")
for n in range({texts}):
    figure.text(0.1, n / {texts}, f"text {{n}}")
axes.set_xlabel("temperature / °C")
axes.set_ylabel("rebound height / cm")
figure.legend(ncols=2)
figure.savefig("bare.png", dpi=150)
"""


def processor_s(command: list[str], folder: Path) -> float:
    """Processor time of one run, with the children's own clock.

    Compiled modules are kept, as they are on any machine that runs the command a second time.
    """
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(folder / "compiled")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    before = os.times()
    subprocess.run(command, cwd=folder, check=True, capture_output=True, env=environment)
    after = os.times()
    return (after.children_user - before.children_user) + (
        after.children_system - before.children_system
    )


@pytest.mark.performance
@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no processor time of children")
@pytest.mark.parametrize("name", ["club.csv", "club.xlsx"])
def test_the_command_takes_at_most_1_3_times_a_bare_script(name, tmp_path, capsys):
    (tmp_path / "club.csv").write_text(READINGS, encoding="utf-8")
    with xlsxwriter.Workbook(tmp_path / "club.xlsx", {"strings_to_numbers": True}) as book:
        page = book.add_worksheet()
        for row, line in enumerate(READINGS.splitlines()):
            page.write_row(row, 0, line.split(","))
    figure = draw(summarise(read_readings(tmp_path / "club.csv")))
    axes = figure.axes[0]
    width, height = figure.get_size_inches()
    lines = len(axes.lines) + len(axes.collections) + len(axes.patches)
    # The bare script's axes and key bring their own texts; our key's signs are figure.artists.
    texts = len(figure.texts) - len(figure.artists)
    script = BARE.format(width=width, height=height, lines=lines, texts=texts)
    (tmp_path / "bare.py").write_text(script, encoding="utf-8")
    bare = [sys.executable, "bare.py"]
    ours = [sys.executable, "-m", "analysis", name, "--force"]
    times = [(processor_s(bare, tmp_path), processor_s(ours, tmp_path)) for _ in range(ROUNDS)]
    least_bare, least_ours = (min(column) for column in zip(*times[1:], strict=True))
    ratio = least_ours / least_bare
    with capsys.disabled():
        print(
            f"\npython -m analysis {name}: {least_ours:.2f} s against {least_bare:.2f} s bare, "
            f"ratio {ratio:.2f} (at most {MOST})"
        )
    assert ratio <= MOST
