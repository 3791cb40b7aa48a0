"""The blank workbook: what stands on its pages, that all of it fits, and that nothing is given."""

import itertools
import re
import shutil
import subprocess
from collections import Counter
from html.parser import HTMLParser
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, METHOD, QUESTIONS_OF
from analysis.paper.document import (
    MARGIN_MM,
    PAPER_MM,
    Answer,
    Drawing,
    Grid,
    Listing,
    Plan,
    Terms,
    typeset,
)
from analysis.paper.html import page_html
from analysis.paper.pdf import SMALL_MM, SMALL_POINTS, Sheets, printed, put
from analysis.report.content import CAUTIONS
from analysis.workbook.workbook import USUAL, workbook
from tests.analysis.workbook_strokes import strokes

PLANS = [Plan(), Plan(2, 1), Plan(10, 10, name_line=True), Plan(7, 8)]
FOOTER_MM = 4.0
BOOK = workbook(Plan())
FULLEST = workbook(Plan(10, 10, name_line=True))


def squeezed(text):
    """Text without white space, so that line breaks do not matter."""
    return re.sub(r"\s", "", text)


def blocks(kind, book=BOOK):
    return [block for page in book.pages for block in page.blocks if isinstance(block, kind)]


@pytest.fixture(scope="module")
def pdfs():
    """The workbook as it comes, and the one with most pages and names."""
    return tuple(PdfReader(BytesIO(printed(book))) for book in (BOOK, FULLEST))


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
    assert [page.title for page in BOOK.pages] == [
        "Bounce and warmth",
        "Hazards",
        "Method: the variables",
        "Method: the plan",
        "Rough readings",
        "Results table",
        "Graph",
        "Conclusion",
        "Evaluation: how good are the readings?",
        "Evaluation: what could be better?",
        "Energy",
        "The words of measurement",
    ]


