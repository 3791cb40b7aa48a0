"""The report: complete, self-contained, escaped, legible; the PDF says the same."""

import dataclasses
import itertools
import re
from html.parser import HTMLParser
from io import BytesIO

import pytest
from pypdf import PdfReader

from analysis.paper.cautions import CAUTIONS
from analysis.paper.document import Table, Working, typeset
from analysis.paper.html import page_html
from analysis.paper.pdf import pdf_bytes
from analysis.report.content import (
    MOST_WRITTEN_OUT,
    document,
    energy_working,
    fullest,
    gradient_working,
    spread_working,
)
from analysis.report.results_graph import draw
from analysis.report.sentences import gradient_sentence
from analysis.report.summary import Weighed
from analysis.report.tables import MOST_REPEATS, MOST_ROWS, results_table


def report_html(summary):
    return page_html(document(summary, draw(summary)))


class Page(HTMLParser):
    """Collects what the tests ask of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.texts, self.open = [], [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += [(tag, *pair) for pair in attributes]

    def handle_data(self, data):
        self.texts.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.texts).split())


@pytest.fixture(scope="module")
def club_html(club):
    return report_html(club)


@pytest.fixture(scope="module")
def club_page(club_html):
    return Page(club_html)


def test_the_page_is_self_contained(club_page, club_html):
    assert not {"script", "link", "img", "iframe", "object", "embed"} & set(club_page.tags)
    sources = [v for _, name, v in club_page.attributes if name in ("src", "href", "xlink:href")]
    assert all(value.startswith("#") for value in sources)
    assert "url(http" not in club_html
    assert "@import" not in club_html


def test_the_page_has_a_language_a_title_and_headings_in_order(club_page):
    assert ("html", "lang", "en-GB") in club_page.attributes
    levels = [int(tag[1]) for tag in club_page.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))


def test_every_table_has_a_caption_and_scoped_headings(club_page):
    tables = club_page.tags.count("table")
    assert tables == 3
    assert club_page.tags.count("caption") == tables
    scopes = [v for tag, name, v in club_page.attributes if (tag, name) == ("th", "scope")]
    assert len(scopes) == club_page.tags.count("th")
    assert set(scopes) == {"col", "row"}


def test_the_graph_is_inline_with_its_text_and_described_in_words(club_page):
    assert "svg" in club_page.tags
    assert "rebound height / cm" in club_page.text
    described = [
        v for tag, name, v in club_page.attributes if (tag, name) == ("figure", "aria-label")
    ]
    assert "40 °C, 33.2 cm" in described[0]


@pytest.mark.parametrize("source", ["<script>alert(1)</script>.csv", "a&b <b>.csv"])
def test_names_from_outside_are_escaped(source, summary_of):
    html = report_html(summary_of({20: (24, 23), 40: (36, 37)}, source))
    assert source not in html
    page = Page(html)
    assert "script" not in page.tags
    assert "b" not in page.tags
    assert source in page.text


def test_notices_are_escaped_too(club):
    page = Page(report_html(dataclasses.replace(club, notices=("row 3: '<img src=x>'",))))
    assert "img" not in page.tags
    assert "row 3: '<img src=x>'" in page.text


def luminance(colour):
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_every_text_colour_stands_out_from_the_white_page(club_html):
    # WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1.
    style = club_html[club_html.index("<style>") : club_html.index("</style>")]
    colours = re.findall(r"[; {]color: (#[0-9a-f]+)", style)
    assert len(colours) >= 2
    for colour in colours:
        full = colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])
        assert 1.05 / (luminance(full) + 0.05) >= 4.5


def test_an_anomaly_is_marked_by_a_sign_and_a_note(club):
    table = results_table(club)
    assert table.rows[2][3] == "20*"
    assert [row for row in table.rows for cell in row if "*" in cell] == [table.rows[2]]
    assert table.notes[0].startswith("* At 40 °C repeat 3")
    assert table.rows[1][5] == "–"


def test_the_gradient_has_one_uncertainty_in_the_whole_report_and_it_has_a_name(summary_of):
    summary = summary_of({20: (14, 15, 15), 40: (26, 25, 27), 60: (38, 36, 38)})
    page = page_html(document(summary, draw(summary)))
    given = re.findall(r"gradient (?:=|has gradient)? ?([0-9.]+ ± [0-9.]+)\scm per", page)
    # Steepest and shallowest by hand, through the bars' ends at 20 and 60 °C: (38.33 - 14.17)/40
    # = 0.604 (within the bar at 40 °C), (36.33 - 15.17)/40 = 0.529; half the difference 0.0375.
    assert given == ["0.57 ± 0.04"] * 2
    assert "(uncertainty from the steepest and the shallowest straight line through" in page
    assert "standard uncertainty)" not in page
    single = summary_of({20: (14,), 40: (26,), 60: (39,)})
    assert "(standard uncertainty)" in gradient_sentence(single.trend, curved=False)


def test_the_working_can_be_checked_with_a_calculator(summary_of):
    summary = summary_of({20: (24, 23, 25), 40: (36, 38, 37), 60: (48, 49, 47)})
    lines = spread_working(summary, 1).lines
    assert lines[0] == "mean = (36 + 38 + 37) cm ÷ 3"
    assert lines[1].startswith("mean = 111 cm ÷ 3 = 37.00 cm")
    assert lines[2] == "range = largest − smallest = 38 cm − 36 cm = 2 cm"
    assert lines[3] == "half-range uncertainty = 2 cm ÷ 2 = 1 cm"
    assert lines[4] == "percentage uncertainty = 1 cm ÷ 37.00 cm × 100 % = 2.7 %"
    assert lines[5].startswith("rebound height = 37 ± 1 cm")


def test_the_energies_are_worked_out_from_the_mass(summary_of):
    assert energy_working(summary_of({20: (10,), 40: (30,)}), 1).lines == (
        "mass of the ball: m = 24 g ÷ 1000 = 0.024 kg",
        "drop height: H = 100 cm ÷ 100 = 1.00 m",
        "rebound height: h = 30 cm ÷ 100 = 0.30 m",
        "energy before the bounce: m × g × H = 0.024 kg × 9.81 N/kg × 1.00 m = 0.235 J",
        "energy after the bounce: m × g × h = 0.024 kg × 9.81 N/kg × 0.30 m = 0.0706 J",
        "energy transferred to the surroundings: 0.235 J − 0.0706 J = 0.165 J",
        "fraction of the energy kept (efficiency): 0.0706 J ÷ 0.235 J = 0.300 = 30.0 %",
        "coefficient of restitution: √(h ÷ H) = √(0.30 m ÷ 1.00 m) = 0.548",
        "(Results are rounded to three significant figures, each worked from unrounded values.)",
    )


def test_the_energies_are_worked_out_from_the_weight_and_a_mean_with_more_places(summary_of):
    weighed = Weighed(weight_n=0.24, assumed=False)
    lines = energy_working(summary_of({40: (17.33,)}, places=2, weighed=weighed), 0).lines
    assert lines[0] == "weight of the ball: W = 0.24 N"
    assert lines[2] == "rebound height: h = 17.33 cm ÷ 100 = 0.1733 m"
    assert lines[3] == "energy before the bounce: W × H = 0.24 N × 1.00 m = 0.240 J"
    assert not any("m × g" in line for line in lines)


def agrees(exact, printed):
    """Whether a printed number is the exact one, rounded as it is printed."""
    return abs(exact - float(printed)) <= 0.501 * 10.0 ** -len(printed.partition(".")[2])


@pytest.mark.parametrize("kind", ["club", "curved"])
def test_every_printed_uncertainty_follows_from_the_numbers_beside_it(kind, request):
    summary = request.getfixturevalue(kind)
    for index in range(len(summary.temperature_c)):
        text = "\n".join(spread_working(summary, index).lines)
        width, half = re.search(r"= ([\d.]+) cm ÷ 2 = ([\d.]+) cm", text).groups()
        assert agrees(float(width) / 2, half)
        above, below, share = re.search(
            r"= ([\d.]+) cm ÷ ([\d.]+) cm × 100 % = ([\d.]+) %", text
        ).groups()
        assert agrees(100 * float(above) / float(below), share)


@pytest.mark.parametrize("kind", ["club", "curved"])
def test_the_printed_gradient_follows_from_the_triangle(kind, request):
    lines = gradient_working(request.getfixturevalue(kind)).lines
    text = "\n".join(lines).replace("−", "-")
    top, foot = re.search(r"\((-?[\d.]+) - \(?(-?[\d.]+)\)?\) cm ÷ \(", text).groups()
    rise, run, gradient = re.search(
        r"gradient = (-?[\d.]+) cm ÷ (\d+) °C = (-?[\d.]+) cm", text
    ).groups()
    assert agrees(float(top) - float(foot), rise)
    assert agrees(float(rise) / float(run), gradient)
    extremes = re.search(r"\(([\d.]+) - ([\d.]+)\) cm per °C ÷ 2 = ([\d.]+) cm", text)
    assert (extremes is None) == (kind == "curved")
    if extremes:
        steepest, shallowest, half = extremes.groups()
        assert agrees((float(steepest) - float(shallowest)) / 2, half)


def test_a_half_range_finer_than_the_readings_is_replaced_and_explained(summary_of):
    summary = summary_of({20: (24, 24, 24), 40: (36, 36, 36)})
    lines = spread_working(summary, 0).lines
    assert "half of the smallest step" in lines[4]
    assert lines[5].startswith("percentage uncertainty = 0.5 cm")


def test_one_reading_has_no_range_to_work_out(summary_of):
    assert len(spread_working(summary_of({20: (24,), 40: (36,)}), 0).lines) == 1


def test_many_readings_are_not_all_written_out(summary_of):
    many = tuple(20 + n % 5 for n in range(MOST_WRITTEN_OUT + 8))
    summary = summary_of({20: many, 40: many})
    assert "…" in spread_working(summary, 0).lines[0]
    table = results_table(summary)
    assert len(many) > MOST_REPEATS
    assert "readings" in table.headings
    assert table.rows[0][1] == str(len(many))


def test_a_long_table_is_cut_and_says_so(summary_of):
    summary = summary_of({n / 2: (10 + n / 8,) for n in range(MOST_ROWS + 20)}, places=3)
    table = results_table(summary)
    assert len(table.rows) == MOST_ROWS
    assert "summary.csv" in table.notes[-1]


def test_the_fullest_temperature_is_worked_preferring_one_without_anomaly(club):
    assert fullest(club) == 0
    assert club.spread.n[1] == 4  # not this one


def test_sections_cover_what_a_teacher_looks_for(club):
    titles = [section.title for section in document(club, draw(club)).sections]
    assert titles == [
        "In short",
        "Results",
        "Graph",
        "Trend",
        "Spread and repeatability",
        "Working",
        "Energy",
        "Cautions",
    ]


def test_what_could_not_be_said_has_its_section(summary_of, readings_of):
    summary = summary_of({40: (36,)})
    text = Page(report_html(summary)).text
    assert "What could not be said, and why" in text
    for sentence in summary.cannot_say:
        assert typeset(sentence).replace("\u00a0", " ") in text.replace("\u00a0", " ")


def test_an_assumed_mass_is_owned_up_to(club, summary_of):
    assert "24 g is assumed" in report_html(club).replace("\u00a0", " ")
    weighed = summary_of({20: (24, 23), 40: (36, 37)}, weighed=Weighed(weight_n=0.23))
    assert "weight was given as 0.23 N" in report_html(weighed).replace("\u00a0", " ")


def test_the_cautions_defer_to_the_school(club_page):
    text = club_page.text.replace("\u00a0", " ")
    assert all(caution in text for caution in CAUTIONS)
    assert "own risk assessment and local rules come first" in text
    assert "tongs" in text
    assert "eye protection" in text


def squeezed(text):
    """Text without white space, so that line breaks do not matter."""
    return re.sub(r"\s", "", text)


def test_the_pdf_says_what_the_page_says(club):
    said = document(club, draw(club))
    pages = PdfReader(BytesIO(pdf_bytes(said))).pages
    box = pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((595.28, 841.89), abs=0.1)  # A4
    text = squeezed("".join(page.extract_text() for page in pages))
    assert squeezed(said.title) in text
    for section in said.sections:
        assert squeezed(section.title) in text
        for block in section.blocks:
            if isinstance(block, Working):
                assert all(squeezed(typeset(line)) in text for line in block.lines)
            if isinstance(block, Table):
                assert all(squeezed("".join(row)) in text for row in block.rows)


def test_the_pdf_holds_the_graph_in_true_size(club):
    figure = draw(club)
    reader = PdfReader(BytesIO(pdf_bytes(document(club, figure))))
    drawn = [
        tuple(float(n) for n in found)
        for page in reader.pages
        for found in re.findall(
            rb"q ([\d.]+) 0 0 ([\d.]+) [\d.]+ [\d.]+ cm /I\d+ Do Q", page.get_contents().get_data()
        )
    ]
    assert len(drawn) == 1
    assert drawn[0] == pytest.approx(figure.get_size_inches() * 72, abs=0.1)


def test_numbers_stay_beside_their_units_and_minus_is_a_minus():
    assert typeset("20 °C, -0.5 cm / repeat") == "20\u00a0°C, −0.5\u00a0cm /\u00a0repeat"
    assert typeset("a half-range of 3 drops, 2-3") == "a half-range of 3 drops, 2-3"
