"""The pages of the exercise book, one file each, in the order of their ribbons."""

from sim.bench.pages.conclusion import CONCLUSION_PAGE
from sim.bench.pages.energy import ENERGY_PAGE
from sim.bench.pages.evaluation import EVALUATION_PAGE
from sim.bench.pages.graph import GRAPH_PAGE
from sim.bench.pages.hazards import HAZARDS
from sim.bench.pages.method import METHOD_PAGE
from sim.bench.pages.page import Page
from sim.bench.pages.rough import ROUGH
from sim.bench.pages.table import TABLE_PAGE

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
