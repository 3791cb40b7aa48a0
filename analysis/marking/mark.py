"""Marking: a whole piece of work against its own readings, and the feedback as a page to read.

On the page stands, for each page of the book, first what is to be mended, then what is right. There
are two stages: the nudge first; the worked step too once feedback on that page has been asked for
twice (`Work.tries`). What the teacher has to judge stands apart, with the same help. Every verdict
is told by its words and its sign, so the page needs no colour.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain

from analysis.marking.energy_answers import mark_energy
from analysis.marking.graph import mark_graph
from analysis.marking.numbers import mark_half_range, mark_line_answers, mark_plan
from analysis.marking.question import Question
from analysis.marking.questions import (
    ANSWERED,
    CONCLUSION,
    ENERGY,
    EVALUATION,
    GRAPH,
    METHOD,
    QUESTIONS_OF,
    TABLE,
)
from analysis.marking.sentences.criteria import Criteria
from analysis.marking.sentences.verdict import mark_written
from analysis.marking.study import Study
from analysis.marking.table import mark_table
from analysis.marking.work import (
    TRIES_FOR_THE_STEP,
    AnswerGiven,
    Feedback,
    Remark,
    Verdict,
    Work,
)
from analysis.paper.document import (
    Block,
    Document,
    Judgement,
    Judgements,
    Legend,
    Paragraph,
    Section,
    Subheading,
)
from analysis.quantity.units import counted, plain

PAGES = tuple(QUESTIONS_OF)
"""The order of the book."""

_NUMBERS: Mapping[str, Callable[[Study], Iterable[Remark]]] = {
    METHOD: mark_plan,
    TABLE: mark_table,
    GRAPH: mark_graph,
    CONCLUSION: mark_line_answers,
    EVALUATION: mark_half_range,
    ENERGY: mark_energy,
}
"""What marks the table, the graph, or the numbers of a page; its sentences are marked after it."""


def mark(work: Work, criteria: Criteria | None = None) -> Feedback:
    """Mark table, graph, numbers and written answers; one remark for each criterion.

    `criteria` are those of `analysis.marking.sentences`, its own where None. On the bench (there is
    a rough page) every page counts, and what is blank is marked as missing. Of paper work only
    the pages handed in are marked. A slip costs its mark once: what follows from it is carried.
    """
    study = Study(work)
    pages = (mark_page(study, page, criteria) for page in handed_in(work))
    return Feedback(tuple(remark for remarks in pages for remark in remarks))


def mark_page(study: Study, page: str, criteria: Criteria | None = None) -> tuple[Remark, ...]:
    """The remarks on one page, the same as in the marking of the whole work."""
    return tuple(page_marking(study, page, criteria))


def page_marking(study: Study, page: str, criteria: Criteria | None = None) -> Iterator[Remark]:
    """The remarks on one page, each worked out when it is asked for."""
    for remark in chain(_in_numbers(study, page), mark_written(study, criteria, page)):
        yield _with_answer(remark, study)


def _in_numbers(study: Study, page: str) -> Iterator[Remark]:
    """The remarks on table, graph or numbers, worked out once for the page's own answers.

    No other answers are asked about there; readings, table and graph stand in the study.
    """
    if page not in _NUMBERS:
        return
    answers = (study.work.answers.get((page, one.name), "") for one in QUESTIONS_OF[page])
    key = (page, *answers)
    if key not in study.judged:
        found = []
        for remark in _NUMBERS[page](study):
            found.append(remark)
            yield remark
        study.judged[key] = found
        return
    yield from study.judged[key]


def _with_answer(remark: Remark, study: Study) -> Remark:
    """The remark with the whole answer that it is about, and what that is to be judged beside."""
    asked = ANSWERED.get((remark.page, remark.of.question))
    if asked is None or not (text := study.answer(asked.page, asked.name)):
        return remark
    answers = study.work.answers
    earlier = tuple((name, answers.get((asked.page, name), "")) for name in asked.builds_on)
    given = AnswerGiven(asked.words, text, earlier, _own_work(asked, study))
    return replace(remark, answer=given)


def _own_work(asked: Question, study: Study) -> str:
    """What an answer is held against, worked out once for these readings, table and graph."""
    key = ("own work", asked.page, asked.name)
    if key not in study.judged:
        study.judged[key] = asked.held_against(study)
    own_work: str = study.judged[key]
    return own_work


def handed_in(work: Work) -> tuple[str, ...]:
    """Pages that are marked: all of them on the bench, of paper work those not left blank."""
    if work.rough is not None:
        return PAGES
    answered = {page for (page, _), text in work.answers.items() if text.strip()}
    if any(text.strip() for text in work.cells.values()):
        answered.add(TABLE)
    if work.graph is not None:
        answered.add(GRAPH)
    return tuple(page for page in PAGES if page in answered)


ASK_AGAIN = "Mend this and ask again: after a second try the worked steps are shown."


def feedback_document(feedback: Feedback, work: Work, title: str) -> Document:
    """Give the page; `title` says whose work it is, such as the file's name."""
    shows_step = {page: work.tries.get(page, 0) >= TRIES_FOR_THE_STEP for page in PAGES}
    pages = (_page(feedback.of_page(page), page, step=shows_step[page]) for page in PAGES)
    return Document(
        f"Feedback: {title}",
        (
            Section("", (_total(feedback), _signs())),
            *(section for section in pages if section.blocks),
            *_for_the_teacher(feedback, shows_step),
        ),
    )