@pytest.mark.parametrize("name", [METHOD, CONCLUSION, EVALUATION, ENERGY])
def test_every_question_of_the_book_stands_on_its_page_in_the_same_words(name, texts, markup):
    on_page = [
        text for page, text in zip(BOOK.pages, texts, strict=True) if page.title[:4] == name[:4]
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


def test_the_hazards_page_defers_to_the_school(texts):
    assert all(squeezed(typeset(caution)) in texts[1] for caution in USUAL)
    assert "ownriskassessmentandlocalrulescomefirst" in texts[1]
    grid = blocks(Grid)[0]
    assert (grid.headings, grid.rows) == (("hazard", "risk", "control measure"), 3)


def test_only_the_caution_about_report_pages_is_left_out():
    assert set(CAUTIONS) - set(USUAL) == {CAUTIONS[-1]}
    assert CAUTIONS[-1].startswith("These pages judge readings.")


@pytest.mark.parametrize("plan", PLANS)
def test_the_results_table_is_empty_and_has_room_for_the_plan(plan):
    table = next(grid for grid in blocks(Grid, workbook(plan)) if grid.caption == "Results")
    assert set(table.headings) == {""}
    assert table.numbers == ()
    assert table.rows == plan.temperatures
    assert len(table.headings) == len(table.shares) == plan.repeats + 3


@pytest.mark.parametrize("plan", PLANS)
def test_the_rough_pages_number_every_drop_and_spare_lines(plan):
    rough = [g for g in blocks(Grid, workbook(plan)) if g.headings[-1] == "struck out because"]
    numbers = [int(number) for grid in rough for number in grid.numbers]
    assert numbers == list(range(1, plan.temperatures * plan.repeats + 4))
    assert all(grid.rows == len(grid.numbers) for grid in rough)


def test_no_page_gives_the_answers_away(texts):
    said = re.sub("[^a-z]", "", "".join(texts).lower())
    answers = (
        "increases", "bouncehigher", "warmerball", "hotterball", "eyelevel", "parallax", "camera",
        "reheat", "coolsdown", "sound", "friction", "insidetheball",
    )  # fmt: skip
    assert [answer for answer in answers if answer in said] == []


def test_terms_are_explained_once_each():
    (terms,) = blocks(Terms)
    named = [term for term, _ in terms.meanings]
    assert len(set(named)) == len(named)
    needed = {"accuracy", "precision", "repeatable", "reproducible", "resolution", "uncertainty"}
    assert needed | {"random error", "systematic error", "anomaly", "range"} <= set(named)


@pytest.fixture(scope="module")
def sheet():
    """Sheets to set blocks on; given out at the end, so that the fonts' files are closed."""
    sheets = Sheets()
    yield sheets
    sheets.output()


@pytest.mark.parametrize("plan", PLANS)
def test_every_page_ends_above_its_number(plan, sheet):
    for page in workbook(plan).pages:
        sheet.add_page()
        sheet.set_xy(MARGIN_MM, MARGIN_MM + 12.5)  # below the title of the cover, the taller one
        for block in page.blocks:
            put(block, sheet)
        assert sheet.get_y() <= PAPER_MM[1] - MARGIN_MM - FOOTER_MM + 1, page.title


@pytest.mark.parametrize("plan", PLANS)
def test_headings_of_grids_stay_inside_their_cells(plan, sheet):
    sheet.add_page()
    sheet.lettered(SMALL_POINTS, bold=True)
    for grid in blocks(Grid, workbook(plan)):
        for text, share in zip(grid.headings, grid.shares, strict=True):
            width_mm = sheet.epw * share / sum(grid.shares) - 2
            lines = sheet.multi_cell(width_mm, SMALL_MM, text, dry_run=True, output="LINES")
            assert 1.5 + len(lines) * SMALL_MM <= grid.heading_mm
            assert all(sheet.get_string_width(word) <= width_mm for word in text.split())


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no pdftoppm here to render with")
@pytest.mark.parametrize("which", [0, 1])
def test_no_ink_lies_in_the_margins_and_none_is_coloured(which, pdfs, tmp_path):
    (tmp_path / "book.pdf").write_bytes(pdfs[which].stream.getvalue())
    command = ["pdftoppm", "-r", "50.8", str(tmp_path / "book.pdf"), str(tmp_path / "page")]
    subprocess.run(command, check=True)  # 50.8 dots an inch: two a millimetre
    pages = sorted(tmp_path.glob("page-*.ppm"))
    assert len(pages) == len(pdfs[which].pages)
    margin = int(2 * (MARGIN_MM - 0.5))
    for path in pages:
        dots = np.asarray(Image.open(path)).astype(np.int16)
        assert np.array_equal(dots[:, :, 0], dots[:, :, 1])
        assert np.array_equal(dots[:, :, 0], dots[:, :, 2])
        ink = dots[:, :, 0] < 250
        assert ink.any()
        ink[margin:-margin, margin:-margin] = False
        assert not ink.any(), path.name


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
    assert markup.tags.count("caption") == markup.tags.count("table") == len(blocks(Grid))
    described = {v for tag, name, v in markup.attributes if (tag, name) == ("svg", "aria-label")}
    assert blocks(Drawing)[0].text in described
    assert len(described) == markup.tags.count("svg") == 2


def test_every_answer_has_its_ruled_lines_in_both(markup, pdf):
    lines = sum(answer.lines for answer in blocks(Answer))
    classes = [v for tag, name, v in markup.attributes if (tag, name) == ("div", "class")]
    assert classes.count("line") == lines
    written_on = itertools.chain.from_iterable(
        strokes(page) for number, page in enumerate(pdf.pages) if number not in (1, 4, 5, 6, 9)
    )
    whole = [s for s in written_on if s.x2 - s.x1 == pytest.approx(180, abs=0.05) and s.width < 0.2]
    elsewhere = sum(
        block.lines
        for number in (1, 4, 5, 6, 9)
        for block in BOOK.pages[number].blocks
        if isinstance(block, Answer)
    )
    assert len(whole) == lines - elsewhere
