"""The graph: where everything stands on the paper, and that nothing runs into anything."""

import itertools
import re
import subprocess
import sys
from io import BytesIO

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import LineCollection
from PIL import Image
from pypdf import PdfReader

from analysis.paper.graph_sheet import graph_bytes
from analysis.report.results_graph import draw

MM = 25.4


def lines_by_label(figure):
    return {line.get_label(): line for line in figure.axes[0].lines}


def bars(figure):
    (found,) = (c for c in figure.axes[0].collections if isinstance(c, LineCollection))
    return np.array(found.get_segments())


def large_square_mm(figure, summary_axes):
    """Millimetres on paper that one large square takes, across and up."""
    axes = summary_axes
    width, height = (inches * MM for inches in figure.get_size_inches())
    box = axes.get_position()
    texts = [text.get_text() for text in axes.texts]
    turn = next(n for n in range(1, len(texts)) if float(texts[n]) <= float(texts[n - 1]))
    across, up = turn - 1, len(texts) - turn - 1
    return box.width * width / across, box.height * height / up


@pytest.mark.parametrize("kind", ["club", "curved"])
def test_large_squares_are_two_centimetres_on_paper(kind, request):
    figure = draw(request.getfixturevalue(kind))
    assert large_square_mm(figure, figure.axes[0]) == pytest.approx((20.0, 20.0), abs=1e-6)


def test_small_squares_are_two_millimetres_in_the_svg(club):
    svg = graph_bytes(draw(club), "svg").decode()
    width_pt, box_width = (
        float(re.search(pattern, svg).group(1))
        for pattern in (r'<svg[^>]* width="([\d.]+)pt"', r'viewBox="0 0 ([\d.]+) ')
    )
    assert width_pt == pytest.approx(box_width)  # one unit of the drawing is one point on paper
    # The path of the small squares is the longest; its upright lines stand 2 mm apart.
    path = max(re.findall(r' d="([^"]+)"', svg), key=len)
    xs = sorted({float(x) for x, _ in re.findall(r"[ML] ([\d.]+) ([\d.]+)", path)})
    steps_mm = np.diff(xs) / 72 * MM
    assert steps_mm == pytest.approx(np.full(len(steps_mm), 2.0), abs=1e-3)


def test_the_pdf_page_is_the_figure_in_true_size_and_fits_a4(summary_of):
    wide = {t: (t / 100 * 89.7 + 1, t / 100 * 89.7 + 3) for t in range(11, 85, 9)}
    figure = draw(summary_of(wide, places=1))
    box = PdfReader(BytesIO(graph_bytes(figure, "pdf"))).pages[0].mediabox
    size_mm = (float(box.width) / 72 * MM, float(box.height) / 72 * MM)
    assert size_mm == pytest.approx(figure.get_size_inches() * MM, abs=0.1)
    assert size_mm[0] <= 180
    assert size_mm[1] <= 260


def test_crosses_stand_at_the_means_and_bars_reach_half_the_range(club):
    figure = draw(club)
    cross = lines_by_label(figure)["mean of the repeats"]
    assert cross.get_marker() == "x"
    assert cross.get_xdata() == pytest.approx([20, 30, 40, 50, 60])
    assert cross.get_ydata() == pytest.approx([23.6, 30.25, 33.2, 42.4, 48.4])
    upright = [s for s in bars(figure) if s[0, 0] == s[1, 0]]
    lengths = [abs(s[1, 1] - s[0, 1]) for s in upright]
    assert lengths == pytest.approx([3, 2, 17, 3, 3])


def test_the_line_of_best_fit_is_the_least_squares_line(club):
    line = lines_by_label(draw(club))["line of best fit"]
    gradient, intercept = np.polyfit([20, 30, 40, 50, 60], [23.6, 30.25, 33.2, 42.4, 48.4], 1)
    assert line.get_ydata() == pytest.approx(
        [intercept + 20 * gradient, intercept + 60 * gradient], abs=1e-9
    )


def test_extreme_lines_are_dashed_differently(club):
    labels = lines_by_label(draw(club))
    dashes = {name: labels[name].get_linestyle() for name in labels}
    assert dashes["line of best fit"] == "-"
    assert labels["steepest line"]._dash_pattern != labels["shallowest line"]._dash_pattern
    rise = {n: np.ptp(labels[n].get_ydata()) for n in ("steepest line", "shallowest line")}
    assert rise["steepest line"] > rise["shallowest line"]


