"""Where records live and which of them are offered to go on with."""

import os
from datetime import datetime

import pytest

from sim.commands.bench import practicals_folder
from sim.record.file import begin_record, fresh_path, unfinished
from sim.record.format import RecordTrouble
from tests.sim.recorded import SETUP, write


def test_records_are_listed_newest_first_and_what_is_none_is_not(tmp_path):
    for age, name in enumerate(("new", "middle", "old")):
        path = write(tmp_path / f"{name}.rebound.jsonl", label=name)
        os.utime(path, (1e9 - 100 * age, 1e9 - 100 * age))
    begin_record(tmp_path / "untouched.rebound.jsonl", SETUP).close()
    (tmp_path / "empty.rebound.jsonl").touch()
    (tmp_path / "junk.rebound.jsonl").write_bytes(b"\0" * 200_000)
    (tmp_path / "newer.rebound.jsonl").write_bytes(b'{"format":99}\n{}\n')
    (tmp_path / "folder.rebound.jsonl").mkdir()
    (tmp_path / "notes.txt").touch()
    listed = unfinished(tmp_path)
    assert [begun.path.stem for begun in listed] == ["new.rebound", "middle.rebound", "old.rebound"]
    assert [begun.label for begun in listed] == ["new", "middle", "old"]
    assert listed[0].changed == datetime.fromtimestamp(1e9)
    assert listed[0].size_bytes == listed[0].path.stat().st_size


def test_a_folder_that_is_not_there_holds_nothing(tmp_path):
    assert unfinished(tmp_path / "none") == ()


def test_a_name_is_never_given_twice(tmp_path):
    begun = datetime(2026, 11, 25, 9, 5)
    names = []
    for _ in range(3):
        path = fresh_path(tmp_path, begun)
        begin_record(path, SETUP).close()
        names.append(path.name)
    assert names == [
        "practical 2026-11-25 09.05.rebound.jsonl",
        "practical 2026-11-25 09.05 (2).rebound.jsonl",
        "practical 2026-11-25 09.05 (3).rebound.jsonl",
    ]


def test_records_live_in_the_users_own_data_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    folder = practicals_folder()
    assert folder.name == "practicals"
    assert not folder.exists()
    begin_record(fresh_path(folder, datetime(2026, 1, 2)), SETUP).close()
    assert folder.is_dir()


def test_a_name_where_a_folder_cannot_be_is_told(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(RecordTrouble, match="cannot be written"):
        begin_record(tmp_path / "file" / "x.rebound.jsonl", SETUP)
