"""Damage to a record: every byte cut and every byte flipped, and files that are none."""

import os
from dataclasses import replace

import msgspec
import numpy as np
import pytest

import sim.record.replay
from sim import actions as act
from sim.practical import apply
from sim.procedure import Procedure, kept_plan
from sim.record.file import begin_record, continue_record
from sim.record.format import (
    BEGINNING,
    FORMAT,
    LONGEST_LINE_BYTES,
    MOST_ACTS,
    MOST_BYTES,
    RecordRefused,
    RecordTrouble,
    opening_line,
    opening_of,
)
from sim.record.replay import read_record, scanned
from sim.state import beginning
from tests.sim.recorded import ACTS, SETUP, content, timed

WHOLE = content(timed())
OPENING_BYTES = WHOLE.index(b"\n") + 1
NAME = "x.rebound.jsonl"


@pytest.fixture
def each_act_done_once(monkeypatch):
    """Remember what came of an act: these tests read thousands of records that differ in a byte."""
    first = beginning(SETUP)
    known = {}

    def remembered(state, action):
        key = (id(state), action)
        if key not in known:
            known[key] = (state, apply(state, action))  # the state is held, so its id stays its own
        return known[key][1]

    monkeypatch.setattr(sim.record.replay, "beginning", lambda setup: first)
    monkeypatch.setattr(sim.record.replay, "apply", remembered)


@pytest.mark.usefixtures("each_act_done_once")
def test_cut_anywhere_it_loses_at_most_the_last_act():
    for length in range(len(WHOLE)):
        cut = WHOLE[:length]
        if length < OPENING_BYTES:
            with pytest.raises(RecordRefused, match=NAME):
                scanned(cut, NAME)
            continue
        kept = cut.count(b"\n") - 1
        record = scanned(cut, NAME).record
        assert record.actions == ACTS[:kept]
        torn = not cut.endswith(b"\n")
        assert len(record.notices) == torn
        if torn:
            assert record.notices[0].startswith(f"Line {kept + 2} of {NAME}, the last, was not")


@pytest.mark.usefixtures("each_act_done_once")
@pytest.mark.parametrize("step", [11, pytest.param(1, marks=pytest.mark.slow)])
def test_cut_anywhere_it_is_gone_on_with(tmp_path, step):
    # Every byte in the slow run; here every eleventh and every byte about an act's two ends.
    path = tmp_path / NAME
    entries = [*timed(), (act.Wait(1.0), scanned(WHOLE, NAME).record.end.time_s)]
    longer = content(entries)
    ends = np.array([place for place, byte in enumerate(longer) if byte == ord("\n")]) + 1
    about_an_act = range(int(ends[5]) - 3, int(ends[6]) + 4)
    for length in {*range(OPENING_BYTES, len(WHOLE) + 1, step), *about_an_act, len(WHOLE)}:
        path.write_bytes(WHOLE[:length])
        file, record = continue_record(path)
        with file:
            file.append(*entries[len(record.actions)])
        # Byte for byte what the record would be had it never been cut.
        assert path.read_bytes() == longer[: ends[len(record.actions) + 1]]


@pytest.mark.usefixtures("each_act_done_once")
@pytest.mark.parametrize("mask", [0x01, pytest.param(0x80, marks=pytest.mark.slow)])
def test_a_byte_flipped_anywhere_is_reported_with_its_line(mask):
    for place in range(len(WHOLE)):
        flipped = bytearray(WHOLE)
        flipped[place] ^= mask
        line = WHOLE[:place].count(b"\n") + 1
        if line == 1:
            with pytest.raises(RecordRefused, match=f"Line 1 of {NAME} cannot be read"):
                scanned(bytes(flipped), NAME)
            continue
        record = scanned(bytes(flipped), NAME).record
        assert record.actions == ACTS[: line - 2]
        assert len(record.notices) == 1
        assert record.notices[0].startswith(f"Line {line} of {NAME}")


@pytest.mark.parametrize(
    ("spoilt", "line"),
    [
        (lambda lines: [*lines[:4], *lines[5:]], 5),
        (lambda lines: [*lines[:4], lines[5], lines[4], *lines[6:]], 5),
        (lambda lines: [*lines[:4], lines[3], *lines[4:]], 5),
        (lambda lines: [*lines[:4], b"\n", *lines[4:]], 5),
        (lambda lines: [*lines[:4], lines[4].replace(b",", b", "), *lines[5:]], 5),
        (lambda lines: [*lines, b"\0" * 512 + b"\n"], len(ACTS) + 2),
        (lambda lines: [line.replace(b"\n", b"\r\n") for line in lines], 1),
    ],
    ids=["missing", "swapped", "twice", "blank", "spaces", "zeros", "other line ends"],
)
def test_lines_missing_swapped_or_edited_are_found(spoilt, line):
    content = b"".join(spoilt(WHOLE.splitlines(keepends=True)))
    if line == 1:
        with pytest.raises(RecordRefused, match="Line 1 "):
            scanned(content, NAME)
        return
    record = scanned(content, NAME).record
    assert record.actions == ACTS[: line - 2]
    assert record.notices[0].startswith(f"Line {line} of {NAME} is damaged")


