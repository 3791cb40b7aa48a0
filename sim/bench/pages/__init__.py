"""The pages of the exercise book, one file each, in the order of their ribbons."""

from sim.bench.pages.hazards import HAZARDS
from sim.bench.pages.page import Page
from sim.bench.pages.rough import ROUGH

PAGES: dict[str, Page] = {page.name: page for page in (HAZARDS, ROUGH)}
