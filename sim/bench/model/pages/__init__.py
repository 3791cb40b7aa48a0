"""The pages of the exercise book, in the order of their ribbons."""

from sim.bench.model.pages.book_page import BookPage
from sim.bench.model.pages.graph_page import GRAPH_PAGE
from sim.bench.model.pages.question_pages import (
    CONCLUSION_PAGE,
    ENERGY_PAGE,
    EVALUATION_PAGE,
    HAZARDS_PAGE,
    METHOD_PAGE,
)
from sim.bench.model.pages.rough_page import ROUGH_PAGE
from sim.bench.model.pages.table_page import TABLE_PAGE

PAGES: dict[str, BookPage] = {
    page.name: page
    for page in (
        HAZARDS_PAGE,
        METHOD_PAGE,
        ROUGH_PAGE,
        TABLE_PAGE,
        GRAPH_PAGE,
        CONCLUSION_PAGE,
        EVALUATION_PAGE,
        ENERGY_PAGE,
    )
}
