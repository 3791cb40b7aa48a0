"""Text from outside that would steer a terminal, break a line, run in a page or be a formula."""

import os
import stat
import sys
from html.parser import HTMLParser

import pytest
import python_calamine

from analysis.__main__ import main as analyse
from physics.ball import FAST
from sim.__main__ import main
from sim.classroom.class_key import Handout, key_bytes, new_key
from sim.state import Procedure

ESCAPES = "\x1b[2J\x9b1A\u202e"
SCRIPT = "<script>alert(1)</script>"
TABLE = "temperature / °C,repeat 1 / cm,repeat 2 / cm\n20,23,24\n30,28,29\n40,33,34\n"
STEERING = "\x1b\x9b\u202e\x07\r\x85\u2028"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such file names")


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


class Tags(HTMLParser):
    """The tags of a page, as a browser meets them."""

    def __init__(self, page):
        super().__init__()
        self.met = []
        self.feed(page)

    def handle_starttag(self, tag, _attributes):
        self.met.append(tag)


def is_harmless(text):
    assert not set(text) & set(STEERING)
    assert not any(0xD800 <= ord(letter) < 0xE000 for letter in text)


def page_is_harmless(path):
    page = path.read_bytes().decode()
    is_harmless(page)
    assert "script" not in Tags(page).met


@pytest.mark.parametrize("name", [f"{ESCAPES}a", "two\nlines", f"a{SCRIPT[:8]}", "half \udcff"])
def test_a_file_name_has_no_power_over_terminal_page_or_folder(name, here, capsys):
    (here / f"{name}.csv").write_text(TABLE, encoding="utf-8")
    (here / f"b{name}.ods").write_bytes(b"no workbook")
    assert analyse([f"{name}.csv", f"b{name}.ods", "--out", "out"]) == 1
    said = capsys.readouterr()
    is_harmless(said.out + said.err)
    assert said.err.count("\n") == 1
    (report,) = (here / "out").glob("*-analysis/report.html")
    is_harmless(str(report))
    page_is_harmless(report)
    assert analyse(["mark", f"{name}.csv"]) == 0
    is_harmless(capsys.readouterr().out)
    (page,) = here.glob("*-feedback.html")
    is_harmless(page.name)
    page_is_harmless(page)


def test_hand_ins_and_names_have_no_power_over_what_a_teacher_opens(here, capsys):
    names = ("=HYPERLINK(1)", f"Ada {SCRIPT}", f"Ben{ESCAPES}", "Cay\nLark")
    key = new_key(Handout("records", FAST, Procedure()), names, 1)
    (here / "key.json").write_bytes(key_bytes(key))
    (here / "in").mkdir()
    for number in range(1, 5):
        (here / "in" / f"{number:02}{ESCAPES}\n.csv").write_text(TABLE, encoding="utf-8")
    (here / "in" / f"{SCRIPT[:8]}\udcff{ESCAPES}.csv").write_bytes(b"\0")
    (here / "in" / f"02 =1+1{ESCAPES}.ods").write_bytes(b"no workbook")
    assert main(["collect", "in", "--key", "key.json"]) == 0
    said = capsys.readouterr().out
    is_harmless(said)
    assert "Practical 2 (Ada <script>alert(1)</script>): Typed in from paper" in said
    out = here / "class results"
    for path in out.rglob("*"):
        is_harmless(path.name)
        if path.suffix == ".html":
            page_is_harmless(path)
    book = python_calamine.load_workbook(out / "class.xlsx")
    for sheet in book.sheet_names:
        for row in book.get_sheet_by_name(sheet).to_python():
            for cell in row:
                is_harmless(str(cell))
                assert str(cell)[:1] not in {"=", "+", "@"}


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