def test_lines_of_another_record_are_found():
    other = content(timed()[:6], SETUP.__class__(seed=1))
    mixed = WHOLE.splitlines(keepends=True)[0] + b"".join(other.splitlines(keepends=True)[1:])
    assert scanned(mixed, NAME).record.actions == ()


def test_zeros_that_a_power_cut_leaves_count_as_a_torn_line():
    record = scanned(WHOLE + b"\0" * 4096, NAME).record
    assert record.actions == ACTS
    assert "was not written to its end" in record.notices[0]


def test_an_act_that_cannot_be_done_is_damage_with_its_reason():
    entries = [*timed()[:5], (act.Towel(), 1.0), *timed()[5:]]
    record = scanned(content(entries), NAME).record
    assert record.actions == ACTS[:5]
    assert record.notices[0] == (
        f"Line 7 of {NAME} is damaged (the act cannot be done: Take the ball in the tongs before "
        "drying it): the 5 acts before it are kept."
    )


PLAN = msgspec.to_builtins(kept_plan(Procedure()))


def resealed(changes):
    """A record whose opening is changed, with a hash that agrees."""
    fields = msgspec.to_builtins(opening_of(SETUP, None)) | changes
    body = msgspec.json.encode(fields)
    from sim.record import format as record_format

    digest = record_format._digest(BEGINNING, body[:-1])
    return body[:-1] + b',"hash":"' + digest.encode() + b'"}\n'


@pytest.mark.parametrize(
    "changes",
    [
        {"seed": "-1"},
        {"seed": str(2**128)},
        {"seed": "9" * 5000},
        {"seed": 7},
        {"seed": "٣"},
        {"member": -1},
        {"member": 2**64},
        {"room_k": "warm"},
        {"room_k": 0.0},
        {"room_k": 1e300},
        {"hand_sd_m": 1e300},
        {"hand_sd_m": -1.0},
        {"hand_sd_m": None},
        {"model": {}},
        {"model": {"name": "x", "loss_ratio_40": 0.2, "magic": 1.0}},
        {"model": {"name": "x", "loss_ratio_40": "0.2"}},
        {"model": {"name": 3.0, "loss_ratio_40": 0.2}},
        {"model": {"name": "x", "loss_ratio_40": 0.2, "mass_kg": 0.0}},
        {"model": {"name": "x", "loss_ratio_40": 0.2, "rubber_density_kg_m3": 0.0}},
        {"model": {"name": "x", "loss_ratio_40": 0.2, "rubber_density_kg_m3": -5.0}},
        {"extra": 1},
        {"label": 5},
        {"format": 2},
        {"format": 1, "plan": PLAN},
        {"physics": "new"},
        {"plan": None},
        {"plan": PLAN | {"repeats": 0}},
        {"plan": PLAN | {"temperatures_k": [900.0]}},
        {"plan": PLAN | {"reader": "nobody"}},
        {"plan": PLAN | {"camera": 7}},
        {"plan": PLAN | {"bath": "sea"}},
        {"plan": PLAN | {"extra": 1}},
    ],
)
def test_an_opening_that_makes_no_bench_is_refused(changes):
    assert scanned(resealed({}), NAME).record.setup == SETUP  # the seal itself is good
    planned = scanned(resealed({"plan": PLAN}), NAME).record.setup
    assert planned == replace(SETUP, plan=Procedure())
    with pytest.raises(RecordRefused, match="Line 1 "):
        scanned(resealed(changes), NAME)


def test_a_newer_format_is_refused_with_a_sentence():
    newer = b'{"format":4,"program":"3.1","seed":{"kind":"new"}}\n'
    assert FORMAT == 3
    with pytest.raises(RecordRefused, match=r"format 4 \(program version 3\.1\).* newer version"):
        scanned(newer, NAME)


def test_a_seal_for_an_act_of_the_future_is_named():
    class Juggle(act.Act, frozen=True, tag="juggle"):
        pass

    class Future(msgspec.Struct):
        time_s: float
        action: Juggle

    from sim.record import format as record_format

    opening, digest = opening_line(SETUP, None)
    body = msgspec.json.encode(Future(0.0, Juggle()))[:-1]
    seal = record_format._digest(digest, body)
    record = scanned(opening + body + b',"hash":"' + seal.encode() + b'"}\n', NAME).record
    assert "knows no such act" in record.notices[0]


