"""Answers in sentences marked by the criteria; what these cannot decide goes to the teacher.

A mark is given only when a wording that earns it stands there, nothing contradicts it, no negation
turns it and no sign of doubt stands beside it. It is withheld only when a wording says something
else. The rest is for the teacher. Each row of the criteria is read by its rule, one function each;
some hold the answer against the student's own line and readings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from analysis.marking.questions import ANSWERED, EVALUATION
from analysis.marking.sentences.claims import direction, reason
from analysis.marking.sentences.criteria import Choice, Criteria, CriterionRow, load
from analysis.marking.sentences.language import Answer, read
from analysis.marking.sentences.own_numbers import (
    colder_first,
    heights_at_odds,
    is_one_of,
    likely_of,
    quoted,
    rate_at_odds,
    repeats_of_one,
    spells_a_number,
)
from analysis.marking.sentences.phrases import Finding, How, HowSaid, Outcome, find
from analysis.marking.sentences.weighing import (
    SHORT,
    Judged,
    built_on,
    is_question_again,
    weighed,
)
from analysis.marking.study import CURVED, STRAIGHT, Study
from analysis.marking.work import QuestionKey, Remark, Verdict


@dataclass
class Marking:
    """One piece of work while it is marked."""

    study: Study
    criteria: Criteria
    judged: dict[QuestionKey, Judged] = field(default_factory=dict)
    told: set[tuple[str, str]] = field(default_factory=set)
    """Shared nudges that were given, each with its page."""


def mark_written(
    study: Study, criteria: Criteria | None = None, page: str = ""
) -> Iterator[Remark]:
    """Mark the written answers of a page, or of all: a remark for each row, in the file's order.

    Each is worked out when it is asked for. RIGHT and CARRIED carry the student's own words that
    earned the mark as evidence; WRONG those that speak against it, where there are any. `criteria`
    are the program's own where None.
    """
    criteria = criteria or load()
    marking = Marking(study, criteria)
    # No row asks about another page's: what it fits or differs from stands on its own.
    rows = [row for row in criteria.rows if not page or row.criterion.page == page]
    return (_remark(row, marking) for row in rows)


def _remark(row: CriterionRow, marking: Marking) -> Remark:
    judged = _remembered(row, marking)
    marking.judged[row.criterion.page, row.question] = judged
    helped = judged.verdict in (Verdict.WRONG, Verdict.MISSING, Verdict.TEACHER)
    return Remark(
        row.criterion,
        judged.verdict,
        row.question,
        " ".join(filter(None, (_nudge(row, judged, marking), judged.note))),
        row.worked if helped else "",
        judged.evidence,
        judged.guess,
    )


def _nudge(row: CriterionRow, judged: Judged, marking: Marking) -> str:
    """What helps: no sentence of [nudges] twice on a page, and the question's own instead.

    What is left to the teacher is helped too, for nobody may be there to judge it today.
    """
    if judged.verdict in (Verdict.RIGHT, Verdict.CARRIED):
        return ""
    if judged.verdict is Verdict.TEACHER and judged.guess != "not yet" and not judged.nudge:
        return f"{marking.criteria.nudges['teacher']} {row.nudge}"
    shared = marking.criteria.nudges.get(judged.nudge, "")
    said = (row.criterion.page, shared)
    if not shared or said in marking.told:
        return row.nudge
    marking.told.add(said)
    return shared


def _remembered(row: CriterionRow, marking: Marking) -> Judged:
    """What the answer earns, worked out once for all that it rests on beside the own readings."""
    study, page = marking.study, row.criterion.page
    beside = tuple(marking.judged.get((page, name)) for name in (row.fits, row.differs_from))
    answers = [study.work.answers.get((page, name), "") for name in (row.question, row.fits)]
    key = (row.criterion, *answers, study.answer(EVALUATION, "half-range"), beside)
    known: tuple[CriterionRow, Judged] | None = study.judged.get(key)
    if known is None or known[0] is not row:
        known = study.judged[key] = (row, _judged(row, marking))
    return known[1]


def _judged(row: CriterionRow, marking: Marking) -> Judged:
    text = marking.study.work.answers.get((row.criterion.page, row.question), "")
    if not text.strip():
        return Judged(Verdict.MISSING)
    framed = _framed(row, text, marking)
    if framed is not None:
        return framed
    answer = read(text, marking.criteria.vocabulary)
    if find(marking.criteria.dont_know, answer).how is HowSaid.SAID or not answer.tokens:
        return Judged(Verdict.WRONG, nudge="dont_know")
    if is_question_again(row, answer):
        return Judged(Verdict.WRONG, nudge="copied")
    beside = find(row.lists.get("beside", ()), answer)
    if beside.how is not HowSaid.SAID:
        return _ruled(row, answer, marking)
    alone = _ruled(row, read(_left_out(answer, beside), marking.criteria.vocabulary), marking)
    earns = alone.verdict in (Verdict.RIGHT, Verdict.CARRIED)
    return replace(alone if earns else _ruled(row, answer, marking), note=row.note)


def _framed(row: CriterionRow, text: str, marking: Marking) -> Judged | None:
    """A sentence that was finished by choosing its words; None for words of the student's own."""
    asked = ANSWERED.get((row.criterion.page, row.question))
    frame = asked.frame if asked else None
    chosen = frame.chosen(text) if frame else None
    if frame is None or chosen is None:
        return None
    if "" in chosen:
        return Judged(Verdict.WRONG, nudge="gap_open")
    if chosen not in frame.right:
        return Judged(Verdict.WRONG, (text,), nudge="not_true")
    return _in_its_place(row, Judged(Verdict.RIGHT, (text,), chosen=frame.right[chosen]), marking)


