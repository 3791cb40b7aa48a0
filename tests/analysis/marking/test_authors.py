"""Answers of authors who saw the questions alone: how many are credited, told and left.

Figures on a set that was tuned on show what must not be lost; only a set that nobody has looked at
shows what holds for a class. Name its file in AUTHORS_FILE to have it marked too.
"""

import os
from pathlib import Path

import pytest

from tests.analysis.marking.authors import authors_samples, fates, table, wrong_fates

TUNED_ON = Path(__file__).with_name("samples_authors_a.toml")
SECOND = Path(__file__).with_name("samples_authors_c.toml")
OWN = Path(__file__).with_name("samples_writers.toml")
AIMED = Path(__file__).with_name("samples_aimed.toml")
UNSEEN = Path(__file__).with_name("samples_authors_b.toml")
CRITIC = Path(__file__).with_name("samples_critic.toml")


def shares(path):
    found = fates(authors_samples(path))
    totals = {label: sum(n for (one, _), n in found.items() if one == label) for label, _ in found}
    return {(label, fate): n / totals[label] for (label, fate), n in found.items()}


@pytest.mark.parametrize("path", [TUNED_ON, SECOND, OWN], ids=["author", "second author", "writer"])
def test_answers_that_were_tuned_on(path):
    found = shares(path)
    assert found.get(("wrong", "credited"), 0.0) <= 0.02
    assert found.get(("right", "told"), 0.0) <= 0.02
    assert found["right", "credited"] >= 0.90


def test_wrong_answers_aimed_at_the_lists_of_phrases():
    assert shares(AIMED).get(("wrong", "credited"), 0.0) <= 0.02


def test_regression_of_answers_that_were_kept_unread():
    """What was reached: the targets, 80 % and 2 %, were missed by three answers and by one."""
    found = shares(UNSEEN)
    assert found["right", "credited"] >= 153 / 194
    assert found.get(("right", "told"), 0.0) == 0.0
    assert found["wrong", "credited"] <= 4 / 181


def test_regression_of_a_critics_wrong_answers():
    """A known weakness: no more of them may be credited than were."""
    assert shares(CRITIC)["wrong", "credited"] <= 139 / 229


def test_every_fault_is_told_in_full_and_the_table_has_its_intervals():
    chosen = authors_samples(TUNED_ON)
    shown = table(fates(chosen))
    assert "right, 205" in shown
    assert shown.count("%-") == 9
    faults = {("wrong", "credited"), ("right", "told")}
    found = fates(chosen)
    assert len(wrong_fates(chosen)) == sum(found[fault] for fault in faults)


@pytest.mark.skipif("AUTHORS_FILE" not in os.environ, reason="no file is named in AUTHORS_FILE")
def test_answers_that_nobody_has_looked_at():
    path = Path(os.environ["AUTHORS_FILE"])
    found = shares(path)
    assert found.get(("wrong", "credited"), 0.0) <= 0.02, table(fates(authors_samples(path)))
    assert found.get(("right", "told"), 0.0) <= 0.02, table(fates(authors_samples(path)))
    assert found["right", "credited"] >= 0.80, table(fates(authors_samples(path)))
