"""What tests of the page in a browser do alike: serve it, begin, go on, save, look it over."""

from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

SLOW_MS = 120_000
BEGIN_NEW = "Begin a new practical"
PHONE, LAPTOP = {"width": 360, "height": 640}, {"width": 1366, "height": 768}
TABLET, PROJECTOR = {"width": 768, "height": 1024}, {"width": 1920, "height": 1080}
TARGETS = "button,summary,input,select,textarea,header a"
TARGET_PX = 44
"""WCAG 2.2, success criterion 2.5.5: the smallest target for a finger."""


class Quiet(SimpleHTTPRequestHandler):
    """Tells nobody what was asked for."""

    def log_message(self, *_):
        pass


@contextmanager
def serving(folder):
    """The address at which this machine serves a folder."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder))) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def begun(page):
    """Begin a new whole practical."""
    page.get_by_role("button", name=BEGIN_NEW).click()
    page.get_by_role("button", name="The whole practical").click()
    return page


def gone_on(page):
    """Go on with the practical that the browser has kept."""
    page.get_by_role("button", name="Go on with").first.click(timeout=SLOW_MS)
    page.wait_for_selector("#work:visible")
    return page


def saved(page, folder, button="Save the file"):
    """The file that the page gives to be saved, in a folder."""
    press = page.get_by_role("button", name=button).first.click
    browser = page.context.browser
    if browser.browser_type.name == "firefox":
        # The driver is told of no download of Firefox's: what comes into its folder is waited for.
        press()
        while not (there := [one for one in browser.saves.iterdir() if one.stat().st_size]):
            page.wait_for_timeout(10)
        (came,) = there
        folder.mkdir(exist_ok=True)
        return came.replace(folder / came.name)
    with page.expect_download() as download:
        press()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def in_each_window(page):
    """The same page in windows of every kind, one after another."""
    for window in (PHONE, TABLET, LAPTOP, PROJECTOR):
        page.set_viewport_size(window)
        yield window


def too_wide(page):
    """What reaches beyond the window, but for a table to write in, which may be moved sideways."""
    return page.evaluate(
        """() => [...document.querySelectorAll('body *')].filter((one) => {
          const box = one.getBoundingClientRect();
          if (!box.width || one.closest('.unseen,.wide,symbol')) return false;
          if (one.closest('svg') && one.tagName !== 'svg') return false;
          return box.right > innerWidth + 1 || box.left < -1;
        }).map((one) => one.outerHTML.slice(0, 90))"""
    )


def too_small(page):
    """What is to be pressed or written in and is smaller than a finger."""
    return page.evaluate(
        """([targets, least]) => [...document.querySelectorAll(targets)]
          .map((one) => [one.outerHTML.slice(0, 60), one.getBoundingClientRect()])
          .filter(([, box]) => box.width && (box.width < least || box.height < least))
          .map(([html]) => html)""",
        [TARGETS, TARGET_PX],
    )
