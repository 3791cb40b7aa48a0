"""The blank workbook: what stands on its pages, that all of it fits, and that nothing is given."""

import itertools
import re
import shutil
import subprocess
from collections import Counter
from functools import cache
from html.parser import HTMLParser
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from analysis.marking.question import SENTENCES, Question, Room
from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, METHOD, QUESTIONS_OF
from analysis.paper.cautions import CAUTIONS
from analysis.paper.document import (
    MARGIN_MM,
    PAPER_MM,
    Drawing,
    EmptyTable,
    Listing,
    RuledLines,
    Terms,
    typeset,
)
from analysis.paper.html import page_html
from analysis.paper.pdf import pdf_bytes
from analysis.workbook import workbook
from tests.analysis.workbook_strokes import strokes

PLANS = [(5, 5), (2, 1), (10, 10), (7, 8)]
"""Temperatures and drops at each."""
FOOTER_MM = 4.0
BOOK = workbook()
FULLEST = workbook(10, 10, name_line=True)


@cache
def printed(plan):
    """The workbook with names for a plan, as a PDF."""
    return pdf_bytes(workbook(*plan, name_line=True))


def squeezed(text):
    """Text without white space, so that line breaks do not matter."""
    return re.sub(r"\s", "", text)


def blocks(kind, book=BOOK):
    return [block for page in book.sections for block in page.blocks if isinstance(block, kind)]


@pytest.fixture(scope="module")
def pdfs():
    """The workbook as it comes, and the one with most pages and names."""
    return tuple(PdfReader(BytesIO(pdf_bytes(book))) for book in (BOOK, FULLEST))


@pytest.fixture(scope="module")
def pdf(pdfs):
    return pdfs[0]


@pytest.fixture(scope="module")
def texts(pdf):
    return [squeezed(page.extract_text()) for page in pdf.pages]


