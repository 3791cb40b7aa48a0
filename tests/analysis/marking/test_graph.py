"""The graph: every fault planted alone is found, and nothing else."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from analysis.marking.graph import ALL
from analysis.marking.mark import mark
from analysis.marking.questions import GRAPH
from analysis.marking.work import Axis, Graph, Verdict
from tests.analysis.marking.right_work import (
    CLUB,
    Style,
    right_work,
    with_axis,
    with_cells,
    with_graph,
)


def verdicts(work):
    return {one.criterion: one.verdict for one in mark(work).of_page(GRAPH)}


def only_on_graph(work, criterion):
    """The one remark that cost a mark of the graph; answers read off another scale are others'."""
    lost = [one for one in mark(work).of_page(GRAPH) if not one.earned]
    assert [one.criterion for one in lost] == [criterion]
    return lost[0]


def line_of(work):
    (x, y), (x_end, y_end) = work.graph.line
    return x, y, x_end, y_end


def test_a_right_graph_earns_every_mark():
    found = verdicts(right_work())
    assert set(found.values()) == {Verdict.RIGHT}
    assert list(found) == [one.name for one in ALL]


def swapped(work):
    graph = work.graph
    return with_graph(
        work,
        axes={"across": graph.axes["up"], "up": graph.axes["across"]},
        crosses=tuple((y, x) for x, y in graph.crosses),
        line=tuple((y, x) for x, y in graph.line),
        squares=graph.squares[::-1],
    )


def test_swapped_axes(only):
    remark = only(swapped(right_work()), "graph.axes")
    assert "temperature" not in remark.nudge


def test_swapped_axes_without_titles_are_told_by_the_crosses():
    work = swapped(right_work())
    for which in ("across", "up"):
        work = with_axis(work, which, title="")
    found = verdicts(work)
    lost = {name for name, verdict in found.items() if verdict is not Verdict.RIGHT}
    assert lost == {"graph.axes", "graph.labels"}


@pytest.mark.parametrize("which", ["across", "up"])
@pytest.mark.parametrize(
    ("title", "said"),
    [("", "missing"), (None, "no unit"), ("unit", "no quantity"), ("short", "in short")],
)
def test_a_label_that_is_incomplete_or_unlike_the_table(which, title, said, only):
    right = {"across": ("temperature", "°C", "temp"), "up": ("rebound height", "cm", "h")}[which]
    texts = {None: right[0], "unit": f"/ {right[1]}", "short": f"{right[2]} / {right[1]}", "": ""}
    remark = only(with_axis(right_work(), which, title=texts[title]), "graph.labels")
    assert said in remark.nudge


def test_a_unit_unlike_the_table_costs_the_label_alone(only):
    work = right_work()
    up = work.graph.axes["up"]
    metres = Axis("rebound height / m", up.start / 100, up.large_square / 100)
    work = with_graph(
        work,
        axes={**work.graph.axes, "up": metres},
        crosses=tuple((x, y / 100) for x, y in work.graph.crosses),
        line=tuple((x, y / 100) for x, y in work.graph.line),
    )
    assert "another unit" in only(work, "graph.labels").nudge


def test_a_heading_in_short_costs_its_mark_in_the_table_only(only):
    work = with_axis(right_work(), "across", title="temp / °C")
    only(with_cells(work, {(0, 0): "temp / °C"}), "table.heading-quantity")


def test_a_title_that_says_mean_is_like_the_table(lost):
    assert lost(with_axis(right_work(), "up", title="mean rebound height / cm")) == {}


@pytest.mark.parametrize(("which", "large_square"), [("across", 7.0), ("up", 4.0), ("up", 3.0)])
def test_an_awkward_scale(which, large_square):
    remark = only_on_graph(with_axis(right_work(), which, large_square=large_square), "graph.scale")
    assert remark.evidence == (f"{large_square:g}",)


def test_an_axis_that_starts_between_the_lines(only):
    only(with_axis(right_work(), "up", start=20.3), "graph.scale")


@pytest.mark.parametrize(("which", "large_square"), [("across", 20.0), ("up", 10.0)])
def test_points_over_less_than_half_of_an_axis(which, large_square):
    work = with_axis(right_work(), which, large_square=large_square)
    if which == "up":
        work = with_axis(work, which, start=0.0)
    assert "half" in only_on_graph(work, "graph.fills").nudge


def test_less_than_half_is_right_where_no_finer_scale_holds_the_points():
    # From 19 to 36 is more than eight squares of 2, and less than half of eight of 5.
    heights = {20: (19, 19, 19), 30: (24, 24, 24), 40: (30, 30, 30), 50: (36, 36, 36)}
    work = right_work(heights, Style(mean_places=0, squares=(8, 8)))
    work = with_axis(work, "up", start=0.0, large_square=5.0)
    assert verdicts(work)["graph.fills"] is Verdict.RIGHT


def test_a_row_that_has_no_room_on_the_axes_costs_one_mark(only):
    work = with_axis(right_work(), "up", start=25.0)
    work = with_graph(work, crosses=work.graph.crosses[1:])
    only(work, "graph.fills")