def _in_its_place(row: CriterionRow, true: Judged, marking: Marking) -> Judged:
    """A true sentence beside the answer that it builds on, or that it must not be over again."""
    page = row.criterion.page
    earlier = marking.judged.get((page, row.differs_from))
    if earlier and true.chosen <= earlier.chosen:
        return replace(true, verdict=Verdict.WRONG, nudge="same_again")
    base = marking.judged.get((page, row.fits))
    if base is None:
        return true
    if base.verdict is Verdict.MISSING:
        return replace(true, verdict=Verdict.WRONG, nudge="first")
    if not base.chosen or (base.verdict is Verdict.TEACHER and true.chosen & base.chosen):
        return replace(true, verdict=Verdict.TEACHER, guess="right")
    if not true.chosen & base.chosen:
        return replace(true, verdict=Verdict.WRONG, nudge="does_not_fit")
    return true


def _ruled(row: CriterionRow, answer: Answer, marking: Marking) -> Judged:
    said = _RULES[row.rule](row, answer, marking)
    base = built_on(row, marking.study.work.answers)
    return replace(weighed(row, answer, said, marking.criteria, base), chosen=said.chosen)


def _left_out(answer: Answer, beside: Finding) -> str:
    """The text without the clauses in which something stood beside the answer, place for place."""
    starts = [answer.text.find(words) for words in beside.evidence]
    clauses = {token.clause for token in answer.tokens if token.start in starts}
    letters = list(answer.text)
    before = 0
    for token in answer.tokens:
        if token.clause in clauses:
            # With the little words that led to it, such as "because".
            letters[before : token.end] = " " * (token.end - before)
        before = token.end
    return "".join(letters)


_ACTIONS = frozenset({"control", "improvement"})
"""Parts that ask what is done."""
_HEDGES = frozenset({"if", "unless", "but", "although", "though", "however"})
"""What begins with these makes a choice on a condition, or takes it back."""
_OPPOSITE = {"repeatable": "not repeatable", "not repeatable": "repeatable"}
"""Judgements that the readings rule out when they bear out the other."""


