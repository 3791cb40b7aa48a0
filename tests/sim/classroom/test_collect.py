"""Whatever lies in the folder, each file is named with its reason and the rest goes on."""

import csv
import os
import time
from dataclasses import replace

import pytest

from analysis.files import staged
from analysis.marking.work import Verdict
from analysis.refusal import Refused
from physics import MODEL_VERSION
from sim import actions as act
from sim.classroom.class_key import (
    empty_record,
    handed_in,
    record_name,
    setup_for,
    stem_of,
    student_heights_m,
)
from sim.classroom.class_work import CHECK, COPY, FILE, NOT_IN
from sim.classroom.corrections import read_corrections
from sim.classroom.examine import Examiner
from sim.commands.collect import class_workbook, collected, put_results
from sim.record.readings_file import write_readings
from tests.analysis.workbook_seeds import SEEDS
from tests.sim import recorded
from tests.sim.classroom.pupils import (
    Practical,
    bench,
    end_of,
    noting,
    record_bytes,
    with_book,
)

NAMES = ("Ada", "Bo", "=cmd", "Dee")


@pytest.fixture(scope="session")
def small(make_key):
    return make_key(11, NAMES)


@pytest.fixture(scope="session")
def contents(small):
    """The records of a class of four in which all is well."""
    return {n: record_bytes(with_book(bench(small, n))) for n in range(1, 5)}


@pytest.fixture
def folder(small, contents, tmp_path):
    path = tmp_path / "in"
    path.mkdir()
    for number, content in contents.items():
        (path / record_name(small, number)).write_bytes(content)
    return path


def work_of(small, folder, **options):
    return collected(Examiner(small), handed_in(folder), **options)


def said(work, what):
    return [(one.student, one.why) for one in work.to_see if one.what == what]


def test_a_class_in_which_all_is_well_gives_nothing_to_look_at(small, folder):
    work = work_of(small, folder)
    assert [one.student for one in work.students] == [1, 2, 3, 4]
    assert work.to_see == ()
    assert work.copies == ()


JUNK = {
    "05 empty.rebound.jsonl": b"",
    "holiday.jpg": b"\xff\xd8\xff\xe0 no table",
    "notes.txt": b"hello",
    "02 macros.xlsm": b"PK\x03\x04 macro",
    "03 torn.xlsx": b"PK\x03\x04 torn",
    "newer.rebound.jsonl": b'{"format":99,"program":"9.9"}\n',
    "damaged.rebound.jsonl": b'{"format":1,"seed":"7"}\n',
    "binary.csv": bytes(range(256)),
    "06 nobody.csv": b"temperature / C,h\n1,2\n",
    "LICENSE": b"all rights",
    **{f"07 {name}": content for name, (content, _) in SEEDS.items()},
}


def test_a_folder_of_mixed_junk_stops_nothing_and_each_file_is_named(small, folder):
    for name, content in JUNK.items():
        (folder / name).write_bytes(content)
    (folder / "01 link.csv").symlink_to("/etc/passwd")
    os.mkfifo(folder / "pipe.rebound.jsonl")
    (folder / ".DS_Store").write_bytes(b"x")
    work = work_of(small, folder)
    assert len(work.students) == 4
    reasons = dict(work.files)
    for name in (*JUNK, "01 link.csv", "pipe.rebound.jsonl"):
        assert name in reasons[name], name
        assert reasons[name].endswith(".")
    assert "newer" in reasons["newer.rebound.jsonl"]
    assert "empty" in reasons["05 empty.rebound.jsonl"]
    assert "macros" in reasons["02 macros.xlsm"]
    assert "link" in reasons["01 link.csv"]
    assert ".DS_Store" not in reasons


def test_a_file_of_200_megabytes_is_refused_soon_and_not_read_whole(small, folder):
    for name in ("huge.rebound.jsonl", "04 huge.csv"):
        with (folder / name).open("wb") as file:
            file.write(b"no record")
            file.truncate(200 * 2**20)
    begun = time.perf_counter()
    reasons = dict(work_of(small, folder).files)
    assert time.perf_counter() - begun < 20.0
    assert "larger than 16 MiB" in reasons["huge.rebound.jsonl"]
    assert "larger than 32 MB" in reasons["04 huge.csv"]


def test_a_legal_but_absurd_record_is_bounded_in_time(small, folder):
    waits = [(act.Wait(1.0 + n % 97 / 1000.0), 0.0) for n in range(30_000)]
    (folder / record_name(small, 1)).write_bytes(recorded.content(waits, setup_for(small, 1)))
    begun = time.perf_counter()
    work = work_of(small, folder)
    assert time.perf_counter() - begun < 20.0
    assert len(work.students) == 4
    told = " ".join(why for student, why in said(work, CHECK) if student == 1)
    assert "a record holds 20,000 acts at most" in told
    assert "times" in told  # a million waits of a second do not all begin at nought