@pytest.mark.parametrize("direction", [(1, 0), (-1, 0), (0, 1), (0, -1)])
def test_a_cross_more_than_half_a_small_square_off(direction, only):
    work = right_work()
    axes = (work.graph.axes["across"], work.graph.axes["up"])
    point = (40.0, 36.2)
    for squares, off in ((0.49, False), (0.51, True), (3.0, True)):
        place = tuple(
            at + way * squares * axis.large_square / 10
            for at, way, axis in zip(point, direction, axes, strict=True)
        )
        crosses = (*work.graph.crosses[:2], place, *work.graph.crosses[3:])
        moved = with_graph(work, crosses=crosses)
        if off:
            assert only(moved, "graph.crosses").where == "cross 3"
        else:
            assert verdicts(moved)["graph.crosses"] is Verdict.RIGHT


def test_a_missing_cross(only):
    work = right_work()
    remark = only(with_graph(work, crosses=work.graph.crosses[:-1]), "graph.crosses")
    assert "60 °C has no cross" in remark.nudge
    assert "48.4" in remark.worked
    assert "48.4" not in remark.nudge


def test_an_extra_cross(only):
    work = right_work()
    remark = only(with_graph(work, crosses=(*work.graph.crosses, (55.0, 30.0))), "graph.crosses")
    assert remark.where == "cross 6"


def test_crosses_are_held_against_the_own_mean(lost):
    work = with_cells(right_work(), {(3, 6): "38.2"})
    crosses = tuple((x, 38.2 if x == 40 else y) for x, y in work.graph.crosses)
    found = lost(with_graph(work, crosses=crosses))
    assert set(found) == {"table.mean"}


def test_a_line_that_leaves_the_points_on_one_side(lost):
    work = right_work()
    for shift in (2.0, -2.0):
        moved = with_graph(work, line=tuple((x, y + shift) for x, y in work.graph.line))
        found = {one.criterion: one for one in mark(moved).of_page(GRAPH) if not one.earned}
        assert set(found) == {"graph.line-balance"}
        assert ("below" if shift > 0 else "above") in found["graph.line-balance"].worked


@pytest.mark.parametrize("turn", [0.5, 1.5])
def test_a_gradient_outside_the_extreme_lines(turn):
    work = right_work()
    x, y, x_end, y_end = line_of(work)
    middle = (40.0, y + (y_end - y) * (40.0 - x) / (x_end - x))
    gradient = turn * (y_end - y) / (x_end - x)
    turned = tuple((at, middle[1] + gradient * (at - 40.0)) for at in (x, x_end))
    found = {
        o.criterion: o for o in mark(with_graph(work, line=turned)).of_page(GRAPH) if not o.earned
    }
    assert set(found) == {"graph.line-gradient"}
    assert ("steeper" if turn > 1 else "shallower") in found["graph.line-gradient"].worked


def test_the_extreme_lines_themselves_are_still_right():
    from analysis.statistics.line import extreme_lines

    means = [sum(h) / 5 for h in CLUB.values()]
    half = [(max(h) - min(h)) / 2 for h in CLUB.values()]
    found = extreme_lines(list(CLUB), means, half)
    for gradient, at_0 in (
        (found.steepest_gradient, found.steepest_intercept),
        (found.shallowest_gradient, found.shallowest_intercept),
    ):
        line = tuple((x, float(at_0 + gradient * x)) for x in (20.0, 60.0))
        got = verdicts(with_graph(right_work(), line=line))
        assert got["graph.line-gradient"] is Verdict.RIGHT


def test_an_upright_line(lost):
    found = verdicts(with_graph(right_work(), line=((40.0, 20.0), (40.0, 50.0))))
    assert found["graph.line-gradient"] is Verdict.WRONG


def test_a_dot_to_dot_line():
    work = right_work()
    found = verdicts(with_graph(work, line=work.graph.crosses))
    lost = {name for name, verdict in found.items() if verdict is not Verdict.RIGHT}
    assert lost == {"graph.line"}


def test_points_between_the_crosses_do_not_hide_a_dot_to_dot_line():
    work = right_work()
    line = []
    for start, end in pairwise(work.graph.crosses):
        line += [start, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)]
    found = verdicts(with_graph(work, line=(*line, work.graph.crosses[-1])))
    assert {n for n, v in found.items() if v is not Verdict.RIGHT} == {"graph.line"}


def test_a_smooth_curve_past_the_points_is_no_dot_to_dot_line():
    work = right_work()
    x, y, x_end, y_end = line_of(work)
    middle = ((x + x_end) / 2, (y + y_end) / 2 - 0.3)
    found = verdicts(with_graph(work, line=((x, y), middle, (x_end, y_end))))
    assert set(found.values()) == {Verdict.RIGHT}


def test_a_curve_through_the_points_is_right_where_they_curve():
    curved = {0: (3, 4, 3), 20: (8, 9, 8), 40: (17, 18, 17), 60: (30, 31, 29), 80: (46, 47, 46)}
    work = right_work(curved, Style(mean_places=0))
    found = verdicts(with_graph(work, line=work.graph.crosses))
    assert found["graph.line"] is Verdict.RIGHT


