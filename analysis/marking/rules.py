"""The rules by which a row of the criteria file is read, one function each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property

from analysis.marking.criteria import Choice, Criteria, Row
from analysis.marking.directions import Way, direction
from analysis.marking.feedback import Verdict
from analysis.marking.language import Answer
from analysis.marking.own_facts import (
    CURVED,
    STRAIGHT,
    OwnReadings,
    is_one_of,
    line_shapes,
    own_readings,
    quoted,
    spells_a_number,
)
from analysis.marking.phrases import Finding, Found, find
from analysis.marking.questions import EVALUATION
from analysis.marking.work import Question, Work

_OPPOSITE = {"repeatable": "not repeatable", "not repeatable": "repeatable"}
"""Judgements that the readings rule out when they bear out the other."""


class How(Enum):
    """What a rule makes of an answer."""

    SAID = "what earns the mark"
    CARRIED = "what follows from an earlier slip"
    OTHER = "something else, or the opposite"
    UNSURE = "more than one thing"
    UNSAID = "nothing that the rule knows"


@dataclass(frozen=True)
class Outcome:
    """A rule's finding; `nudge` names one of [nudges], `chosen` the choices that were named."""

    how: How
    evidence: tuple[str, ...] = ()
    nudge: str = ""
    chosen: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Judged:
    """A question's verdict, kept for the questions that build on it."""

    verdict: Verdict
    evidence: tuple[str, ...] = ()
    nudge: str = ""
    chosen: frozenset[str] = frozenset()


@dataclass
class Marking:
    """One piece of work while it is marked."""

    work: Work
    criteria: Criteria
    judged: dict[Question, Judged] = field(default_factory=dict)

    @cached_property
    def own(self) -> OwnReadings:
        """What the readings say; worked out when a question first leans on them."""
        return own_readings(self.work)


def outcome(row: Row, answer: Answer, marking: Marking) -> Outcome:
    """Read an answer by its row's rule."""
    return _RULES[row.rule](row, answer, marking)


def _says(row: Row, answer: Answer, _: Marking) -> Outcome:
    return _of(find(row.lists["says"], answer))


def _of(finding: Finding) -> Outcome:
    if finding.how is Found.SAID:
        return Outcome(How.UNSURE if finding.mixed else How.SAID, finding.evidence)
    if finding.how is Found.NOT or finding.free:
        return Outcome(How.UNSAID)
    return Outcome(How.OTHER, finding.evidence)


def _same_way(_: Row, answer: Answer, marking: Marking) -> Outcome:
    found = direction(answer, marking.criteria)
    how = {
        Way.SAME: How.SAID,
        Way.OTHER: How.OTHER,
        Way.MIXED: How.UNSURE,
        Way.UNSAID: How.UNSAID,
    }[found.way]
    return Outcome(how, found.evidence)


def _choice(row: Row, answer: Answer, marking: Marking) -> Outcome:
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    earlier = marking.judged.get((row.page, row.differs_from))
    if found.how is not How.SAID or earlier is None:
        return found
    if not earlier.chosen:
        # What the criteria did not understand may be the same thing in other words.
        undecided = earlier.verdict is Verdict.TEACHER
        return replace(found, how=How.UNSURE) if undecided else found
    if found.chosen <= earlier.chosen:
        return replace(found, how=How.OTHER, nudge="same_again")
    return replace(found, how=How.UNSURE) if found.chosen & earlier.chosen else found


def _chosen(row: Row, answer: Answer, choices: Iterable[Choice]) -> Outcome:
    """The choices that an answer names; denying one, and naming none, is saying something else."""
    findings = [(choice, find(choice.words.get(row.part, ()), answer)) for choice in choices]
    said = [(choice, finding) for choice, finding in findings if finding.how is Found.SAID]
    if any(choice.outweighs for choice, _ in said):
        said = [(choice, finding) for choice, finding in said if choice.outweighs]
    denied = [each for each in findings if each[1].how is Found.TURNED and not each[1].free]
    shown = said or denied
    evidence = tuple(dict.fromkeys(words for _, finding in shown for words in finding.evidence))
    names = frozenset(choice.name for choice, _ in shown)
    if not said:
        return Outcome(How.OTHER if shown else How.UNSAID, evidence, chosen=frozenset())
    mixed = any(finding.mixed for _, finding in said)
    return Outcome(How.UNSURE if mixed else How.SAID, evidence, chosen=names)


