"""The labelled sample answers, each put into a piece of work where its question can be marked."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from analysis.marking.questions import EVALUATION
from analysis.marking.sentences.verdict import mark_written
from analysis.marking.study import Study
from analysis.marking.work import Axis, Graph, Remark, RoughLine, Work

# Readings of the lunchtime club of Larkmere Vale School, heights in cm by temperature in °C.
TIGHT = {20: (9, 10, 10), 30: (15, 16, 15), 40: (21, 20, 21), 50: (27, 28, 27), 60: (33, 34, 34)}
WIDE = {20: (9, 15, 12), 30: (12, 18, 15), 40: (15, 22, 18), 50: (18, 25, 21), 60: (21, 28, 24)}
PARTLY = {20: (9, 10, 10), 30: (15, 16, 15), 40: (14, 23, 21), 50: (27, 20, 27), 60: (33, 34, 34)}
READINGS = {"tight": TIGHT, "wide": WIDE, "partly": PARTLY}
LINES = {
    "straight": ((20.0, 10.0), (60.0, 34.0)),
    "curved": ((20.0, 10.0), (40.0, 15.0), (60.0, 34.0)),
}


@dataclass(frozen=True)
class Sample:
    page: str
    question: str
    text: str
    label: str
    sort: str
    given: str = ""


@cache
def samples(file: str) -> tuple[Sample, ...]:
    content = tomllib.loads(Path(__file__).with_name(file).read_text(encoding="utf-8"))
    return tuple(
        Sample(group["page"], group["question"], **sample)
        for group in content["question"]
        for sample in group["samples"]
    )


def rough(heights_cm: dict[int, tuple[float, ...]]) -> tuple[RoughLine, ...]:
    return tuple(RoughLine(float(t), h) for t, row in heights_cm.items() for h in row)


def graph(line: str) -> Graph | None:
    if line not in LINES:
        return None
    axes = {"across": Axis("temperature / °C", 0, 10), "up": Axis("rebound height / cm", 0, 5)}
    return Graph(axes=axes, line=LINES[line])


def earlier(sample: Sample) -> str:
    """The question that the sample's answer leans on, if it is another answer."""
    name, _, number = sample.question.rpartition(" ")
    before = {
        "improvement": "inaccuracy",
        "reason": "control variable",
        "risk": "hazard",
        "control": "hazard",
    }
    if name in before:
        return f"{before[name]} {number}"
    return f"{name} 1" if number == "2" else ""


def work(sample: Sample) -> Work:
    answers = {(sample.page, sample.question): sample.text}
    readings, _, judgement = sample.given.partition(",")
    if sample.question == "repeatable reason":
        answers[EVALUATION, "repeatable"] = judgement
    elif sample.given and earlier(sample):
        answers[sample.page, earlier(sample)] = sample.given
    return Work(
        answers=answers,
        rough=rough(READINGS.get(readings, TIGHT)),
        graph=graph(sample.given),
    )


def marked(sample: Sample) -> Remark:
    remarks = mark_written(Study(work(sample)))
    return next(r for r in remarks if (r.page, r.where) == (sample.page, sample.question))


# A whole set of written answers that earns every mark, with TIGHT readings and a straight line.
RIGHT = {
    ("Hazards", "hazard 1"): "hot water",
    ("Hazards", "risk 1"): "it could scald somebody",
    ("Hazards", "control 1"): "lift the ball out with tongs and stand up to work",
    ("Hazards", "hazard 2"): "a wet floor",
    ("Hazards", "risk 2"): "somebody could slip",
    ("Hazards", "control 2"): "wipe up spills at once",
    ("Method", "independent variable"): "the temperature of the ball",
    ("Method", "dependent variable"): "the rebound height",
    ("Method", "control variable 1"): "the drop height",
    ("Method", "reason 1"): "from higher up the ball has more energy and bounces higher",
    ("Method", "control variable 2"): "the surface that the ball lands on",
    ("Method", "reason 2"): "a softer floor would absorb energy",
    ("Conclusion", "relationship"): "As the temperature increases, the rebound height increases by "
    "about 6 cm for each 10 °C.",
    ("Conclusion", "shape"): "straight",
    ("Evaluation", "repeatable"): "Yes, they are repeatable.",
    ("Evaluation", "repeatable reason"): "The half-range of 0.5 cm is small compared with the "
    "change of 6 cm from one temperature to the next.",
    (
        "Evaluation",
        "resolution",
    ): "The eye cannot judge the height of the ball to a millimetre.",
    ("Evaluation", "inaccuracy 1"): "The ball cooled down before it was dropped.",
    ("Evaluation", "improvement 1"): "Put the ball back into the hot water before each drop.",
    ("Evaluation", "inaccuracy 2"): "My eye was not level with the top of the bounce.",
    ("Evaluation", "improvement 2"): "Kneel so that the eye is level with the ball.",
    ("Energy", "where it went"): "to the thermal energy store of the ball and the surroundings",
}