@pytest.mark.parametrize("missed", range(5))
@pytest.mark.parametrize("by_cm", [None, 1.0, -2.0])
def test_a_dot_to_dot_line_may_miss_or_leave_out_one_cross(missed, by_cm):
    work = right_work()
    line = list(work.graph.crosses)
    x, y = line.pop(missed)
    if by_cm is not None:
        line.insert(missed, (x, y + by_cm))
    found = verdicts(with_graph(work, line=tuple(line)))
    assert found["graph.line"] is Verdict.WRONG


def on_the_trend(count, bent_cm):
    """So many points of a curve on either side of the line of best fit, by what they are bent."""
    work = right_work()
    x, y, x_end, y_end = line_of(work)
    at = np.linspace(x, x_end, count)
    up = y + (y_end - y) * (at - x) / (x_end - x) + bent_cm(np.linspace(-1.0, 1.0, count))
    return with_graph(work, line=tuple(zip(at.tolist(), up.tolist(), strict=True)))


@pytest.mark.parametrize("count", [7, 9, 14])
@pytest.mark.parametrize("size_cm", [1.0, -2.0])
def test_a_curve_that_wavers_is_no_smooth_line(count, size_cm):
    wavering = on_the_trend(count, lambda at: size_cm * np.cos(2.5 * np.pi * at))
    remark = {one.criterion: one for one in mark(wavering).of_page(GRAPH)}["graph.line"]
    assert remark.verdict is Verdict.WRONG
    assert "bends one way and back" in remark.nudge


@pytest.mark.parametrize("count", [3, 5, 8])
@pytest.mark.parametrize(
    "bent_cm",
    [
        lambda at: 1.5 * at**2,
        lambda at: -np.exp(2 * at) / 4,
        lambda at: np.tanh(2 * at) - at,  # a gentle S
        lambda at: np.random.default_rng(3).normal(0.0, 0.1, len(at)),  # an unsteady hand
        lambda at: 2.0 * np.maximum(at, 0.0),
    ],
    ids=["parabola", "exponential", "S", "hand", "levels off"],
)
def test_a_curve_that_bends_as_a_trend_may_is_smooth(count, bent_cm):
    assert verdicts(on_the_trend(count, bent_cm))["graph.line"] is Verdict.RIGHT


def test_a_line_forced_through_the_origin_costs_one_mark():
    # An axis from 0 on both sides, and the line from there past the middle of the points.
    work = with_axis(right_work(), "up", start=0.0)
    work = with_axis(work, "across", start=0.0)
    gradient = np.mean([sum(h) / 5 for h in CLUB.values()]) / np.mean(list(CLUB))
    found = verdicts(with_graph(work, line=((0.0, 0.0), (60.0, 60.0 * float(gradient)))))
    assert found["graph.line-origin"] is Verdict.WRONG
    assert found["graph.line-gradient"] is Verdict.CARRIED
    lost = {n for n, v in found.items() if v not in (Verdict.RIGHT, Verdict.CARRIED)}
    assert lost == {"graph.line-origin"}


def test_a_line_to_an_origin_off_the_sheet_costs_the_gradient():
    gradient = np.mean([sum(h) / 5 for h in CLUB.values()]) / np.mean(list(CLUB))
    line = tuple((x, float(gradient) * x) for x in (10.0, 60.0))
    found = verdicts(with_graph(right_work(), line=line))
    assert {n for n, v in found.items() if v is not Verdict.RIGHT} == {"graph.line-gradient"}


def test_a_line_that_the_points_lead_through_the_origin_is_not_forced():
    through = {10: (6, 7, 6), 20: (12, 13, 13), 30: (19, 18, 19), 40: (25, 26, 25)}
    work = right_work(through, Style(mean_places=0))
    line = ((0.0, 0.0), (40.0, 25.2))
    assert verdicts(with_graph(work, line=line))["graph.line-origin"] is Verdict.RIGHT


def test_a_graph_without_line_or_crosses_is_missing_there():
    found = verdicts(with_graph(right_work(), line=(), crosses=()))
    missing = {name for name, verdict in found.items() if verdict is Verdict.MISSING}
    assert missing == {"graph.crosses", *(name for name in found if "graph.line" in name)}


@pytest.mark.parametrize(
    "graph",
    [None, Graph(), Graph(axes={"across": Axis("t", 0.0, 0.0), "up": Axis("h", 0.0, 5.0)})],
)
def test_no_axes_yet_is_missing_not_wrong(graph):
    found = verdicts(replace(right_work(), graph=graph))
    assert set(found.values()) == {Verdict.MISSING}


def test_no_table_leaves_the_crosses_to_the_teacher():
    found = verdicts(replace(right_work(), cells={}))
    assert found["graph.crosses"] is Verdict.TEACHER
    assert found["graph.line-balance"] is Verdict.RIGHT