def _fits(row: Row, answer: Answer, marking: Marking) -> Outcome:
    base = marking.judged[row.page, row.fits]
    if base.verdict is Verdict.MISSING:
        return Outcome(How.OTHER, nudge="first")
    if not base.chosen:
        return Outcome(How.UNSURE)
    choices = marking.criteria.choices[row.choices]
    own = _chosen(row, answer, (each for each in choices if each.name in base.chosen))
    if own.how is How.UNSAID:
        own = _of(find(row.lists.get("says", ()), answer))
    if own.how is How.UNSAID:
        other = _chosen(row, answer, choices)
        if other.how is How.SAID:
            return Outcome(How.OTHER, other.evidence, "does_not_fit")
        return own
    # "On carpet it would not bounce as high" is no denial, so a negation here decides nothing.
    undecided = base.verdict is Verdict.TEACHER or own.how is How.OTHER
    return replace(own, how=How.UNSURE) if undecided else own


def _line(row: Row, answer: Answer, marking: Marking) -> Outcome:
    shapes = line_shapes(marking.work.graph)
    ruled_out = frozenset({STRAIGHT, CURVED}) - shapes if shapes else frozenset()
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    return _agreeing(found, shapes, ruled_out)


def _readings(row: Row, answer: Answer, marking: Marking) -> Outcome:
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    verdict = marking.own.verdict
    if verdict == "cannot be told":
        return replace(found, how=How.UNSURE)
    return _agreeing(found, frozenset({verdict}), frozenset({_OPPOSITE.get(verdict, "")}))


def _agreeing(found: Outcome, right: frozenset[str], ruled_out: frozenset[str]) -> Outcome:
    """Hold the choice against what may be said and what is ruled out; neither is undecided."""
    if found.how is not How.SAID:
        return found
    if found.chosen <= right:
        return found
    return replace(found, how=How.OTHER if found.chosen <= ruled_out else How.UNSURE)


def _number(row: Row, answer: Answer, marking: Marking) -> Outcome:
    base = marking.judged[row.page, row.fits]
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    if found.how is not How.SAID:
        return found
    if not base.chosen or base.verdict is Verdict.TEACHER:
        return replace(found, how=How.UNSURE)
    if not found.chosen & base.chosen:
        return replace(found, how=How.OTHER, nudge="against_judgement")
    found = _readings(row, answer, marking)
    return found if found.how is not How.SAID else _with_number(found, answer, marking)


def _with_number(found: Outcome, answer: Answer, marking: Marking) -> Outcome:
    """What the reason's numbers do to it: one must be the student's own spread."""
    numbers = quoted(answer.text)
    own = marking.own
    if not numbers:
        how = How.UNSURE if spells_a_number(answer.text) else How.OTHER
        return replace(found, how=how, nudge="no_number")
    hits = [n for n in numbers if is_one_of(n, own.percentages if n.percent else own.spreads_cm)]
    written = quoted(marking.work.answers.get((EVALUATION, "half-range"), ""))
    carried = [n for n in numbers if is_one_of(n, tuple(one.value for one in written))]
    rest = [n for n in numbers if n not in hits and n not in carried]
    if not hits and not carried:
        return replace(found, how=How.OTHER, nudge="not_own_number")
    if not all(is_one_of(n, own.others_cm) for n in rest):
        return replace(found, how=How.UNSURE)
    evidence = (*found.evidence, *(n.text for n in hits or carried))
    return replace(found, how=How.SAID if hits else How.CARRIED, evidence=evidence)


_RULES: Mapping[str, Callable[[Row, Answer, Marking], Outcome]] = {
    "says": _says,
    "same way": _same_way,
    "choice": _choice,
    "fits": _fits,
    "line": _line,
    "readings": _readings,
    "number": _number,
}
