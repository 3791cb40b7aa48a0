"""The pages of the exercise book, one file each, in the order of their ribbons."""

from sim.bench.model.pages.graph import GRAPH_PAGE
from sim.bench.model.pages.hazards import HAZARDS
from sim.bench.model.pages.page import Page
from sim.bench.model.pages.questions import (
    CONCLUSION_PAGE,
    ENERGY_PAGE,
    EVALUATION_PAGE,
    METHOD_PAGE,
)
from sim.bench.model.pages.rough import ROUGH
from sim.bench.model.pages.table import TABLE_PAGE

PAGES: dict[str, Page] = {
    page.name: page
    for page in (
        HAZARDS,
        METHOD_PAGE,
        ROUGH,
        TABLE_PAGE,
        GRAPH_PAGE,
        CONCLUSION_PAGE,
        EVALUATION_PAGE,
        ENERGY_PAGE,
    )
}
