"""The page of a whole class: what each place begins with, what stands in it, and collecting it."""

import base64
import gzip
import io
import json
import random
import re
import zipfile

import pytest
import python_calamine

from sim.__main__ import main
from sim.bench.model.pages.first_and_last import BEGIN
from sim.classroom.class_key import read_key, seed_of
from sim.record.format import opening_line
from sim.state import Setup
from tests.page.kept_page import Page
from tests.page.made_runtime import laid_out

NAMES = ("Ada Larkmere", "Bo Fenwick", "Cai O'Dell", "Cai O'Dell", "王小明")
PART = re.compile(r'<script type="text/plain" id="([^"]+)"[^>]*>([^<]*)</script>')


@pytest.fixture
def runtime(tmp_path, monkeypatch):
    return laid_out(tmp_path / "runtime", monkeypatch)


@pytest.fixture
def class_set(tmp_path):
    return made_set(tmp_path)


def made_set(folder, what="--no-sheets"):
    names = folder / "names.csv"
    names.write_text("\n".join(["name", *NAMES]) + "\n", encoding="utf-8")
    out = folder / "set"
    words = ["classset", str(names), "--out", str(out), "--temperatures-c", "20,40", what]
    assert main(words) == 0
    return out


def key_of(class_set):
    return class_set / "teacher only" / "key.json"


def make(runtime, key, out, *options):
    words = ["page", "--runtime", str(runtime), "--class", str(key), "--out", str(out)]
    return main([*words, *options])


def inside(page):
    """The parts in a page, unpacked, by name."""
    return {
        name: gzip.decompress(base64.b64decode(text))
        for name, text in PART.findall(page.read_text("utf-8"))
    }


def beside(folder):
    """The parts beside a page, unpacked, by name."""
    return {one.name[:-3]: gzip.decompress(one.read_bytes()) for one in folder.glob("*.gz")}


def places_of(runtime, class_set, *options):
    page = class_set.parent / "page.html"
    assert make(runtime, key_of(class_set), page, "--force", *options) == 0
    return json.loads(inside(page)["class.json"])


def given_out(class_set):
    return sorted((class_set / "for students").glob("*.rebound.jsonl"))


@pytest.mark.parametrize("options", [(), ("--names",)])
def test_each_place_has_the_opening_line_of_its_file_to_the_byte(runtime, class_set, options):
    places = places_of(runtime, class_set, *options)
    files = given_out(class_set)
    assert [one["line"].encode() for one in places] == [path.read_bytes() for path in files]
    assert [one["number"] for one in places] == ["01", "02", "03", "04", "05"]
    if options:
        assert [one["file"] for one in places] == [path.name for path in files]
        assert [one["name"] for one in places] == list(NAMES)
    else:
        assert [one["file"] for one in places][:2] == ["01.rebound.jsonl", "02.rebound.jsonl"]
        assert "name" not in places[0]


def test_what_its_line_begins_is_what_the_file_begins(runtime, class_set):
    place, file = places_of(runtime, class_set)[1], given_out(class_set)[1]
    page = Page().open(place["line"], place["file"])
    assert page.kept.encode() == file.read_bytes()
    assert page.answer["page"] == "Start"
    assert "20 and 40\xa0°C" in json.dumps(page.answer["blocks"], ensure_ascii=False)


def numbers_in(text):
    return set(re.findall(r"(?<![\d.])\d+\.\d+(?![\d.])", text))


def answers_of(class_set):
    """Every number of the answer key with a decimal place, as it is shown."""
    rows = rows_of(class_set / "teacher only" / "answer key.xlsx", "answers")
    return {f"{one:g}" for row in rows for one in row if isinstance(one, float) and one % 1}


def rows_of(workbook, sheet):
    return python_calamine.CalamineWorkbook.from_path(workbook).get_sheet_by_name(sheet).to_python()


@pytest.mark.parametrize("form", ["file", "folder"])
def test_no_secret_no_answer_and_no_other_seed_stands_in_it(runtime, class_set, form):
    key, out = read_key(key_of(class_set)), class_set.parent / "out"
    options = ["--folder"] if form == "folder" else []
    assert make(runtime, key_of(class_set), out, *options) == 0
    parts = beside(out) if options else inside(out)
    page = (out / "index.html" if options else out).read_bytes()
    with zipfile.ZipFile(io.BytesIO(parts["program.zip"])) as program:
        sources = b"".join(map(program.read, program.namelist()))
    whole = b"\n".join([page, sources, *parts.values()])
    secret = bytes.fromhex(key.secret)
    for told in (key.secret.encode(), secret, base64.b64encode(secret), str(secret).encode()):
        assert told not in whole
    own = [str(seed_of(key, number)) for number in range(1, 6)]
    assert all(seed.encode() in parts["class.json"] for seed in own)
    assert not [n for n in (0, *range(6, 60)) if str(seed_of(key, n)).encode() in whole]
    assert set(re.findall(r"\d{30,}", parts["class.json"].decode())) == set(own)
    answers = answers_of(class_set)
    assert len(answers) > 30
    of_any_bench = numbers_in(opening_line(Setup(seed=3), None).line.decode())
    assert not answers & (numbers_in(parts["class.json"].decode()) - of_any_bench)