def test_a_damaged_record_is_marked_up_to_the_damage_and_told(small, folder, contents):
    lines = contents[2].split(b"\n")
    lines[150] = lines[150].replace(b"e", b"f", 1)
    (folder / record_name(small, 2)).write_bytes(b"\n".join(lines))
    work = work_of(small, folder)
    assert len(work.students) == 4
    ((student, why),) = said(work, CHECK)
    assert student == 2
    assert "Line 151" in why


def test_readings_beside_a_record_that_are_not_its_own_are_told(small, folder):
    path = folder / f"{stem_of(small, 3)}.rebound.csv"
    end = end_of(bench(small, 3))
    write_readings(end, path, force=False)
    assert said(work_of(small, folder), CHECK) == []
    path.write_text(path.read_text(encoding="utf-8-sig").replace(",2", ",3"), encoding="utf-8")
    ((student, why),) = said(work_of(small, folder), CHECK)
    assert student == 3
    assert "other readings" in why


def test_the_readings_file_of_a_pupil_who_struck_out_every_reading_is_no_doubt(small, folder):
    practical = bench(small, 3)
    first = next(n for n, a in enumerate(practical.actions) if isinstance(a, act.NoteReading))
    acts = (*practical.actions[: first + 1], act.StrikeReading(0, "taken back by its writer"))
    begun = Practical(practical.setup, practical.label, acts)
    (folder / record_name(small, 3)).write_bytes(record_bytes(begun))
    path = folder / f"{stem_of(small, 3)}.rebound.csv"
    write_readings(end_of(begun), path, force=False)
    assert not any("other readings" in why for _, why in said(work_of(small, folder), CHECK))
    path.write_text(path.read_text(encoding="utf-8-sig") + "no,20,1,15,100,60\n", encoding="utf-8")
    assert any("other readings" in why for _, why in said(work_of(small, folder), CHECK))


def test_readings_that_no_drop_gave_and_no_reader_called_are_told(small, folder):
    practical = bench(small, 1)
    acts = [
        replace_height(a, a.height_m + 0.3) if isinstance(a, act.NoteReading) else a
        for a in practical.actions
    ]
    (folder / record_name(small, 1)).write_bytes(
        record_bytes(Practical(practical.setup, practical.label, tuple(acts)))
    )
    why = " ".join(text for _, text in said(work_of(small, folder), CHECK))
    assert "25 readings are not what the reading aid called out" in why
    assert "25 readings are more than 15 cm from where the ball truly rose" in why


@pytest.mark.parametrize("number", [1e300, -1e300, 1e18, 5e-324])
def test_readings_that_no_rule_has_are_told_and_stop_nothing(small, folder, number):
    practical = bench(small, 1)
    acts = [
        act.NoteReading(number, number) if isinstance(one, act.NoteReading) and at % 3 else one
        for at, one in enumerate(practical.actions)
    ]
    (folder / record_name(small, 1)).write_bytes(
        record_bytes(Practical(practical.setup, practical.label, tuple(acts)))
    )
    work = work_of(small, folder)
    assert [one.student for one in work.students] == [1, 2, 3, 4]
    told = " ".join(why for student, why in said(work, CHECK) if student == 1)
    assert "more than 15 cm from where the ball truly rose" in told
    assert len(told) < 900


def replace_height(note, height_m):
    return act.NoteReading(note.temperature_k, height_m, note.aided, note.decimal_places)


def test_a_bench_that_was_altered_is_told(small, folder):
    setup = replace(setup_for(small, 1), hand_sd_m=0.0)
    practical = replace(bench(small, 1), setup=setup, end=None)
    acts = tuple(a for a in practical.actions if not isinstance(a, act.NoteReading))
    (folder / record_name(small, 1)).write_bytes(record_bytes(replace(practical, actions=acts)))
    assert any("altered" in why for _, why in said(work_of(small, folder), CHECK))


def test_a_record_that_claims_another_model_than_its_set_was_given_out_with_is_told(
    small, folder, monkeypatch
):
    monkeypatch.setattr("sim.record.format.MODEL_VERSION", MODEL_VERSION - 1)
    content = record_bytes(bench(small, 1))
    monkeypatch.undo()
    (folder / record_name(small, 1)).write_bytes(content)
    assert any(
        "another version" in w and "altered" in w for _, w in said(work_of(small, folder), CHECK)
    )


