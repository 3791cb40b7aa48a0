"""The printed squares are 2 mm: by the drawing operators, rendered, and out of a browser."""

import shutil
import subprocess
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from analysis.paper.document import PAPER_MM
from analysis.paper.html import page_html
from analysis.paper.pdf import pdf_bytes
from analysis.paper.scales import (
    LARGE_ACROSS,
    LARGE_RULE,
    LARGE_SQUARE_MM,
    LARGE_UP,
    SMALL_RULE,
)
from analysis.workbook import workbook
from tests.analysis.workbook_strokes import level, strokes, upright

BOOK = workbook()
SHEET = next(n for n, page in enumerate(BOOK.sections) if page.title == "Graph")
SIZE_MM = (LARGE_ACROSS * LARGE_SQUARE_MM, LARGE_UP * LARGE_SQUARE_MM)
DOTS_PER_INCH = 300
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="module")
def pdf_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("paper") / "workbook.pdf"
    path.write_bytes(pdf_bytes(BOOK))
    return path


@pytest.fixture(scope="module")
def browser_file(tmp_path_factory):
    """Print the HTML as a browser prints it."""
    if CHROMIUM is None:
        pytest.skip("no chromium here to print the page with")
    folder = tmp_path_factory.mktemp("browser")
    (folder / "workbook.html").write_text(page_html(BOOK), encoding="utf-8")
    options = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    where = [f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={folder / 'out.pdf'}"]
    page = (folder / "workbook.html").as_uri()
    subprocess.run([CHROMIUM, *options, *where, page], capture_output=True, timeout=60, check=False)
    if not (folder / "out.pdf").is_file():
        pytest.skip("chromium is installed but prints nothing here")
    return folder / "out.pdf"


def grid_strokes(path):
    """Strokes of the two kinds of graph paper, apart from the page's other lines."""
    found = strokes(PdfReader(path).pages[SHEET])
    least = 0.9 * min(SIZE_MM)
    long = [s for s in found if abs(s.x2 - s.x1) + abs(s.y2 - s.y1) > least]
    small = [s for s in long if s.width == pytest.approx(SMALL_RULE.width_mm, rel=0.05)]
    return small, [s for s in long if s.width == pytest.approx(LARGE_RULE.width_mm, rel=0.05)]


def check_squares(path, tolerance_mm):
    small, large = grid_strokes(path)
    for places, squares in ((upright, LARGE_ACROSS), (level, LARGE_UP)):
        bold = places(large)
        assert len(bold) == squares + 1
        assert np.diff(bold) == pytest.approx(LARGE_SQUARE_MM, abs=tolerance_mm)
        every = np.sort([*places(small), *bold])
        assert len(every) == 10 * squares + 1
        assert np.diff(every) == pytest.approx(2.0, abs=tolerance_mm)
        # Rounding must not add up: the last line is where it should be, too.
        assert every[-1] - every[0] == pytest.approx(20.0 * squares, abs=2 * tolerance_mm)


def check_that_each_line_crosses_the_whole_sheet(path):
    small, large = grid_strokes(path)
    width, height = SIZE_MM
    for stroke in (*small, *large):
        length = height if stroke.x1 == pytest.approx(stroke.x2, abs=1e-3) else width
        assert abs(stroke.x2 - stroke.x1) + abs(stroke.y2 - stroke.y1) == pytest.approx(
            length, abs=0.02
        )


def test_the_pdf_rules_true_millimetres(pdf_file):
    # Operators carry hundredths of a point, 0.0035 mm: two roundings a square.
    check_squares(pdf_file, 0.005)
    check_that_each_line_crosses_the_whole_sheet(pdf_file)


def test_the_pdf_asks_to_be_printed_in_actual_size(pdf_file):
    preferences = PdfReader(pdf_file).trailer["/Root"]["/ViewerPreferences"]
    assert preferences["/PrintScaling"] == "/None"


@pytest.mark.slow
def test_a_browser_prints_true_millimetres(browser_file):
    # 1 CSS px is 0.26 mm; the SVG is scaled as a whole, so that squares keep to far less.
    check_squares(browser_file, 0.005)
    check_that_each_line_crosses_the_whole_sheet(browser_file)


@pytest.mark.slow
def test_a_browser_prints_one_sheet_for_each_page(browser_file):
    pages = PdfReader(browser_file).pages
    assert len(pages) == len(BOOK.sections)
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page.extract_text()
        size_mm = np.array([float(page.mediabox.width), float(page.mediabox.height)]) * 25.4 / 72
        assert size_mm == pytest.approx(PAPER_MM, abs=0.2)


def line_centres(profile):
    """Centres of the dark runs of a profile of darkness, in pixels."""
    dark = np.flatnonzero(profile > profile.max() * 0.3)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    return np.array([np.average(run, weights=profile[run]) for run in runs])


def rendered(path, folder):
    command = ["pdftoppm", "-r", str(DOTS_PER_INCH), "-gray", "-singlefile"]
    pages = ["-f", str(SHEET + 1), "-l", str(SHEET + 1)]
    subprocess.run([*command, *pages, str(path), str(folder / "sheet")], check=True)
    return 255.0 - np.asarray(Image.open(folder / "sheet.pgm"), dtype=np.float64)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no pdftoppm here to render with")
@pytest.mark.parametrize(
    "printer", ["pdf_file", pytest.param("browser_file", marks=pytest.mark.slow)]
)
def test_rendered_squares_measure_two_millimetres(printer, request, tmp_path):
    darkness = rendered(request.getfixturevalue(printer), tmp_path)
    small, large = grid_strokes(request.getfixturevalue(printer))
    dots_per_mm = DOTS_PER_INCH / 25.4
    # Strips between lines of the other direction hold nothing but the lines to be measured.
    left, top = upright(large)[0], level(large)[0]
    across = darkness[int((top + 2.6) * dots_per_mm) : int((top + 3.4) * dots_per_mm)].mean(axis=0)
    down = darkness[:, int((left + 2.6) * dots_per_mm) : int((left + 3.4) * dots_per_mm)].mean(1)
    below_the_title = int((top - 0.5) * dots_per_mm)
    down[:below_the_title] = 0
    down[int((top + SIZE_MM[1] + 0.5) * dots_per_mm) :] = 0
    assert small
    for profile, squares in ((across, LARGE_ACROSS), (down, LARGE_UP)):
        centres = line_centres(profile)
        assert len(centres) == 10 * squares + 1
        square = (centres[-1] - centres[0]) / (10 * squares)
        assert square == pytest.approx(2 * dots_per_mm, rel=0.001)  # 23.62 dots
        assert np.abs(np.diff(centres) - 2 * dots_per_mm).max() < 1.6  # lines sit on whole dots


def test_no_small_line_runs_where_a_large_one_does(pdf_file):
    small, large = grid_strokes(pdf_file)
    for places in (upright, level):
        gaps = np.abs(places(small)[:, None] - places(large)[None, :])
        assert gaps.min() == pytest.approx(2.0, abs=0.01)


def test_the_check_would_see_a_sheet_printed_to_fit(pdf_file):
    from pypdf import PdfWriter, Transformation

    writer = PdfWriter(clone_from=pdf_file)
    writer.pages[SHEET].add_transformation(Transformation().scale(0.97))
    shrunk = BytesIO()
    writer.write(shrunk)
    with pytest.raises(AssertionError):
        check_squares(shrunk, 0.005)
