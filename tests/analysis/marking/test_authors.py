"""Answers of authors who saw the questions alone: how many are credited, told and left.

Figures on a set that was tuned on show what must not be lost; only a set that nobody has looked at
shows what holds for a class. Name its file in AUTHORS_FILE to have it marked too.
"""

import os
from functools import cache
from pathlib import Path

import pytest

from tests.analysis.marking.authors import (
    HERE,
    UNREAD,
    UNREAD_AIMED,
    authors_samples,
    fates,
    table,
    wrong_fates,
)

LEARNED_FROM = [
    HERE / f"samples_{name}.toml" for name in (*("authors_" + one for one in "abcdeg"), "writers")
]
AIMED = [
    HERE / f"samples_{name}.toml"
    for name in ("aimed", "twins", "critic", *("critic_" + one for one in "elop"))
]


@cache
def found_in(path):
    return fates(authors_samples(path))


def shares(path):
    found = found_in(path)
    totals = {label: sum(n for (one, _), n in found.items() if one == label) for label, _ in found}
    return {(label, fate): n / totals[label] for (label, fate), n in found.items()}


@pytest.mark.parametrize("path", LEARNED_FROM, ids=lambda path: path.stem)
def test_answers_that_were_learned_from(path):
    found = shares(path)
    assert found.get(("wrong", "credited"), 0.0) <= 0.02
    assert found.get(("right", "told"), 0.0) <= 0.02
    assert found["right", "credited"] >= 0.90


@pytest.mark.parametrize("path", AIMED, ids=lambda path: path.stem)
def test_wrong_answers_aimed_at_the_lists_that_were_learned_from(path):
    assert shares(path).get(("wrong", "credited"), 0.0) <= 0.02


@pytest.mark.parametrize("path", UNREAD, ids=lambda path: path.stem)
def test_answers_that_were_kept_unread_until_all_was_done(path):
    found = shares(path)
    assert found["right", "credited"] >= 0.80
    assert found.get(("right", "told"), 0.0) <= 0.02
    assert found.get(("wrong", "credited"), 0.0) <= 0.02


@pytest.mark.parametrize("path", UNREAD_AIMED, ids=lambda path: path.stem)
def test_a_critics_wrong_answers_that_were_kept_unread(path):
    assert shares(path).get(("wrong", "credited"), 0.0) <= 0.10


def test_every_fault_is_told_in_full_and_the_table_has_its_intervals():
    found = found_in(LEARNED_FROM[0])
    shown = table(found)
    assert "right, 205" in shown
    assert shown.count("%-") == 9
    faults = {("wrong", "credited"), ("right", "told")}
    chosen = authors_samples(LEARNED_FROM[0])
    assert len(wrong_fates(chosen)) == sum(found[fault] for fault in faults)


@pytest.mark.skipif("AUTHORS_FILE" not in os.environ, reason="no file is named in AUTHORS_FILE")
def test_answers_that_nobody_has_looked_at():
    path = Path(os.environ["AUTHORS_FILE"])
    found = shares(path)
    assert found.get(("wrong", "credited"), 0.0) <= 0.02, table(found_in(path))
    assert found.get(("right", "told"), 0.0) <= 0.02, table(found_in(path))
    assert found["right", "credited"] >= 0.80, table(found_in(path))
