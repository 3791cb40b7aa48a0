"""Feedback as a page to read: what is to be mended first, then what is right, page by page.

Two stages: the nudge first; the worked step too once feedback on that page of the book has been
asked for twice (`Work.tries`). What the teacher has to judge stands apart. Every verdict is told
by its words and its sign, so the page needs no colour.
"""

from __future__ import annotations

from analysis.marking.mark import PAGES
from analysis.marking.remark import TRIES_FOR_THE_STEP, Feedback, Remark, Verdict
from analysis.marking.work import Work
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
from analysis.paper.html import page_html

ASK_AGAIN = "Mend this and ask again: after a second try the worked steps are shown."


def feedback_html(feedback: Feedback, work: Work, title: str) -> str:
    """Give the page as HTML; `title` says whose work it is, such as the file's name."""
    return page_html(_document(feedback, work, title))


def _document(feedback: Feedback, work: Work, title: str) -> Document:
    shows_step = {page: work.tries.get(page, 0) >= TRIES_FOR_THE_STEP for page in PAGES}
    pages = (_page(feedback.of_page(page), page, step=shows_step[page]) for page in PAGES)
    return Document(
        f"Feedback: {title}",
        (
            Section("", (_total(feedback), _signs())),
            *(section for section in pages if section.blocks),
            *_for_the_teacher(feedback),
        ),
    )


def _total(feedback: Feedback) -> Paragraph:
    text = f"{feedback.earned} of {feedback.out_of} marks so far"
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
    return Section(page, tuple(blocks), aside=f"{earned} of {marks}")


def _to_mend(remark: Remark, *, step: bool) -> Judgement:
    said = Paragraph(f"{remark.verdict.value.capitalize()}. {remark.nudge}")
    worked = remark.worked if step else ""
    return Judgement(
        remark.verdict.sign, remark.asks, (said, *_evidence("You wrote", remark)), worked
    )


def _done(remark: Remark) -> Judgement:
    more = f" {remark.nudge}" if remark.verdict is Verdict.CARRIED else ""
    return Judgement(remark.verdict.sign, remark.asks + more)


def _evidence(who: str, remark: Remark) -> tuple[Paragraph, ...]:
    """The student's own words, where the remark rests on any."""
    if not remark.evidence:
        return ()
    quoted = ", ".join(f"“{words}”" for words in remark.evidence)
    return (Paragraph(f"{who}: {quoted}", small=True),)


def _for_the_teacher(feedback: Feedback) -> tuple[Section, ...]:
    if not feedback.for_the_teacher:
        return ()
    judgements = tuple(
        Judgement(
            "",
            f"{one.page}: {one.asks} ({one.marks} mark{'s' if one.marks != 1 else ''})",
            (Paragraph(one.nudge), *_evidence("Written", one)),
        )
        for one in feedback.for_the_teacher
    )
    return (Section("For the teacher to judge", (Judgements(judgements),), framed=True),)
