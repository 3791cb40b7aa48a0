"""A scripted student works through the exercise book, from the own rough page alone.

Table, crosses and line are drawn from the readings; every answer is the registry's own right answer
to the work so far.
"""

from functools import reduce

import numpy as np

from analysis.marking.questions import ANSWERED, GRAPH, QUESTIONS_OF, TABLE
from analysis.marking.study import Study
from analysis.quantity.units import fixed, mean_places, plain, rounded
from analysis.statistics.line import fit_line
from analysis.statistics.spread import spread
from sim import actions as act
from sim.marking import work_of
from sim.practical import apply

TENTHS = 100
"""Ends of the line are laid at a tenth of a small square: so many to a large one."""


def right_answer(asked, study):
    """The registry's answer to a question, in a work whose table and graph are done."""
    return asked.right if isinstance(asked.right, str) else asked.right(study)


def book_actions(state):
    """All that the student writes and draws, page by page, for a practical with its readings."""
    table = table_actions(state)
    state = reduce(apply, table, state)
    graph = graph_actions(Study(work_of(state)))
    answers = answer_actions(Study(work_of(reduce(apply, graph, state))))
    pages = list(QUESTIONS_OF)
    before = tuple(one for one in answers if pages.index(one.page) < pages.index(TABLE))
    return (*before, *table, *graph, *answers[len(before) :])


def answer_actions(study):
    return tuple(
        act.WriteAnswer(*place, right_answer(asked, study))
        for place, asked in ANSWERED.items()
        if not asked.optional
    )


def means_of(study):
    """The means, to the places that their spread justifies."""
    repeats = max(len(one.standing_cm) for one in study.sets)
    rows = [(*one.standing_cm, *[np.nan] * (repeats - len(one.standing_cm))) for one in study.sets]
    found = spread(np.array(rows) / 100.0)
    places = mean_places(study.reading_places, found.standard_uncertainty_m * 100.0)
    return tuple(fixed(float(mean_m) * 100.0, places) for mean_m in found.mean_m)


def table_actions(state):
    study = Study(work_of(state))
    repeats = max(len(one.standing_cm) for one in study.sets)
    across, up = (right_answer(asked, study) for asked in _axes("title"))
    rows = [[across, *(f"rebound height {n} / cm" for n in range(1, repeats + 1)), up]]
    for one, mean in zip(study.sets, means_of(study), strict=True):
        read = [fixed(height, study.reading_places) for height in one.standing_cm]
        rows.append([plain(one.temperature_c), *read, *[""] * (repeats - len(read)), mean])
    size = tuple(
        act.WriteAnswer(TABLE, what, str(count))
        for what, count, least in (("rows", len(rows), 6), ("columns", repeats + 2, 7))
        if count > least
    )
    written = tuple(
        act.WriteCell(row, column, text)
        for row, cells in enumerate(rows)
        for column, text in enumerate(cells)
        if text
    )
    return (*size, *written)


def graph_actions(study):
    points = [(row.temperature_c, row.mean_cm) for row in study.table.rows]
    titles, starts, squares = (
        [right_answer(asked, study) for asked in _axes(name)]
        for name in ("title", "start", "large square")
    )
    across, up = zip(*points, strict=True)
    fitted, step = fit_line(across, up), float(squares[1]) / TENTHS
    ends = (min(across), max(across))
    line = tuple((end, rounded(round(float(fitted.at(end)) / step) * step, 6)) for end in ends)
    return (
        act.SetAxis("across", titles[0], float(starts[0]), float(squares[0])),
        act.SetAxis("up", titles[1], float(starts[1]), float(squares[1])),
        *(act.PlotPoint(*point) for point in points),
        act.LayLine(line),
    )


def _axes(name):
    return [asked for asked in QUESTIONS_OF[GRAPH] if asked.name.endswith(name)]
