"""A disk that is full, slow or not to be written: told at once, and the record stays whole."""

import errno
import os
import tempfile
from contextlib import contextmanager
from pathlib import Path

import pytest

from analysis.refusal import Refused
from sim import actions as act
from sim.record.file import begin_record, continue_record
from sim.record.format import RecordTrouble
from sim.record.replay import read_record
from tests.sim.recorded import ACTS, SETUP, timed, write, write_beside

resource = pytest.importorskip("resource", reason="Windows has no limit of this kind")


@contextmanager
def room_for(size):
    """Files take no more than so many bytes: a real write stops in the middle of a line."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture
def path(tmp_path):
    return tmp_path / "practical.rebound.jsonl"


@pytest.mark.parametrize("spare", [0, 1, 40, 80])
def test_a_line_that_half_fits_is_cut_back_and_written_when_there_is_room(path, spare):
    entries = timed()
    with begin_record(path, SETUP) as file:
        for action, time_s in entries[:10]:
            file.append(action, time_s)
        before = path.read_bytes()
        with room_for(len(before) + spare):
            for action, time_s in entries[10:13]:
                with pytest.raises(RecordTrouble, match=r"cannot be written: the disk .*\.$"):
                    file.append(action, time_s)
                assert path.read_bytes() == before
        assert read_record(path).actions == ACTS[:10]
        file.append(*entries[13])
        assert read_record(path).actions == ACTS[:14]
    record = read_record(path)
    assert record.actions == ACTS[:14]
    assert record.notices == ()


def test_closing_writes_what_waited(path):
    with begin_record(path, SETUP) as file:
        size = path.stat().st_size
        with room_for(size), pytest.raises(RecordTrouble):
            file.append(act.Wait(1.0), 0.0)
    assert read_record(path).actions == (act.Wait(1.0),)


def test_closing_on_a_full_disk_tells_and_lets_the_record_go(path):
    file = begin_record(path, SETUP)
    with room_for(path.stat().st_size):
        with pytest.raises(RecordTrouble):
            file.append(act.Wait(1.0), 0.0)
        with pytest.raises(RecordTrouble):
            file.close()
    again, record = continue_record(path)
    again.close()
    assert record.actions == ()


def test_the_reason_is_in_the_sentence(path, monkeypatch):
    def failing(number):
        def write(*_):
            raise OSError(number, os.strerror(number))

        return write

    with begin_record(path, SETUP) as file:
        for time_s, (number, words) in enumerate(
            (
                (errno.ENOSPC, "the disk is full"),
                (errno.EIO, "the disk reports a fault"),
                (errno.EROFS, "read-only"),
            )
        ):
            with monkeypatch.context() as patch:
                patch.setattr(os, "write", failing(number))
                with pytest.raises(RecordTrouble, match=words):
                    file.append(act.Wait(1.0), float(time_s))
        # A disk that takes the bytes and then fails to keep them is no better.
        with monkeypatch.context() as patch:
            patch.setattr(os, "fsync", failing(errno.EIO))
            with pytest.raises(RecordTrouble, match="fault"):
                file.append(act.StrikeReading(0, "slip"), 3.0)
            assert read_record(path).actions == ()
    assert len(path.read_bytes().splitlines()) == 1 + 4  # closed, it holds all that waited


def test_a_tail_that_could_not_be_cut_back_is_cut_before_the_next_line(path, monkeypatch):
    def refusing(*_):
        raise OSError(errno.EIO, "fault")

    with begin_record(path, SETUP) as file:
        with monkeypatch.context() as patch, room_for(path.stat().st_size + 30):
            patch.setattr(os, "ftruncate", refusing)
            with pytest.raises(RecordTrouble):
                file.append(act.Wait(1.0), 0.0)
        torn = read_record(path)
        assert torn.actions == ()
        assert "was not written to its end" in torn.notices[0]
        file.append(act.Wait(2.0), 1.0)
    record = read_record(path)
    assert record.actions == (act.Wait(1.0), act.Wait(2.0))
    assert record.notices == ()


def test_a_beginning_that_does_not_fit_leaves_no_file(path):
    with room_for(50), pytest.raises(RecordTrouble, match="the disk"):
        begin_record(path, SETUP)
    assert not path.exists()
    begin_record(path, SETUP).close()


@contextmanager
def as_nobody():
    """The superuser may write anywhere, so for a moment be somebody else."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_read_only_folder_is_told_and_can_still_be_read():
    with tempfile.TemporaryDirectory() as folder:
        path = write(Path(folder) / "practical.rebound.jsonl")
        path.with_name(f".{path.name}.lock").unlink()
        # Once as ourselves: what Python imports late may lie where nobody may read.
        write_beside(path, read_record(path).end).unlink()
        Path(folder).chmod(0o555)
        with as_nobody():
            for begun in (begin_record, lambda place, _: continue_record(place)):
                with pytest.raises(
                    RecordTrouble, match=r"written: writing .* not allowed there\.$"
                ):
                    begun(path, SETUP)
            with pytest.raises(RecordTrouble, match="not allowed"):
                begin_record(Path(folder) / "new" / "x.rebound.jsonl", SETUP)
            record = read_record(path)
            with pytest.raises(Refused, match="cannot be written"):
                write_beside(path, record.end)
        Path(folder).chmod(0o755)
        assert record.actions == ACTS
        assert [one.name for one in Path(folder).iterdir()] == [path.name]