def test_a_new_practical_begun_by_mistake_is_marked_and_told_without_a_word_of_copying(
    small, folder
):
    own = bench(small, 2)
    other = replace(own, setup=replace(own.setup, seed=12345), end=None)
    acts = tuple(a for a in other.actions if not isinstance(a, act.NoteReading))
    (folder / record_name(small, 2)).write_bytes(record_bytes(replace(other, actions=acts)))
    work = work_of(small, folder)
    assert any("seed is nobody's" in why for _, why in said(work, CHECK))
    assert said(work, COPY) == []
    assert len(work.students) == 4


def test_a_file_named_by_the_student_is_known_by_its_seed(small, folder):
    (folder / record_name(small, 2)).rename(folder / "my practical (2).jsonl")
    (folder / record_name(small, 3)).rename(folder / "2 final.rebound.jsonl")
    work = work_of(small, folder)
    assert len(work.students) == 4
    assert work.to_see == ()


def test_a_file_handed_in_twice_counts_once_with_the_most_done(small, folder, contents):
    early = b"".join(contents[4].splitlines(keepends=True)[:60])
    (folder / f"{stem_of(small, 4)} (1).rebound.jsonl").write_bytes(early)
    work = work_of(small, folder)
    assert next(s for s in work.students if s.student == 4).examined.acts > 100
    ((student, why),) = said(work, FILE)
    assert (student, "is marked" in why) == (4, True)
    assert work.copies == ()


def test_acts_copied_into_a_record_with_an_own_seed_are_found(small, folder):
    source = with_book(bench(small, 1))
    heights_m = [line.height_m for line in end_of(source).rough]
    forged = noting(replace(source, setup=setup_for(small, 4), label="Dee"), heights_m)
    (folder / record_name(small, 4)).write_bytes(record_bytes(forged))
    (pair,) = work_of(small, folder).copies
    assert (pair.first, pair.second) == (1, 4)
    assert "to the last decimal" in pair.why
    assert "25 of 25 readings" in pair.why


def test_a_practical_in_which_nothing_was_done_is_told(small, folder):
    path = folder / record_name(small, 3)
    path.write_bytes(empty_record(small, 3))
    work = work_of(small, folder)
    assert said(work, CHECK) == [(3, "Nothing was done in it: it is as it was handed out.")]
    assert next(s for s in work.students if s.student == 3).feedback.earned == 0


def test_who_hands_in_nothing_is_named(small, folder):
    (folder / record_name(small, 3)).unlink()
    assert said(work_of(small, folder), NOT_IN) == [(3, "")]


def test_a_file_deep_in_the_folder_of_a_platform_is_found(small, folder):
    deep = folder / "Bo_1234_file"
    deep.mkdir()
    name = record_name(small, 2)
    (folder / name).rename(deep / f"Bo_1234_{name}")
    assert len(work_of(small, folder).students) == 4


def test_a_folder_that_is_none_is_refused(tmp_path):
    with pytest.raises(Refused, match="no folder"):
        handed_in(tmp_path / "nowhere")


def paper_table(small, number, spoil=0):
    heights_cm = student_heights_m(small, number) * 100
    heads = ["temperature / °C", *(f"rebound height {n} / cm" for n in range(1, 6))]
    rows = [
        [20 + 10 * row, *(round(h) for h in heights), round(sum(heights) / 5)]
        for row, heights in enumerate(heights_cm)
    ]
    rows[2][2] += spoil
    return [[*heads, "mean rebound height / cm"], *rows]


