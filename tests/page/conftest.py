"""The page in a real browser, for all tests of it: made once, opened fresh for each.

Needs playwright, the pinned runtime in the folder that REBOUND_PAGE_RUNTIME names, and Chromium, or
Firefox for the tests that name it; where one is missing, the tests that ask for it are skipped and
say which. REBOUND_PAGE_BROWSER=firefox does all of them in Firefox. axe-core, an open checker of
accessibility, is given by REBOUND_PAGE_AXE: the file `axe.min.js` of the npm package of that name,
in the version that is pinned here.
"""

import gzip
import hashlib
import os
import shutil
from contextlib import ExitStack, contextmanager
from functools import cache
from pathlib import Path

import pytest
from filelock import FileLock

from sim.__main__ import main
from sim.page.bytecode import COMPILED, compiled_ahead
from tests.page.in_browser import BEGIN_NEW, LAPTOP, SLOW_MS, serving

OPTIONS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # The interpreter is compiled once and quickly: better code pays only in a page that stays open.
    "--js-flags=--liftoff-only",
]
AXE = os.environ.get("REBOUND_PAGE_AXE", "")
AXE_VERSION, AXE_HASH = "4.14.1", "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"
packed_before = cache(gzip.compress)


@pytest.fixture(scope="package", autouse=True)
def packed_once():
    """What is packed alike for one page after another is packed once: it takes seconds."""
    straight = gzip.compress

    def packed(content, level=9, *, mtime=None):
        once = packed_before if mtime == 0 else straight  # what bears the time is never twice alike
        return once(content, level, mtime=mtime)

    with pytest.MonkeyPatch.context() as changed:
        changed.setattr(gzip, "compress", packed)
        yield


@pytest.fixture(scope="session")
def common(tmp_path_factory):
    """A folder that all processes of one run of the tests have in common."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "common"
    folder.mkdir(exist_ok=True)
    return folder


def compiled_once(folder):
    """As `compiled_ahead`; the program is the same for every page, and takes seconds to compile."""
    there = [folder / name for name in COMPILED]

    def compiled(runtime, parts):
        if shutil.which("node") is None:
            return compiled_ahead(runtime, parts)
        with FileLock(folder / "compiled.lock"):
            if not all(path.exists() for path in there):
                made, trouble = compiled_ahead(runtime, parts)
                if trouble:
                    return made, trouble
                for path in there:
                    path.write_bytes(made[path.name])
        return dict(parts) | {path.name: path.read_bytes() for path in there}, ()

    return compiled


def pytest_collection_modifyitems(items):
    """Mark what a real page is made for: a run of its own drives the browsers."""
    for item in items:
        if {"make_page", "browser", "axe_source"} & set(item.fixturenames):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def make_page(common):
    """Makes a page of the real runtime: a file, or with --folder a folder."""
    runtime = os.environ.get("REBOUND_PAGE_RUNTIME", "")
    if not Path(runtime, "pyodide.mjs").is_file():
        pytest.skip("REBOUND_PAGE_RUNTIME names no runtime")

    def made_at(out, *options):
        words = ["page", "--runtime", runtime, "--out", str(out), *map(str, options)]
        with pytest.MonkeyPatch.context() as changed:
            changed.setattr("sim.commands.page.compiled_ahead", compiled_once(common))
            assert main(words) == 0
        return out

    return made_at


@pytest.fixture(scope="session")
def made(make_page, common):
    """The file with the page."""
    path = common / "rebound-practical.html"
    with FileLock(common / "page.lock"):
        return path if path.exists() else make_page(path)


PROGRAMS = {"chromium": ("chromium", "chromium-browser"), "firefox": ("firefox-esr", "firefox")}


@pytest.fixture(scope="package")
def browser(request, tmp_path_factory):
    """Chromium, or the browser that a test names; `saves` is where it puts what is saved."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    name = getattr(request, "param", os.environ.get("REBOUND_PAGE_BROWSER", "chromium"))
    program = next(filter(None, map(shutil.which, PROGRAMS[name])), None)
    if program is None:
        pytest.skip(f"{name.title()} is not installed")
    saves = tmp_path_factory.mktemp("saves")
    # By this channel Firefox is driven as it is, in the protocol that all browsers are to speak.
    own = {"args": OPTIONS} if name == "chromium" else {"channel": "moz-firefox"}
    with playwright.sync_playwright() as started:
        opened = getattr(started, name).launch(executable_path=program, downloads_path=saves, **own)
        try:
            opened.new_context().close()
        except playwright.Error as trouble:
            if "unknown command" not in str(trouble):
                raise
            pytest.skip(f"this playwright asks {name.title()} for more than it knows: {trouble}")
        opened.saves = saves
        yield opened
        opened.close()


@pytest.fixture(scope="package")
def chromium(browser):
    """For what only Chromium's driver can: fingers, other colours, less motion, a killed tab."""
    if browser.browser_type.name != "chromium":
        pytest.skip("only Chromium's driver can do this")


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
        own = ("file:", "blob:", "data:", *page.asked[:1])
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


@pytest.fixture(scope="module")
def served():
    """Serves folders on this machine, and gives the address of each."""
    with ExitStack() as servers:
        yield lambda folder: servers.enter_context(serving(folder))


@pytest.fixture(scope="session")
def axe_source():
    if not Path(AXE).is_file():
        pytest.skip("REBOUND_PAGE_AXE names no axe.min.js of the npm package axe-core")
    source = Path(AXE).read_bytes()
    assert hashlib.sha256(source).hexdigest() == AXE_HASH, f"it is not axe-core {AXE_VERSION}"
    return source.decode()


@pytest.fixture
def faults(axe_source):
    """What the checker finds on a page as it lies open."""

    def found(page):
        if not page.evaluate("Boolean(globalThis.axe)"):
            page.evaluate(axe_source + "; 0")
        told = page.evaluate("axe.run(document, {resultTypes: ['violations']})")["violations"]
        return [(one["id"], one["nodes"][0]["html"]) for one in told]

    return found
