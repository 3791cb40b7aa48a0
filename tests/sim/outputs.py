"""What a person opens, looked at: that no text from outside has power in it.

Pages and pictures by a parser, tables by cell, PDFs by their text and their objects, what a
terminal gets by byte, and file names on the disk.
"""

import csv
import io
import re
import zipfile
from html.parser import HTMLParser

import pypdf
import python_calamine

STEERING = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)
"""Escapes, carriage returns, other controls, ends of lines, turns of the text, halves of signs."""
FORMULA = re.compile(r"\s*[=+\-@＝＋－＠]")
NUMBER = re.compile(r"-?[0-9.]+(e-?[0-9]+)?")
REFUSED_NAMES = re.compile(r'[<>:"/\\|?*]|[. ]$')
"""What Windows takes in no file name. Source: its own naming rules, from memory."""
LOADING = ("src", "href", "xlink:href", "action", "data", "background", "poster")
ACTIVE = {"script", "iframe", "object", "embed", "form", "base", "link", "foreignobject"}
PDF_ACTIONS = ("/JavaScript", "/JS", "/Launch", "/URI", "/AA", "/EmbeddedFile")


class Page(HTMLParser):
    """A page as a browser meets it: fails at a tag or attribute that could do something."""

    def __init__(self, text):
        super().__init__()
        self.text = []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        assert tag not in ACTIVE, tag
        for name, value in attributes:
            assert not name.startswith("on"), (tag, name)
            assert name not in LOADING or (value or "").startswith(("data:image/", "#")), value
        assert tag != "meta" or "http-equiv" not in dict(attributes)

    def handle_data(self, text):
        self.text.append(text)


def text_is_harmless(text, lines=1):
    """No sign of it steers; and it has no more lines than it should."""
    found = STEERING.search(text)
    assert found is None, ascii(text[max(0, found.start() - 60) : found.end() + 60])
    assert text.rstrip("\n").count("\n") < lines, ascii(text[:200])


def cell_is_harmless(cell):
    text_is_harmless(cell)
    assert not FORMULA.match(cell) or NUMBER.fullmatch(cell), ascii(cell)


def page_is_harmless(content):
    text = content.decode()
    text_is_harmless(text, lines=100_000)
    return "".join(Page(text).text)


def workbook_is_harmless(content):
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        assert not [name for name in book.namelist() if re.search("vba|external|\\.bin", name)]
        for name in book.namelist():
            part = book.read(name)
            assert not re.search(rb"<f[ >]|<hyperlink|table:formula|xlink:href", part), name
    book = python_calamine.load_workbook(io.BytesIO(content))
    rows = [row for name in book.sheet_names for row in book.get_sheet_by_name(name).to_python()]
    texts = [cell for row in rows for cell in row if isinstance(cell, str)]
    for cell in (*texts, *book.sheet_names):
        cell_is_harmless(cell)
    return "\n".join(texts)


def csv_is_harmless(content):
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))
    for cell in (cell for row in rows for cell in row):
        cell_is_harmless(cell)
    return "\n".join(cell for row in rows for cell in row)


def pdf_is_harmless(content):
    pdf = pypdf.PdfReader(io.BytesIO(content))
    for number in range(1, len(pdf.xref[0]) if pdf.xref else 0):
        said = str(pdf.get_object(pypdf.generic.IndirectObject(number, 0, pdf)))
        assert not [action for action in PDF_ACTIONS if f"'{action}'" in said], said[:400]
    text_is_harmless(str(pdf.metadata.title))
    text = "\n".join(page.extract_text() for page in pdf.pages)
    text_is_harmless(text, lines=100_000)
    return text


def data_is_harmless(content):
    """What programs read; somebody may still show it on a terminal."""
    assert not re.search(rb"[\x00-\x09\x0b-\x1f]", content)
    return content.decode()


KINDS = {
    ".html": page_is_harmless,
    ".svg": page_is_harmless,
    ".xlsx": workbook_is_harmless,
    ".ods": workbook_is_harmless,
    ".csv": csv_is_harmless,
    ".pdf": pdf_is_harmless,
    ".json": data_is_harmless,
    ".jsonl": data_is_harmless,
    ".png": lambda _: "",
    ".lock": lambda _: "",
}


def folder_is_harmless(folder):
    """Every file of a folder, and every name in it; gives all that can be read in them."""
    texts = []
    for path in sorted(folder.rglob("*")):
        text_is_harmless(path.name)
        assert not REFUSED_NAMES.search(path.name), path.name
        if path.is_file():
            texts.append(KINDS[path.suffix](path.read_bytes()))
    return "\n".join(texts)