@pytest.mark.parametrize(("spoil", "verdict"), [(0, Verdict.RIGHT), (9, Verdict.WRONG)])
def test_a_table_from_paper_is_marked_against_the_readings_of_that_sheet(
    small, folder, spoil, verdict
):
    (folder / record_name(small, 2)).unlink()
    with (folder / f"{stem_of(small, 2)}.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(paper_table(small, 2, spoil))
    work = work_of(small, folder)
    bo = next(one for one in work.students if one.student == 2)
    verdicts = {r.criterion: r.verdict for r in bo.feedback.remarks}
    assert verdicts["table.readings"] is verdict
    assert {r.page for r in bo.feedback.remarks} == {"Results table"}
    assert any("paper" in why for _, why in said(work, CHECK))


def test_columns_that_are_worked_out_or_timed_are_no_readings_on_paper_or_bench(small, folder):
    def more(work):
        heads = {(0, 8): "elapsed time / s", (0, 9): "half-range / cm", (0, 10): "reheated"}
        rows = {(row, c): text for row in range(1, 6) for c, text in ((8, "214.25"), (10, "no"))}
        return replace(work, cells={**work.cells, **heads, **rows, (1, 9): "1.5"})

    (folder / record_name(small, 1)).write_bytes(record_bytes(with_book(bench(small, 1), more)))
    (folder / record_name(small, 2)).unlink()
    heads, *rows = paper_table(small, 2)
    rows = [[*heads, "elapsed time / s", "half-range / cm"], *([*row, 214.25, 1] for row in rows)]
    with (folder / f"{stem_of(small, 2)}.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    for one in work_of(small, folder).students:
        on_table = [r.criterion for r in one.feedback.remarks if r.page == "Results table"]
        wrong = {r.criterion for r in one.feedback.remarks if not r.earned} & set(on_table)
        assert on_table
        assert not wrong - {"table.mean-places"}, one.student


def test_a_workbook_with_links_to_other_files_is_marked_by_the_values_it_keeps(small, folder):
    import xlsxwriter

    (folder / record_name(small, 2)).unlink()
    head, *rows = paper_table(small, 2)
    with xlsxwriter.Workbook(folder / f"{stem_of(small, 2)}.xlsx") as book:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, head)
        for number, row in enumerate(rows, start=1):
            sheet.write_row(number, 0, row)
        sheet.write_formula(3, 2, "='[elsewhere.xlsx]Sheet1'!A1", None, rows[2][2])
        sheet.write_url(9, 0, "external:elsewhere.xlsx")
    bo = next(one for one in work_of(small, folder).students if one.student == 2)
    verdicts = {r.criterion: r.verdict for r in bo.feedback.remarks}
    assert verdicts["table.readings"] is Verdict.RIGHT


def test_results_inside_the_folder_are_not_taken_for_handed_in(small, folder):
    out = folder / "results"
    with staged(out, force=False) as stage:
        put_results(stage, small, work_of(small, folder))
    files = [found.name for found in handed_in(folder, out)]
    assert len(files) == 4
    assert len(handed_in(folder)) == 4 + 4 + 3


def test_the_teachers_corrections_hold_at_every_collecting(small, folder, tmp_path):
    table = tmp_path / "corrections.csv"
    table.write_text(
        "student,criterion,verdict,marks,reason\n"
        "Bo,table.mean,not yet,,rounded wrongly\n"
        "3,table.rows,,0,\n"
        "1,table.nothing,right,,\n"
        "9,table.mean,right,,\n"
        "Nobody,table.mean,right,,\n"
        "1,table.mean,maybe,,\n"
        "1,table.rows,,7,\n",
        encoding="utf-8",
    )
    corrections = read_corrections(table, NAMES)
    before, work = work_of(small, folder), work_of(small, folder, corrections=corrections)
    marks = [[s.feedback.earned for s in one.students] for one in (before, work)]
    assert [a - b for a, b in zip(*marks, strict=True)] == [0, 1, 1, 0]
    bo = next(s for s in work.students if s.student == 2)
    remark = next(r for r in bo.feedback.remarks if r.criterion == "table.mean")
    assert remark.nudge == "Judged by your teacher: rounded wrongly"
    told = " ".join(why for _, why in said(work, "correction"))
    for row in (4, 5, 6, 7, 8):
        assert f"Row {row} " in told, row


def test_collecting_again_keeps_the_file_of_corrections(small, folder, tmp_path):
    out = tmp_path / "out"
    keep = frozenset({"corrections.csv"})
    work = work_of(small, folder)
    with staged(out, force=False, keep=keep) as stage:
        put_results(stage, small, work)
    (out / "corrections.csv").write_text("mine", encoding="utf-8")
    with staged(out, force=True, keep=keep) as stage:
        put_results(stage, small, work)
    assert (out / "corrections.csv").read_text(encoding="utf-8") == "mine"


def test_the_workbook_holds_marks_readings_and_no_formula(small, folder, tmp_path):
    import python_calamine

    work = work_of(small, folder)
    path = tmp_path / "class.xlsx"
    path.write_bytes(class_workbook(work))
    book = python_calamine.load_workbook(path)
    assert book.sheet_names == [
        "marks",
        "to judge",
        "for the teacher",
        "readings",
        "criteria",
        "files",
    ]
    marks = [row for row in book.get_sheet_by_name("marks").to_python() if row[0] in (1, 2, 3, 4)]
    assert [row[1] for row in marks] == ["Ada", "Bo", "'=cmd", "Dee"]
    for row, student in zip(marks, work.students, strict=True):
        assert row[2] == student.feedback.earned
        assert sum(cell for cell in row[5:] if cell != "") == student.feedback.earned
    assert len(book.get_sheet_by_name("readings").to_python()) == 1 + 4 * 25


def test_the_pooled_readings_are_read_by_the_analysis(small, folder, tmp_path):
    from analysis.readings.readings import read_readings

    path = tmp_path / "class.xlsx"
    path.write_bytes(class_workbook(work_of(small, folder)))
    assert len(read_readings(path).frame) == 100
