"""Answers by authors who saw the questions alone, marked and counted.

`python -m tests.analysis.marking.authors FILE` prints, for a file such as samples_authors_a.toml,
how many answers of each verdict were credited, told "not yet" and left to the teacher, each share
with its 95 % interval (Wilson), and every wrong credit and wrong refusal in full.
"""

import sys
import tomllib
from collections import Counter
from pathlib import Path

from scipy.stats import binomtest

from analysis.marking.questions import ANSWERED
from analysis.marking.sentences.verdict import mark_written
from analysis.marking.study import Study
from analysis.marking.work import Remark, Verdict, Work
from tests.analysis.marking.answers import Sample, earlier, graph, rough

HERE = Path(__file__).parent
UNREAD = tuple(HERE / f"samples_authors_{one}.toml" for one in "nr")
UNREAD_AIMED = tuple(HERE / f"samples_critic_{one}.toml" for one in "qs")
"""Kept back: opened once, when the weights were made, and never learned from."""
# What the authors were told of the readings: five repeats, heights in cm by temperature in °C.
AUTHORS_TIGHT = {
    20: (9.5, 10, 10, 10.5, 10),
    30: (14.5, 15.5, 16, 15.5, 16),
    40: (20.5, 21, 21, 21.5, 21),
    50: (25, 26, 26, 27, 26),
    60: (31, 32, 32, 33, 32),
}
AUTHORS_WIDE = {
    20: (6, 14, 10, 11, 9),
    30: (12, 18, 15, 17, 13),
    40: (17.5, 24.5, 21, 22, 20),
    50: (22, 30, 26, 24, 28),
    60: (28, 36, 32, 30, 34),
}
FATES = {
    Verdict.RIGHT: "credited",
    Verdict.CARRIED: "credited",
    Verdict.WRONG: "told",
    Verdict.TEACHER: "left",
}


def authors_samples(path: Path) -> tuple[Sample, ...]:
    """The answers of an author's file, each under a question of the book."""
    content = tomllib.loads(path.read_text(encoding="utf-8"))
    return tuple(
        Sample(*_asked(one["question"]), one["text"], one["verdict"], "", one["given"])
        for one in content["answer"]
    )


def _asked(name: str) -> tuple[str, str]:
    return next(key for key in ANSWERED if key[1] in (name, f"{name} 1"))


def authors_work(sample: Sample) -> Work:
    answers = {(sample.page, sample.question): sample.text}
    wide = sample.given == "wide"
    if sample.question == "repeatable reason":
        answers[sample.page, "repeatable"] = "no" if wide else "yes"
    elif sample.given:
        answers[sample.page, earlier(sample)] = sample.given.partition(";")[0]
    readings = rough(AUTHORS_WIDE if wide else AUTHORS_TIGHT)
    return Work(answers=answers, rough=readings, graph=graph("straight"))


def authors_remark(sample: Sample) -> Remark:
    remarks = mark_written(Study(authors_work(sample)))
    return next(r for r in remarks if (r.page, r.where) == (sample.page, sample.question))


def fates(samples) -> Counter:
    """How many answers of each verdict met each fate: {(verdict, fate): count}."""
    return Counter((one.label, FATES[authors_remark(one).verdict]) for one in samples)


def table(found: Counter) -> str:
    lines = [f"{'verdict':16}{'credited':>22}{'told not yet':>22}{'left':>22}"]
    for label in ("right", "half", "wrong"):
        total = sum(found[label, fate] for fate in ("credited", "told", "left"))
        shares = (_share(found[label, fate], total) for fate in ("credited", "told", "left"))
        lines.append(f"{label + ', ' + str(total):16}" + "".join(f"{one:>22}" for one in shares))
    return "\n".join(lines)


def _share(count: int, total: int) -> str:
    if total == 0:
        return "none"
    low, high = binomtest(count, total).proportion_ci(method="wilson")
    return f"{count}: {count / total:.1%} ({low:.0%}-{high:.0%})"


def wrong_fates(samples) -> list[str]:
    """Every wrong credit and wrong refusal in full."""
    faults = {("wrong", "credited"), ("right", "told")}
    marked = ((one, FATES[authors_remark(one).verdict]) for one in samples)
    return [
        f"{one.label}, {fate}: [{one.question}] {one.given or '-'} | {one.text}"
        for one, fate in marked
        if (one.label, fate) in faults
    ]


if __name__ == "__main__":
    chosen = authors_samples(Path(sys.argv[1]))
    print(table(fates(chosen)), *wrong_fates(chosen), sep="\n")
