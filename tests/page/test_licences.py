"""Whatever is packed into the page and is not ours has its licence text there."""

import html
import io
import re
import zipfile

import pytest

from sim.page import builder
from sim.page.third_party import licences
from tests.page.made_runtime import laid_out

OURS = {"physics", "analysis", "sim", "scipy", "program.zip", "class.json"}
"""Our packages, the stand-in that holds nothing of scipy's, and the parts that are made of ours."""
TERMS = re.compile(
    r"Permission is hereby granted|Redistribution and use|Mozilla Public|PYTHON SOFT"
)


@pytest.fixture
def parts(tmp_path, monkeypatch):
    return builder.page_parts(laid_out(tmp_path, monkeypatch))


def packed_names(parts):
    with zipfile.ZipFile(io.BytesIO(parts["program.zip"])) as program:
        return {*parts, *(name.split("/")[0] for name in program.namelist())}


def test_whatever_is_packed_and_not_ours_has_its_licence(parts):
    theirs = packed_names(parts) - OURS
    assert {"msgspec.whl", "pyodide.asm.wasm", "rapidfuzz", "snowballstemmer"} <= theirs
    given = licences(parts["msgspec.whl"])
    assert frozenset().union(*(one.covers for one in given)) == theirs
    assert not [one.of for one in given if one.of != "msgspec" and not TERMS.search(one.text)]


@pytest.mark.parametrize("form", ["file", "folder"])
def test_every_licence_stands_on_the_page_in_full(parts, form):
    page = {
        "file": lambda: builder.single_page(parts),
        "folder": lambda: builder.page_folder(parts)[builder.INDEX],
    }[form]().decode()
    shown = [html.unescape(text) for text in re.findall(r"<pre>(.*?)</pre>", page, re.DOTALL)]
    assert shown == [one.text for one in licences(parts["msgspec.whl"])]
    for holder in ("Max Bachmann", "Martin Porter", "Guido van Rossum", "Emscripten", "Julia"):
        assert any(holder in text for text in shown), holder
