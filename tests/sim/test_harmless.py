"""File names that would steer a terminal or run in a page; and who may read what is written."""

import os
import stat
import sys

import pytest

from analysis.__main__ import main as analyse
from sim.__main__ import main
from tests.sim.outputs import page_is_harmless, text_is_harmless

ESCAPES = "\x1b[2J\x9b1A\u202e"
SCRIPT = "<script>alert(1)</script>"
TABLE = "temperature / °C,repeat 1 / cm,repeat 2 / cm\n20,23,24\n30,28,29\n40,33,34\n"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such file names")


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("name", [f"{ESCAPES}a", "two\nlines", f"a{SCRIPT[:8]}", "half \udcff"])
def test_a_file_name_has_no_power_over_terminal_page_or_folder(name, here, capsys):
    (here / f"{name}.csv").write_text(TABLE, encoding="utf-8")
    (here / f"b{name}.ods").write_bytes(b"no workbook")
    assert analyse([f"{name}.csv", f"b{name}.ods", "--out", "out"]) == 1
    said = capsys.readouterr()
    text_is_harmless(said.out, lines=100)
    text_is_harmless(said.err)
    (report,) = (here / "out").glob("*-analysis/report.html")
    text_is_harmless(str(report))
    page_is_harmless(report.read_bytes())
    assert analyse(["mark", f"{name}.csv"]) == 0
    text_is_harmless(capsys.readouterr().out, lines=100)
    (page,) = here.glob("*-feedback.html")
    text_is_harmless(page.name)
    page_is_harmless(page.read_bytes())


@pytest.mark.skipif(os.name != "posix", reason="the folder's rights are the system's own there")
@pytest.mark.parametrize("more", [[], ["--readings-only"]])
def test_what_is_for_the_teacher_only_is_the_owners_alone_whatever_the_umask(here, more):
    (here / "names.csv").write_text("name\nAda\nBen\n")
    (here / "class set" / "teacher only").mkdir(parents=True)
    (here / "class set" / "teacher only" / "old.txt").write_text("x")
    before = os.umask(0)
    try:
        assert main(["classset", "names.csv", "--out", "new", *more]) == 0
        assert main(["classset", "names.csv", "--force", *more]) == 0
    finally:
        os.umask(before)
    for folder in (here / "new" / "teacher only", here / "class set" / "teacher only"):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        for name in ("key.json", *(path.name for path in folder.glob("answer key.*"))):
            assert stat.S_IMODE((folder / name).stat().st_mode) == 0o600