def worked_at(place, seed):
    """The page's practical of a place, with a drop and its reading, in frames as they come."""
    moments = random.Random(seed)
    page = Page().open(place["line"], place["file"])
    page.do(press=BEGIN)
    for key in "hhccbtr ":
        page.do(key=key)
        page.wait([moments.uniform(0.015, 0.019) for _ in range(60)])
    page.wait([moments.uniform(0.015, 0.019) for _ in range(60)])
    name = page.do(key="n")["focus"]
    page.do(edit=name, text="30 C")
    page.do(edit=page.do(key="Enter")["focus"], text="29 cm")
    page.do(key="Enter")
    return page.kept


def collected(class_set, folder):
    results = class_set.parent / "results"
    assert (
        main(["collect", str(folder), "--key", str(key_of(class_set)), "--out", str(results)]) == 0
    )
    rows = rows_of(results / "class.xlsx", "for the teacher")
    return [row[4] for row in rows if row[2] == "file"]


@pytest.mark.parametrize("options", [(), ("--names",)])
def test_what_is_saved_from_the_page_is_collected(runtime, class_set, tmp_path, options, capsys):
    folder = tmp_path / "in"
    folder.mkdir()
    for place in places_of(runtime, class_set, *options)[1:4]:
        path = folder / place["file"]
        path.write_text(worked_at(place, int(place["number"])), encoding="utf-8")
    assert collected(class_set, folder) == []
    said = capsys.readouterr().out
    assert "3 of 5 practicals marked." in said
    assert "Nothing to mark: practical 1, 5." in said


def test_of_two_who_took_one_place_the_teacher_is_told(runtime, class_set, tmp_path):
    place, folder = places_of(runtime, class_set)[2], tmp_path / "in"
    one, other = worked_at(place, 1), worked_at(place, 2)
    for within, content in (("Cai", one), ("Bo", other)):
        (folder / within).mkdir(parents=True)
        (folder / within / place["file"]).write_text(content, encoding="utf-8")
    (said,) = collected(class_set, folder)
    assert "other work in it" in said
    assert "two students took one place" in said
    assert "sim mark" in said


def test_an_earlier_copy_of_the_same_work_is_no_second_student(runtime, class_set, tmp_path):
    place, folder = places_of(runtime, class_set)[2], tmp_path / "in"
    folder.mkdir()
    whole = worked_at(place, 1)
    early = "".join(whole.splitlines(keepends=True)[:-3])
    (folder / "03.rebound.jsonl").write_text(whole, encoding="utf-8")
    (folder / "03 (1).rebound.jsonl").write_text(early, encoding="utf-8")
    (said,) = collected(class_set, folder)
    assert "is marked." in said
    assert "took one place" not in said


def test_a_key_that_gives_nobody_a_practical_is_refused_in_one_sentence(runtime, tmp_path, capsys):
    readings_only = key_of(made_set(tmp_path, "--readings-only"))
    nobody, list_of_names = tmp_path / "nobody.json", tmp_path / "names.csv"
    content = json.loads(readings_only.read_text("utf-8"))
    nobody.write_text(json.dumps(content | {"names": [], "kind": "records"}), encoding="utf-8")
    out = tmp_path / "page.html"
    for key, why in (
        (readings_only, "readings only"),
        (nobody, "no key of a class set"),
        (list_of_names, "no key of a class set"),
        (tmp_path / "lost.json", "lost.json"),
    ):
        capsys.readouterr()
        assert make(runtime, key, out) == 1
        said = capsys.readouterr().err
        assert why in said
        assert "Traceback" not in said
        assert len(said.strip().splitlines()) == 1
    assert not out.exists()


def test_a_folder_made_anew_for_everybody_holds_nothing_of_the_class(runtime, class_set, tmp_path):
    out = tmp_path / "folder"
    assert make(runtime, key_of(class_set), out, "--folder", "--names") == 0
    assert "Larkmere" in beside(out)["class.json"].decode()
    (out / "notes of the school.txt").write_text("ours", encoding="utf-8")
    words = ["page", "--runtime", str(runtime), "--folder", "--force", "--out", str(out)]
    assert main(words) == 0
    assert "class.json" not in beside(out)
    assert "class.json" not in (out / "index.html").read_text("utf-8").split("<script>")[0]
    assert (out / "notes of the school.txt").read_text("utf-8") == "ours"
    assert make(runtime, key_of(class_set), out, "--folder", "--force") == 0
    assert "class.json" in beside(out)


def test_names_without_a_class_are_refused(runtime, tmp_path, capsys):
    out = tmp_path / "page.html"
    assert main(["page", "--runtime", str(runtime), "--names", "--out", str(out)]) == 1
    assert "--class" in capsys.readouterr().err


def test_it_is_said_that_the_page_is_for_the_class_alone(runtime, class_set, capsys):
    places_of(runtime, class_set)
    assert "to the class alone" in capsys.readouterr().out


def test_a_set_of_another_model_is_said_to_be_one(runtime, class_set, capsys):
    key = key_of(class_set)
    key.write_text(key.read_text("utf-8").replace('"physics": ', '"physics": 1'), "utf-8")
    places_of(runtime, class_set)
    assert "another version of the program" in capsys.readouterr().out