@pytest.mark.parametrize(
    "junk",
    [
        b"",
        b"\n",
        b"\0" * 10_000,
        bytes(range(256)) * 300,
        b"PK\x03\x04 a workbook",
        b'temperature / \xc2\xb0C,"rebound height / cm"\n20,25\n',
        b"[" * 100_000 + b"\n",
        b'{"format":' + b"[" * 60_000 + b"\n",
        b'{"format":1,"x":' + b'{"a":' * 12_000 + b"\n",
        b'{"format":1}\n',
        b'{"format":1e99}\n',
        b'{"format":-1}\n',
        b"null\n",
        "{}\n".encode("utf-16"),
    ],
)
def test_junk_is_refused_with_a_sentence(junk, tmp_path):
    path = tmp_path / NAME
    path.write_bytes(junk)
    for opened in (read_record, continue_record):
        with pytest.raises(RecordRefused, match=rf"{NAME} (is empty|cannot be read): .*\.$"):
            opened(path)
    assert path.read_bytes() == junk


def test_random_bytes_after_a_good_beginning_never_break_the_reading():
    rng = np.random.default_rng(5)
    for _ in range(300):
        places = rng.integers(OPENING_BYTES, len(WHOLE), rng.integers(1, 60))
        spoilt = bytearray(WHOLE)
        for place in places:
            spoilt[place] = rng.integers(256)
        record = scanned(bytes(spoilt), NAME).record
        assert record.actions == ACTS[: len(record.actions)]
        assert (bytes(spoilt) == WHOLE) == (record.notices == ())


def test_what_is_no_file_is_refused(tmp_path):
    with pytest.raises(RecordRefused, match="is not a file"):
        read_record(tmp_path)
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / NAME)
        with pytest.raises(RecordRefused, match="is not a file"):  # and does not wait for it
            read_record(tmp_path / NAME)


def test_a_long_line_is_damage():
    line = b'{"time_s":0.0,"action":{"act":"wait","time_s":' + b"1" * LONGEST_LINE_BYTES + b"}}\n"
    record = scanned(WHOLE + line, NAME).record
    assert record.actions == ACTS
    assert f"longer than {LONGEST_LINE_BYTES:,} bytes" in record.notices[0]


def test_a_large_file_is_refused_before_it_is_looked_into(tmp_path):
    path = tmp_path / NAME
    path.write_bytes(WHOLE)
    os.truncate(path, 200 * 2**20)
    with pytest.raises(RecordRefused, match="larger than 16 MiB"):
        read_record(path)


def test_more_acts_than_a_record_holds_are_left_out(monkeypatch, tmp_path):
    monkeypatch.setattr(sim.record.replay, "MOST_ACTS", 10)
    record = scanned(WHOLE, NAME).record
    assert record.actions == ACTS[:10]
    assert "10 acts at most" in record.notices[0]


def test_an_absurd_record_is_read_in_bounded_time():
    waits = content([(act.Wait(1.0), float(number)) for number in range(MOST_ACTS + 1)])
    record = scanned(waits, NAME).record
    assert len(record.actions) == MOST_ACTS
    assert "20,000 acts at most" in record.notices[0]
    answers = content([(act.WriteAnswer("page", str(number), "x"), 0.0) for number in range(600)])
    record = scanned(answers, NAME).record
    assert len(record.actions) == 500
    assert "room for 500 answers" in record.notices[0]


def test_a_full_record_takes_no_more(monkeypatch, tmp_path):
    import sim.record.file

    with begin_record(tmp_path / NAME, SETUP) as file:
        file.append(act.Wait(1.0), 0.0)
        monkeypatch.setattr(sim.record.file, "MOST_ACTS", 1)
        with pytest.raises(RecordTrouble, match="is full"):
            file.append(act.Wait(1.0), 1.0)
        monkeypatch.setattr(sim.record.file, "MOST_ACTS", MOST_ACTS)
        monkeypatch.setattr(sim.record.file, "MOST_BYTES", (tmp_path / NAME).stat().st_size + 20)
        with pytest.raises(RecordTrouble, match="is full"):
            file.append(act.Wait(1.0), 1.0)
    assert len(read_record(tmp_path / NAME).actions) == 1


def test_the_longest_legal_record_stays_within_the_size():
    usual = len(content([(act.Wait(1 / 3), 86400.123456789)])) - len(content([]))
    assert MOST_ACTS * usual < MOST_BYTES / 4