def test_points_that_curve_get_a_smooth_curve_of_second_degree(curved):
    line = lines_by_label(draw(curved))["curve of best fit"]
    means = [np.mean(row) for row in ((3, 4, 3), (8, 9, 8), (17, 18, 17), (30, 31, 29))]
    means.append(np.mean((46, 47, 46)))
    expected = np.polyval(np.polyfit([0, 20, 40, 60, 80], means, 2), line.get_xdata())
    assert len(line.get_xdata()) > 40
    assert line.get_ydata() == pytest.approx(expected, abs=1e-9)
    assert "line of best fit" not in lines_by_label(draw(curved))


def test_a_reading_that_may_be_an_anomaly_gets_a_sign_of_its_own(club):
    sign = lines_by_label(draw(club))["reading that may be an anomaly"]
    assert (sign.get_xdata(), sign.get_ydata()) == (pytest.approx([40]), pytest.approx([20]))
    assert sign.get_marker() == "o"


def test_one_temperature_gets_its_point_and_no_line(summary_of):
    figure = draw(summary_of({40: (36, 37, 35)}))
    assert list(lines_by_label(figure)) == ["mean of the repeats"]


def test_single_readings_get_crosses_without_bars(summary_of):
    figure = draw(summary_of({20: (24,), 40: (36,), 60: (48,)}))
    assert not figure.axes[0].collections
    assert "half-range of the repeats" not in [t.get_text() for t in figure.texts]


def test_axes_are_titled_quantity_over_unit_and_the_source_is_named(club):
    figure = draw(club)
    assert figure.axes[0].get_xlabel() == "temperature / °C"
    assert figure.axes[0].get_ylabel() == "rebound height / cm"
    assert any("club.csv" in text.get_text() for text in figure.texts)


@pytest.mark.parametrize(
    ("heights", "source"),
    [
        ({20: (24, 23), 40: (36, 37), 60: (48, 49)}, "club.csv"),
        ({0: (3, 4, 3), 50: (20, 22, 20), 100: (61, 61, 60)}, "a long name of a file " * 6),
        ({20.5: (0.1, 0.12), 21.5: (0.14, 0.15)}, "n" * 200 + "$x_1$.csv"),
        ({40: (36, 37, 35)}, "one.csv"),
    ],
)
def test_no_text_is_clipped_or_lies_on_another(heights, source, summary_of):
    figure = draw(summary_of(heights, source, places=2))
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    axes = figure.axes[0]
    texts = [*figure.texts, *axes.texts]
    texts += [axes.xaxis.label, axes.yaxis.label]
    boxes = [text.get_window_extent() for text in texts if text.get_text()]
    for box in boxes:
        assert box.x0 >= 0
        assert box.y0 >= 0
        assert box.x1 <= figure.bbox.width
        assert box.y1 <= figure.bbox.height
    for one, other in itertools.combinations(boxes, 2):
        inside = (
            min(one.x1, other.x1) - max(one.x0, other.x0),
            min(one.y1, other.y1) - max(one.y0, other.y0),
        )
        assert min(inside) < 0.5


def test_the_same_readings_give_the_same_bytes_without_a_date(club):
    for suffix in ("png", "svg", "pdf"):
        assert graph_bytes(draw(club), suffix) == graph_bytes(draw(club), suffix)
    svg = graph_bytes(draw(club), "svg").decode()
    assert "dc:date" not in svg
    assert ">temperature / °C<" in svg  # text stays text


def test_a_name_in_signs_that_the_font_lacks_is_no_trouble(summary_of):
    figure = draw(summary_of({20: (24, 23), 40: (36, 37)}, "学校.csv"))
    for suffix in ("png", "svg", "pdf"):  # warnings are errors here
        assert len(graph_bytes(figure, suffix)) > 1000


def test_the_png_has_no_colour_and_the_promised_size(club):
    figure = draw(club)
    picture = Image.open(BytesIO(graph_bytes(figure, "png")))
    assert picture.mode == "L"
    assert picture.size == tuple(int(inches * 150) for inches in figure.get_size_inches())
    assert picture.info["dpi"] == pytest.approx((150, 150), abs=0.1)
    pixels = np.asarray(picture)
    assert pixels.max() == 255
    assert pixels.min() == 0


def test_pyplot_and_scipy_stats_stay_unloaded():
    code = (
        "import sys, analysis.report.results_graph, analysis.report.content\n"
        "slow = {'matplotlib.pyplot', 'scipy.stats', 'fpdf'} & set(sys.modules)\n"
        "sys.exit(str(slow) if slow else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
