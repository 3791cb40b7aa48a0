"""A class whose written answers are drawn from the labelled samples, each with what it leans on."""

import random
from dataclasses import replace
from functools import cache

from analysis.marking.questions import ANSWERED
from tests.analysis.marking.answers import earlier, samples
from tests.sim.classroom.pupils import bench, record_bytes, with_book

FILES = ("samples.toml", "samples_second.toml")
LEAN_ON_READINGS = ("shape", "repeatable", "repeatable reason")
"""Their samples hold for readings of their own, which these pupils have not."""


@cache
def pool():
    """By page and question, what a pupil may have written, and the earlier answer it leans on."""
    found = {}
    for file in FILES:
        for one in samples(file):
            if one.question not in LEAN_ON_READINGS:
                found.setdefault((one.page, one.question), []).append(
                    (one.text, earlier(one), one.given)
                )
    return found


def answers_at_random(seed, number, of=pool):
    """Answers of one pupil; of a question and its double each draws from the samples of both."""
    chance = random.Random(f"{seed} {number}")
    written = {}
    for page, name in ANSWERED:
        stem = name.rpartition(" ")[0]
        asked = of().get((page, name)) or of().get((page, f"{stem} 1"))
        if not asked:
            continue
        text, leans_on, given = chance.choice(asked)
        written[page, name] = text
        if leans_on and given:
            own = f"{leans_on.rpartition(' ')[0]} {name[-1]}" if name[-1].isdigit() else leans_on
            written[page, own] = given
    return written


def writes(practical, answers):
    """The practical with these answers in its book, and all else right."""

    return with_book(practical, lambda work: replace(work, answers={**work.answers, **answers}))


def written_record(key, number, seed, of=pool):
    return record_bytes(writes(bench(key, number), answers_at_random(seed, number, of)))