def _says(row: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    found = _of(find(row.lists["says"], answer))
    foreign = row.about is not None and answer.stems & marking.criteria.things - row.about
    return replace(found, how=How.UNSURE) if foreign and found.how is How.SAID else found


def _of(finding: Finding) -> Outcome:
    if finding.how is HowSaid.SAID:
        unsure = finding.mixed or finding.weak
        return Outcome(How.UNSURE if unsure else How.SAID, finding.evidence)
    if finding.how is HowSaid.NOT or finding.free:
        return Outcome(How.UNSAID)
    return Outcome(How.OTHER, finding.evidence)


def _same_way(_: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    words = marking.criteria.claims
    found = direction(answer, words, words.slopes)
    if found.how is How.SAID and _numbers_at_odds(answer.text, marking.study):
        return replace(found, how=How.UNSURE, for_teacher=True)
    return found


def _numbers_at_odds(text: str, study: Study) -> bool:
    """Whether the numbers of an answer go another way than the student's own readings."""
    own = study.readings
    rate = rate_at_odds(text, own.rate_cm_per_c)
    return rate or colder_first(text) or heights_at_odds(text, own.means_cm)


def _choice(row: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    found = _chosen(row, answer, marking.criteria.choices[row.choices], marking)
    earlier = marking.judged.get((row.criterion.page, row.differs_from))
    if earlier is None or earlier.verdict in (Verdict.MISSING, Verdict.WRONG):
        return found
    if not (earlier.chosen and found.chosen):
        # What the criteria did not understand may be the same thing in other words.
        said = found.how is How.SAID
        return replace(found, how=How.UNSURE if said else found.how, for_teacher=True)
    if found.how is not How.SAID:
        return found
    if found.chosen <= earlier.chosen:
        return replace(found, how=How.OTHER, nudge="same_again")
    return replace(found, how=How.UNSURE) if found.chosen & earlier.chosen else found


def _chosen(
    row: CriterionRow, answer: Answer, choices: Iterable[Choice], marking: Marking
) -> Outcome:
    """The choices that an answer names; denying one, and naming none, is saying something else."""
    findings = [(choice, find(choice.words.get(row.part, ()), answer)) for choice in choices]
    said = [(choice, finding) for choice, finding in findings if finding.how is HowSaid.SAID]
    if any(choice.outweighs for choice, _ in said):
        said = [(choice, finding) for choice, finding in said if choice.outweighs]
    denied = [each for each in findings if each[1].how is HowSaid.TURNED and not each[1].free]
    shown = said or denied
    evidence = tuple(dict.fromkeys(words for _, finding in shown for words in finding.evidence))
    names = frozenset(choice.name for choice, _ in shown)
    if not said:
        return Outcome(How.OTHER if shown else How.UNSAID, evidence, chosen=frozenset())
    meant = [each for each in said if not _beside_the_point(row.part, each[0], answer, marking)]
    mixed = not meant or any(_half_said(row.part, finding) for _, finding in meant)
    names = frozenset(choice.name for choice, _ in meant or said)
    return Outcome(How.UNSURE if mixed else How.SAID, evidence, chosen=names)


def _half_said(part: str, finding: Finding) -> bool:
    """Whether a finding is turned elsewhere, or an action only spoken of in a reason."""
    return finding.mixed or finding.weak or (part in _ACTIONS and finding.reasoned)


def _beside_the_point(part: str, choice: Choice, answer: Answer, marking: Marking) -> bool:
    """Whether an answer with a choice's words is about another thing, or turns them about."""
    if find(choice.never.get(part, ()), answer).how is HowSaid.SAID:
        return True
    about = choice.about.get(part)
    return about is not None and bool(answer.stems & marking.criteria.things - about)


def _fits(row: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    base = marking.judged[row.criterion.page, row.fits]
    if base.verdict is Verdict.MISSING:
        return Outcome(How.OTHER, nudge="first")
    choices = marking.criteria.choices[row.choices]
    if not base.chosen:
        any_of_them = _chosen(row, answer, choices, marking)
        known = any_of_them.how in (How.SAID, How.UNSURE)
        return Outcome(How.UNSURE if known else How.UNSAID)
    chosen = [each for each in choices if each.name in base.chosen]
    own = _reasoned(row, answer, chosen, marking)
    if own.how is How.OTHER and base.verdict is not Verdict.TEACHER:
        return own
    if own.how is How.UNSAID:
        own = _chosen(row, answer, chosen, marking)
    if own.how is How.UNSAID:
        own = _of(find(row.lists.get("says", ()), answer))
    if own.how is How.UNSAID:
        other = _chosen(row, answer, choices, marking)
        if other.how is How.SAID:
            how = How.OTHER if len(answer.tokens) <= SHORT else How.UNSURE
            return Outcome(how, other.evidence, "does_not_fit")
        return own
    # "On carpet it would not bounce as high" is no denial, so a negation here decides nothing.
    undecided = base.verdict is Verdict.TEACHER or own.how is How.OTHER
    return replace(own, how=How.UNSURE) if undecided else own


def _reasoned(
    row: CriterionRow, answer: Answer, chosen: Iterable[Choice], marking: Marking
) -> Outcome:
    """What the claims of a reason make of the quantities that the chosen variable acts by."""
    slopes: dict[str, int] = {}
    for choice in chosen:
        slopes.update(choice.slopes or {})
    if row.part != "reason" or not slopes:
        return Outcome(How.UNSAID)
    found = reason(answer, marking.criteria.claims, slopes)
    astray = all(_beside_the_point(row.part, choice, answer, marking) for choice in chosen)
    return replace(found, how=How.UNSURE) if astray and found.how is How.SAID else found


def _line(row: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    shapes = marking.study.line_shapes
    ruled_out = frozenset({STRAIGHT, CURVED}) - shapes if shapes else frozenset()
    found = _chosen(row, answer, marking.criteria.choices[row.choices], marking)
    return _hedged(_agreeing(found, shapes, ruled_out), answer)


def _readings(row: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    found = _chosen(row, answer, marking.criteria.choices[row.choices], marking)
    verdict = marking.study.readings.verdict
    if verdict == "cannot be told" and found.how is How.SAID:
        return replace(found, how=How.UNSURE)
    agreed = _agreeing(found, frozenset({verdict}), frozenset({_OPPOSITE.get(verdict, "")}))
    return _hedged(agreed, answer)


def _hedged(found: Outcome, answer: Answer) -> Outcome:
    """A choice that is made on a condition, or taken back by a "but", is left."""
    hedged = any(one.opener in _HEDGES for one in answer.tokens)
    return replace(found, how=How.UNSURE) if hedged and found.how is How.SAID else found


def _agreeing(found: Outcome, right: frozenset[str], ruled_out: frozenset[str]) -> Outcome:
    """Hold the choice against what may be said and what is ruled out; neither is undecided."""
    if found.how is not How.SAID:
        return found
    if found.chosen <= right:
        return found
    return replace(found, how=How.OTHER if found.chosen <= ruled_out else How.UNSURE)


def _number(row: CriterionRow, answer: Answer, marking: Marking) -> Outcome:
    base = marking.judged[row.criterion.page, row.fits]
    found = _chosen(row, answer, marking.criteria.choices[row.choices], marking)
    if found.how is How.UNSAID:
        # In words that the criteria do not know a number of the student's own may say it.
        own = _with_number(replace(found, how=How.SAID), answer, marking)
        numbered = own.how in (How.SAID, How.CARRIED) and base.verdict is Verdict.RIGHT
        return replace(found, how=How.UNSURE if numbered else found.how, for_teacher=not numbered)
    if found.how is not How.SAID:
        return found
    if not base.chosen or base.verdict is Verdict.TEACHER:
        return replace(found, how=How.UNSURE, for_teacher=True)
    if not found.chosen & base.chosen:
        return replace(found, how=How.OTHER, nudge="against_judgement")
    found = _readings(row, answer, marking)
    return found if found.how is not How.SAID else _with_number(found, answer, marking)


def _with_number(found: Outcome, answer: Answer, marking: Marking) -> Outcome:
    """What the reason's numbers do to it: one must be the student's own spread."""
    numbers = quoted(answer.text)
    own = marking.study.readings
    if not numbers:
        spelled = spells_a_number(answer.text)
        how = How.UNSURE if spelled else How.OTHER
        return replace(found, how=how, nudge="no_number", for_teacher=spelled)
    hits = [n for n in numbers if is_one_of(n, own.percentages if n.percent else own.spreads_cm)]
    hits = hits or repeats_of_one(numbers, [one.standing_cm for one in marking.study.sets])
    written = quoted(marking.study.answer(EVALUATION, "half-range"))
    carried = [n for n in numbers if is_one_of(n, tuple(one.value for one in written))]
    rest = [n for n in numbers if n not in hits and n not in carried]
    temperatures = tuple(one.temperature_c for one in marking.study.sets)
    known = all(is_one_of(n, temperatures) or likely_of(n, own.others_cm) for n in rest)
    if not hits and not carried:
        how = How.UNSURE if known else How.OTHER
        return replace(found, how=how, nudge="not_own_number", for_teacher=True)
    if not known:
        return replace(found, how=How.UNSURE, for_teacher=True)
    evidence = (*found.evidence, *(n.text for n in hits or carried))
    return replace(found, how=How.SAID if hits else How.CARRIED, evidence=evidence)


_RULES: Mapping[str, Callable[[CriterionRow, Answer, Marking], Outcome]] = {
    "says": _says,
    "same way": _same_way,
    "choice": _choice,
    "fits": _fits,
    "line": _line,
    "readings": _readings,
    "number": _number,
}