def _total(feedback: Feedback) -> Paragraph:
    text = f"{plain(feedback.earned, 1)} of {feedback.out_of} marks so far"
    if feedback.for_the_teacher:
        text += f"; {len(feedback.for_the_teacher)} for the teacher to judge"
    return Paragraph(text, leading=True)


def _signs() -> Legend:
    return Legend(tuple((verdict.sign, verdict.value) for verdict in Verdict))


def _page(remarks: tuple[Remark, ...], page: str, *, step: bool) -> Section:
    """The remarks on one page of the book; those for the teacher stand elsewhere."""
    judged = [one for one in remarks if one.verdict is not Verdict.TEACHER]
    to_mend = tuple(_to_mend(one, step=step) for one in judged if not one.verdict.earns)
    done = tuple(_done(one) for one in judged if one.verdict.earns)
    blocks: list[Block] = []
    if to_mend:
        blocks += [Subheading("To mend"), Judgements(to_mend)]
        blocks += [] if step else [Paragraph(ASK_AGAIN, small=True)]
    if done:
        blocks += [Subheading("Right"), Judgements(done, slim=True)]
    earned, marks = sum(one.earned for one in judged), sum(one.marks for one in judged)
    return Section(page, tuple(blocks), aside=f"{plain(earned, 1)} of {marks}")


def _to_mend(remark: Remark, *, step: bool) -> Judgement:
    said = Paragraph(f"{remark.verdict.value.capitalize()}. {remark.nudge}")
    worked = remark.worked if step else ""
    return Judgement(
        remark.verdict.sign, remark.asks, (said, *_evidence("You wrote", remark)), worked
    )


def _done(remark: Remark) -> Judgement:
    more = f" {remark.nudge}" if remark.verdict is Verdict.CARRIED else ""
    words = _evidence("You wrote", remark) if remark.answer else ()
    beside = (Paragraph(remark.nudge, small=True),) if remark.nudge and not more else ()
    return Judgement(remark.verdict.sign, remark.asks + more, (*words, *beside))


def _evidence(who: str, remark: Remark) -> tuple[Paragraph, ...]:
    """The student's own words: the whole answer where there is one, or what the remark rests on."""
    if remark.answer:
        written = Paragraph(f"{who}: “{remark.answer.text}”", small=True)
        base = (Paragraph(f"It builds on {remark.answer.base}", small=True),)
        return (written, *(base if remark.answer.builds_on else ()))
    if not remark.evidence:
        return ()
    quoted = ", ".join(f"“{words}”" for words in remark.evidence)
    return (Paragraph(f"{who}: {quoted}", small=True),)


def _question(remark: Remark) -> tuple[Paragraph, ...]:
    return (Paragraph(f"Question: {remark.answer.question}"),) if remark.answer else ()


def _help_meanwhile(remark: Remark) -> tuple[Paragraph, ...]:
    """The program's guess for who judges, and the nudge for who wrote."""
    guess = f"The program's guess: {remark.guess}." if remark.guess else ""
    return tuple(Paragraph(text, small=True) for text in (guess, remark.nudge) if text)


def _for_the_teacher(feedback: Feedback, shows_step: Mapping[str, bool]) -> tuple[Section, ...]:
    if not feedback.for_the_teacher:
        return ()
    judgements = tuple(
        Judgement(
            "",
            f"{one.page}: {one.asks} ({counted(one.marks, 'mark')})",
            (*_question(one), *_evidence("Written", one), *_help_meanwhile(one)),
            one.worked if shows_step[one.page] else "",
        )
        for one in feedback.for_the_teacher
    )
    return (Section("For the teacher to judge", (Judgements(judgements),), framed=True),)
