"""The page in a real browser, for all tests of it: made once, opened fresh for each.

Needs Chromium, playwright, and the pinned runtime in the folder that REBOUND_PAGE_RUNTIME names;
where one is missing, the tests that ask for a browser are skipped and say which. axe-core, an open
checker of accessibility, is given by REBOUND_PAGE_AXE: the file `axe.min.js` of the npm package of
that name, in the version that is pinned here.
"""

import hashlib
import os
import shutil
from contextlib import contextmanager
from pathlib import Path

import pytest

from sim.__main__ import main
from sim.page.bytecode import COMPILED, compiled_ahead

OPTIONS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
AXE = os.environ.get("REBOUND_PAGE_AXE", "")
AXE_VERSION, AXE_HASH = "4.14.1", "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"
SLOW_MS = 120_000
LAPTOP = {"width": 1366, "height": 768}


BEGIN_NEW = "Begin a new practical"


def compiling_once():
    """As `compiled_ahead`; the program is the same for every page, and takes seconds to compile."""
    done = {}

    def compiled(runtime, parts):
        if shutil.which("node") is None:
            return compiled_ahead(runtime, parts)
        if not done:
            made, done["trouble"] = compiled_ahead(runtime, parts)
            done["parts"] = {name: made[name] for name in COMPILED}
        return dict(parts) | done["parts"], done["trouble"]

    return compiled


@pytest.fixture(scope="session")
def make_page():
    """Makes a page of the real runtime: a file, or with --folder a folder."""
    runtime = os.environ.get("REBOUND_PAGE_RUNTIME", "")
    if not Path(runtime, "pyodide.mjs").is_file():
        pytest.skip("REBOUND_PAGE_RUNTIME names no runtime")

    once = compiling_once()

    def made_at(out, *options):
        words = ["page", "--runtime", runtime, "--out", str(out), *map(str, options)]
        with pytest.MonkeyPatch.context() as changed:
            changed.setattr("sim.commands.page.compiled_ahead", once)
            assert main(words) == 0
        return out

    return made_at


@pytest.fixture(scope="session")
def made(make_page, tmp_path_factory):
    """The file with the page."""
    return make_page(tmp_path_factory.mktemp("page") / "rebound-practical.html")


@pytest.fixture(scope="package")
def browser():
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        pytest.skip("Chromium is not installed")
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=chromium, args=OPTIONS)
        yield opened
        opened.close()


@contextmanager
def visiting(browser, made):
    """Opens the page in a browser of given properties, and waits until it is ready to begin.

    `asked` of the page is every address that it asked for, `wrong` what went wrong in it; at the
    end nothing may have gone wrong, and nothing been asked for but what is its own. `beforehand` is
    a script that runs before the page's own.
    """
    contexts, pages = [], []

    def opened(address=None, ready=BEGIN_NEW, beforehand="", **properties):
        context = browser.new_context(
            **{"viewport": LAPTOP, "accept_downloads": True} | properties,
        )
        contexts.append(context)
        context.add_init_script(beforehand)
        page = context.new_page()
        pages.append(page)
        page.asked, page.wrong = [], []
        page.on("request", lambda one: page.asked.append(one.url))
        page.on("pageerror", lambda one: page.wrong.append(str(one)))
        page.goto(address or made.as_uri())
        page.get_by_role("button", name=ready).wait_for(timeout=SLOW_MS)
        return page

    yield opened
    for page in pages:
        assert not page.wrong
        own = ("file:", "blob:", "data:", page.asked[0])
        assert [one for one in page.asked if not one.startswith(own)] == []
    for context in contexts:
        context.close()


@pytest.fixture
def visit(made, browser):
    """Visits of one test."""
    with visiting(browser, made) as opened:
        yield opened


@pytest.fixture(scope="module")
def visit_once(made, browser):
    """A visit that several tests share, because a page takes seconds to be ready."""
    with visiting(browser, made) as opened:
        yield opened


@pytest.fixture
def page(visit):
    """The page on a school laptop's screen, ready to begin."""
    return visit()


@pytest.fixture
def axe():
    """The checker's source."""
    if not Path(AXE).is_file():
        pytest.skip("REBOUND_PAGE_AXE names no axe.min.js of the npm package axe-core")
    source = Path(AXE).read_bytes()
    assert hashlib.sha256(source).hexdigest() == AXE_HASH, f"it is not axe-core {AXE_VERSION}"
    return source.decode()
