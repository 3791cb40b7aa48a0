"""Names of every kind become safe file names, and no name is lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.files import Stage, staged
from analysis.refusal import Refused
from physics.ball import FAST
from sim.classroom.class_key import Handout, new_key, stem_of
from sim.classroom.names import LONGEST_NAME, number_in, read_names
from sim.procedure import Procedure

HANDOUT = Handout("records", FAST, Procedure())
DEVICES = {"con", "nul", "prn", "aux", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}


@given(st.lists(st.text(max_size=300), min_size=1, max_size=20))
def test_file_names_are_safe_and_differ_whatever_the_names(names):
    key = new_key(HANDOUT, tuple(names), 1)
    stems = [stem_of(key, number) for number in range(1, len(names) + 1)]
    assert len({stem.casefold() for stem in stems}) == len(names)
    for number, stem in enumerate(stems, start=1):
        assert number_in(stem) == number
        assert not set(stem) & set('/\\:*?"<>|\0\n\r\t')
        assert stem == stem.strip(" .")
        assert stem.split(".")[0].casefold() not in DEVICES
        assert len(f".{stem}.rebound.jsonl.lock".encode()) < 255
        assert stem.isprintable()


def test_marks_that_turn_text_around_do_not_reach_a_file_name():
    key = new_key(HANDOUT, ("Ada\u202elmth.exe\u200f",), 1)
    assert stem_of(key, 1) == "01 Adalmth exe"


def listed(tmp_path, content, name="names.csv"):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_names(path)


def test_names_stand_under_a_heading_wherever_it_is(tmp_path):
    found = listed(tmp_path, "Club list;;\nyear;name;group\n10;Ada;a\n10;  Bo  Lark ;b\n")
    assert found.names == ("Ada", "Bo Lark")


def test_first_name_and_surname_are_joined(tmp_path):
    assert listed(tmp_path, "surname,forename\nLark,Ada\nMere,Bo\n").names == (
        "Ada Lark",
        "Bo Mere",
    )


def test_without_a_heading_each_line_is_one_name_commas_and_all(tmp_path):
    assert listed(tmp_path, "Lark, Ada\nMere, Bo\n\n").names == ("Lark, Ada", "Mere, Bo")


def test_quoted_commas_blanks_and_doubles_are_kept_apart_and_told(tmp_path):
    found = listed(tmp_path, 'name,form\n"Lark, Ada",10\n,10\n,\n"Lark, Ada",11\n')
    assert found.names == ("Lark, Ada", "no name, row 3", "Lark, Ada")
    assert any("row" in said.lower() and "3" in said for said in found.notices)
    assert any("more than once: 1" in said for said in found.notices)


@pytest.mark.parametrize(
    "below",
    [",9B\n,9B\n,9B\n", "\nTotal: 2,\n", "\nprinted 3 May,\n\n9B,\n", ",\n,2 pupils\n"],
    ids=["a column filled farther", "a count", "a date and a form", "a count beside"],
)
def test_a_list_ends_where_its_names_end(tmp_path, below):
    found = listed(tmp_path, "name,form\nAda Lark,9B\n,9B\nBo Mere,9B\n" + below)
    assert found.names == ("Ada Lark", "no name, row 3", "Bo Mere")
    assert any("below the names" in said for said in found.notices)


def test_a_line_apart_below_a_list_without_a_heading_is_no_name(tmp_path):
    assert listed(tmp_path, "Ada Lark\nBo Mere\n\nTotal: 2\n").names == ("Ada Lark", "Bo Mere")


def test_names_apart_and_names_with_numbers_are_names(tmp_path):
    apart = listed(tmp_path, "name\nAda Lark\n\nBo Mere\n")
    assert apart.names == ("Ada Lark", "Bo Mere")
    numbered = listed(tmp_path, "name\nPupil 1\n\nPupil 2\n")
    assert numbered.names == ("Pupil 1", "Pupil 2")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_of_spreadsheets_are_read(tmp_path, encoding):
    assert listed(tmp_path, "name\nZoë Bär\n".encode(encoding)).names == ("Zoë Bär",)


def test_composed_and_decomposed_letters_are_one_name(tmp_path):
    assert listed(tmp_path, "name\ne\u0301\n\u00e9\n").names == ("é", "é")


def test_a_very_long_name_is_cut_and_told(tmp_path):
    found = listed(tmp_path, f"name\n{'x' * 5000}\n")
    assert found.names == ("x" * LONGEST_NAME,)
    assert any("cut" in said for said in found.notices)


def test_a_workbook_is_read(tmp_path):
    import xlsxwriter

    with xlsxwriter.Workbook(tmp_path / "names.xlsx") as book:
        book.add_worksheet("empty")
        book.add_worksheet("club").write_column(0, 0, ["student", "Ada", "=SUM(A1)", 7])
    assert read_names(tmp_path / "names.xlsx").names[0] == "Ada"
    assert read_names(tmp_path / "names.xlsx").names[-1] == "7"


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("names.csv", b"", "is empty"),
        ("names.csv", b"\n\n ;\n,\n", "is empty|holds no name"),
        ("names.csv", b"name\n\n", "holds no name"),
        ("names.csv", bytes(range(256)) * 4, "is not text"),
        ("names.xlsx", b"PK\x03\x04rubbish", "damaged"),
        ("names.docx", b"PK\x03\x04", "is not a csv, xlsx or ods"),
    ],
)
def test_a_names_file_that_cannot_be_read_is_refused(tmp_path, name, content, says):
    with pytest.raises(Refused, match=says):
        listed(tmp_path, content, name)


def test_no_name_leads_out_of_the_folder(tmp_path):
    stage = Stage(tmp_path)
    for name in ("../x", "/etc/x", "a/../../x", "a\\..\\x", ""):
        with pytest.raises(Refused):
            stage.put(name, b"x")
    assert list(tmp_path.iterdir()) == []


def test_one_file_never_overwrites_another(tmp_path):
    stage = Stage(tmp_path)
    stage.put("a", b"1")
    with pytest.raises(Refused):
        stage.put("a", b"2")


def test_a_folder_appears_whole_or_not_at_all(tmp_path):
    def half():
        with staged(tmp_path / "out", force=False) as stage:
            stage.put("a/b.txt", b"1")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        half()
    assert list(tmp_path.iterdir()) == []
    with staged(tmp_path / "out", force=False) as stage:
        stage.put("a/b.txt", b"1")
    assert (tmp_path / "out" / "a" / "b.txt").read_bytes() == b"1"
    with pytest.raises(Refused, match="--force"), staged(tmp_path / "out", force=False):
        pass
