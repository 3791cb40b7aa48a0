"""The feedback page: two stages, the teacher's part apart, self-contained, readable in grey."""

import itertools
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from analysis.marking.mark import feedback_document, mark
from analysis.marking.questions import ENERGY, GRAPH, HAZARDS, TABLE
from analysis.marking.work import Verdict
from analysis.paper.html import page_html
from tests.analysis.marking.right_work import right_work, with_answers, with_cells


class Page(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.texts, self.attributes = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += attributes

    def handle_data(self, data):
        self.texts.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.texts).replace("\u00a0", " ").split())


def faulty(**tries):
    work = with_cells(right_work(), {(1, 6): "26.4", (0, 0): "temp / °C"})
    named = {"table": TABLE, "graph": GRAPH, "energy": ENERGY}
    return replace(work, tries={named[page]: count for page, count in tries.items()})


def page_of(work, title="club.csv"):
    return Page(page_html(feedback_document(mark(work), work, title)))


def remark_of(work, criterion):
    return next(one for one in mark(work).remarks if one.criterion == criterion)


@pytest.mark.parametrize("tries", [0, 1])
def test_the_nudge_comes_first(tries):
    work = faulty(table=tries)
    text = page_of(work).text
    remark = remark_of(work, "table.mean")
    assert remark.nudge in text
    assert remark.worked not in text
    assert "after a second try" in text


def test_the_worked_step_comes_after_a_second_try_on_that_page_only():
    work = faulty(table=2, graph=1)
    text = page_of(work).text
    assert remark_of(work, "table.mean").worked in text
    assert remark_of(work, "graph.crosses").worked not in text


def test_what_the_teacher_judges_stands_apart():
    work = with_answers(right_work(), ENERGY, energy_before="a quarter")
    text = page_of(work).text
    apart = text[text.index("For the teacher to judge", text.index("Energy")) :]
    assert "a quarter" in apart
    assert apart.count("Energy:") == 2
    assert "a quarter" not in text[: text.index(apart)]


def test_marks_add_up_to_what_the_feedback_says():
    work = faulty()
    feedback = mark(work)
    assert f"{feedback.earned:g} of {feedback.out_of} marks" in page_of(work).text


def test_every_verdict_has_its_sign_and_words():
    assert len({verdict.sign for verdict in Verdict}) == len(Verdict)
    text = page_of(faulty()).text
    assert all(f"{verdict.sign} {verdict.value}" in text for verdict in Verdict)


def test_the_page_is_self_contained_and_has_no_colour():
    html = page_html(feedback_document(mark(faulty()), faulty(), "club.csv"))
    page = Page(html)
    assert not {"script", "link", "img", "iframe", "object"} & set(page.tags)
    assert "url(" not in html
    assert ("lang", "en-GB") in page.attributes
    greys = re.findall(r"#([0-9a-f]{3,6})\b", html[: html.index("</style>")])
    assert greys
    assert all(len(set(grey)) == 1 for grey in greys)
    assert "size: A4" in html


def test_what_the_student_wrote_is_escaped():
    work = with_cells(right_work(), {(0, 0): "<b>temp</b> / °C"})
    work = with_answers(work, ENERGY, efficiency="<script>x</script> 12 %")
    page = page_of(work, "<i>club</i>.csv")
    assert not {"b", "script", "i"} & set(page.tags)
    assert "<script>x</script> 12 %" in page.text


def test_headings_go_down_one_step_at_a_time():
    levels = [int(tag[1]) for tag in page_of(faulty()).tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))


def test_what_stood_beside_a_right_answer_is_answered_too():
    words = "The rebound height increases with temperature as the air pressure inside rises."
    text = page_of(with_answers(right_work(), "Conclusion", relationship=words)).text
    assert "The air inside a warm ball does press harder" in text


LONG = "You might get it on your hand, which would " + "really " * 60 + "not be what one wants."


def test_a_left_and_a_credited_answer_stand_in_full_with_what_they_build_on():
    answers = {"hazard_1": "hot water", "risk_1": LONG, "control_1": "wear goggles"}
    work = with_answers(right_work(), HAZARDS, **answers)
    assert remark_of(work, "hazards.risk 1").verdict is Verdict.TEACHER
    assert remark_of(work, "hazards.control 1").verdict is Verdict.RIGHT
    text = page_of(work).text
    apart = text[text.index("For the teacher to judge", text.index("Energy")) :]
    assert "Question: What could happen (risk)" in apart
    assert f"“{LONG}” It builds on hazard 1: hot water" in apart
    assert f"“wear goggles” It builds on hazard 1: hot water; risk 1: {LONG}" in text


def test_half_right_earns_half_and_is_to_be_mended():
    feedback = mark(right_work())
    one = next(each for each in feedback.remarks if each.verdict is Verdict.RIGHT)
    rest = [each for each in feedback.remarks if each is not one]
    half = replace(feedback, remarks=(replace(one, verdict=Verdict.HALF), *rest))
    assert half.earned == feedback.earned - one.marks / 2
    text = Page(page_html(feedback_document(half, right_work(), "club.csv"))).text
    assert f"{feedback.earned - 0.5:g} of {feedback.out_of} marks" in text
    assert "½ " + one.asks in text[text.index("To mend") :]


@pytest.mark.parametrize("tries", [1, 2])
def test_what_is_left_to_the_teacher_has_its_nudge_at_once_and_its_step_after_a_second_try(tries):
    work = with_answers(right_work(), ENERGY, where_it_went="the flubber grombled")
    work = replace(work, tries={ENERGY: tries})
    text = page_of(work).text
    remark = remark_of(work, "energy.where it went")
    assert remark.nudge in text
    assert (remark.worked in text) is (tries == 2)