class Markup(HTMLParser):
    """Tags, attributes and texts of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.texts = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        if tag == "body":
            self.texts.clear()
        self.attributes += [(tag, *pair) for pair in attributes]

    def handle_data(self, data):
        self.texts.append(data)


@pytest.fixture(scope="module")
def markup():
    return Markup(page_html(BOOK))


def test_the_pages_follow_the_work():
    assert [page.title for page in BOOK.sections] == [
        "",
        "Hazards",
        "Method: the variables",
        "Method: the plan",
        "Before any water is heated",
        "Rough readings",
        "Results table",
        "Graph",
        "Conclusion",
        "Evaluation: how good are the readings?",
        "Evaluation: what could be better?",
        "Energy",
        "Sentences to finish",
        "The words of measurement",
    ]


@pytest.mark.parametrize("name", [METHOD, CONCLUSION, EVALUATION, ENERGY])
def test_every_question_of_the_book_stands_on_its_page_in_the_same_words(name, texts, markup):
    on_page = [
        text for page, text in zip(BOOK.sections, texts, strict=True) if page.title[:4] == name[:4]
    ]
    in_html = squeezed("".join(markup.texts))
    for question, count in Counter(asked.words for asked in QUESTIONS_OF[name]).items():
        wanted = squeezed(typeset(question))
        assert sum(text.count(wanted) for text in on_page) >= count
        assert in_html.count(wanted) >= count


def test_pdf_and_html_say_the_same(texts, markup):
    printed_letters = Counter("".join(texts))
    # Points have a letter before them in the PDF, and the browser's own mark in HTML.
    assert printed_letters.pop("•") == sum(len(block.items) for block in blocks(Listing))
    assert printed_letters == Counter(squeezed("".join(markup.texts)))


def test_the_cautions_stand_before_the_readings_and_not_beside_the_hazards(texts):
    rough = next(page for page, text in enumerate(texts) if text.startswith("Roughreadings"))
    before = texts[rough - 1]
    assert all(squeezed(typeset(caution)) in before for caution in CAUTIONS)
    assert "thisworkbookdoesnotreplaceapracticalcarriedoutundersupervision" in before.lower()
    assert "ownriskassessmentandlocalrulescomefirst" in before
    assert texts[1].startswith("Hazards")
    assert not [caution for caution in CAUTIONS if squeezed(typeset(caution)) in texts[1]]
    grid = blocks(EmptyTable)[0]
    assert (grid.headings, grid.rows) == (("hazard", "risk", "control measure"), 3)


@pytest.mark.parametrize("plan", PLANS)
def test_the_results_table_is_empty_and_has_room_for_the_plan(plan):
    table = next(grid for grid in blocks(EmptyTable, workbook(*plan)) if grid.caption == "Results")
    assert set(table.headings) == {""}
    assert table.numbers == ()
    assert table.rows == plan[0]
    assert len(table.headings) == len(table.shares) == plan[1] + 3


@pytest.mark.parametrize("plan", PLANS)
def test_the_rough_pages_number_every_drop_and_spare_lines(plan):
    temperatures, repeats = plan
    rough = [
        g for g in blocks(EmptyTable, workbook(*plan)) if g.headings[-1] == "struck out because"
    ]
    numbers = [int(number) for grid in rough for number in grid.numbers]
    assert numbers == list(range(1, temperatures * repeats + 4))
    assert all(grid.rows == len(grid.numbers) for grid in rough)


def test_no_page_gives_the_answers_away(texts):
    said = re.sub("[^a-z]", "", "".join(texts).lower())
    answers = (
        "increases", "bouncehigher", "warmerball", "hotterball", "eyelevel", "parallax", "camera",
        "reheat", "coolsdown", "sound", "friction", "insidetheball",
    )  # fmt: skip
    assert [answer for answer in answers if answer in said] == []


def test_sentences_to_finish_show_every_choice_on_a_sheet_without_room_for_answers(texts):
    number = next(n for n, section in enumerate(BOOK.sections) if section.title.startswith("Sent"))
    assert not [one for one in BOOK.sections[number].blocks if isinstance(one, RuledLines)]
    framed = [one for page in QUESTIONS_OF.values() for one in page if one.frame]
    assert len(framed) == 8
    for question in framed:
        for piece in question.frame.pieces:
            assert all(squeezed(typeset(words)) in texts[number] for words in piece.choices)


def test_terms_are_explained_once_each():
    (terms,) = blocks(Terms)
    named = [term for term, _ in terms.meanings]
    assert len(set(named)) == len(named)
    needed = {"accuracy", "precision", "repeatable", "reproducible", "resolution", "uncertainty"}
    assert needed | {"random error", "systematic error", "anomaly", "range"} <= set(named)


def rendered(content, folder):
    """Each page of a printed book as shades of grey, two dots a millimetre."""
    (folder / "book.pdf").write_bytes(content)
    command = ["pdftoppm", "-r", "50.8", str(folder / "book.pdf"), str(folder / "page")]
    subprocess.run(command, check=True)
    pages = sorted(folder.glob("page-*.ppm"))
    return [np.asarray(Image.open(path)).astype(np.int16) for path in pages]


poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no poppler here")


@poppler
@pytest.mark.parametrize("plan", PLANS)
def test_every_page_ends_above_its_number_and_keeps_its_margins(plan, tmp_path):
    pages = rendered(printed(plan), tmp_path)
    assert len(pages) == len(workbook(*plan, name_line=True).sections)
    edge = int(2 * (MARGIN_MM - 0.5))
    number = slice(int(2 * (PAPER_MM[1] - MARGIN_MM - FOOTER_MM)), None)
    for place, dots in enumerate(pages):
        assert np.array_equal(dots[:, :, 0], dots[:, :, 1])
        assert np.array_equal(dots[:, :, 0], dots[:, :, 2])
        ink = dots[:, :, 0] < 250
        assert ink.any()
        assert not ink[number, : ink.shape[1] // 3].any(), place
        assert not ink[number, 2 * ink.shape[1] // 3 :].any(), place
        ink[edge:-edge, edge:-edge] = False
        assert not ink.any(), place


@poppler
@pytest.mark.parametrize("plan", PLANS)
def test_no_line_runs_through_a_word(plan, tmp_path):
    content = printed(plan)
    (tmp_path / "book.pdf").write_bytes(content)
    command = ["pdftotext", "-bbox", str(tmp_path / "book.pdf"), "-"]
    boxes = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    pages = boxes.split("<page ")[1:]
    for page, reader in zip(pages, PdfReader(BytesIO(content)).pages, strict=True):
        lines = strokes(reader)
        for word in re.findall(
            r'"([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">', page
        ):
            left, top, right, foot = (float(number) * 25.4 / 72 for number in word)
            thin = (foot - top) / 8
            for line in lines:
                across = min(right, max(line.x1, line.x2)) - max(left, min(line.x1, line.x2))
                down = min(foot, max(line.y1, line.y2)) - max(top, min(line.y1, line.y2))
                upright = abs(line.x1 - line.x2) <= 1e-3
                crossed = (
                    (down > thin and left + 0.1 < line.x1 < right - 0.1)
                    if upright
                    else (across > 0.1 and top + thin < line.y1 < foot - thin)
                )
                assert not crossed, (word, line)


def test_a_question_that_is_added_has_its_room_and_further_sheets_where_they_are_needed(
    monkeypatch, tmp_path
):
    added = tuple(
        Question(
            page, f"added {number}", f"And what else, number {number}?", SENTENCES, "", room=room
        )
        for page in (METHOD, CONCLUSION, EVALUATION, ENERGY)
        for number, room in enumerate((Room(), Room(2, 9), Room(2, 12)))
    )
    registry = {
        page: (*of, *(one for one in added if one.page == page))
        for page, of in QUESTIONS_OF.items()
    }
    monkeypatch.setattr("analysis.workbook.QUESTIONS_OF", registry)
    book = workbook()
    set_ = {block.question: block for block in blocks(RuledLines, book)}
    for one in added:
        assert set_[one.words].lines == max(one.room.paper, 1)
    titles = [section.title for section in book.sections]
    assert "Conclusion (continued)" in titles
    number = slice(int(2 * (PAPER_MM[1] - MARGIN_MM - FOOTER_MM)), None)
    for dots in rendered(pdf_bytes(book), tmp_path):
        assert (dots[number, : dots.shape[1] // 3] > 250).all()


def test_a_name_is_asked_for_on_the_cover_and_if_wanted_on_every_page(pdfs):
    for book, reader in zip((BOOK, FULLEST), pdfs, strict=True):
        texts = [page.extract_text() for page in reader.pages]
        asked = [len(re.findall(r"\bName\b(?! the)", text)) for text in texts]
        assert asked == [1, *[int(book.name_line)] * (len(texts) - 1)]
        assert Markup(page_html(book)).texts.count("Name") == sum(asked)


def test_every_page_is_numbered(pdf):
    pages = pdf.pages
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page.extract_text()


def test_the_page_is_self_contained(markup):
    html = page_html(BOOK)
    assert not {"script", "link", "img", "iframe", "input", "form"} & set(markup.tags)
    assert not [v for _, name, v in markup.attributes if name in ("src", "href")]
    assert "url(" not in html
    assert "@import" not in html


def test_the_html_has_a_language_headings_in_order_and_pictures_in_words(markup):
    assert ("html", "lang", "en-GB") in markup.attributes
    levels = [int(tag[1]) for tag in markup.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert markup.tags.count("caption") == markup.tags.count("table") == len(blocks(EmptyTable))
    described = {v for tag, name, v in markup.attributes if (tag, name) == ("svg", "aria-label")}
    assert blocks(Drawing)[0].text in described
    assert len(described) == markup.tags.count("svg") == 2


def test_every_answer_has_its_ruled_lines_in_both(markup, pdf):
    lines = sum(answer.lines for answer in blocks(RuledLines))
    classes = [v for tag, name, v in markup.attributes if (tag, name) == ("div", "class")]
    assert classes.count("line") == lines
    written_on = itertools.chain.from_iterable(
        strokes(page) for number, page in enumerate(pdf.pages) if number not in (1, 5, 6, 7, 10)
    )
    whole = [s for s in written_on if s.x2 - s.x1 == pytest.approx(180, abs=0.05) and s.width < 0.2]
    elsewhere = sum(
        block.lines
        for number in (1, 5, 6, 7, 10)
        for block in BOOK.sections[number].blocks
        if isinstance(block, RuledLines)
    )
    assert len(whole) == lines - elsewhere
