"""The page as a file: what it is made of, what is refused, and what may not stand in its script."""

import base64
import hashlib
import importlib
import io
import re
import sys
import zipfile

import pytest

from analysis.marking.questions import QUESTIONS_OF
from sim.__main__ import main
from sim.bench.model import hints
from sim.bench.model.along_bench import THINGS
from sim.page import builder, bytecode
from tests.page.made_runtime import laid_out

SCRIPT = "".join((builder.HERE / name).read_text("utf-8") for name in builder.SCRIPTS)


@pytest.fixture
def runtime(tmp_path, monkeypatch):
    return laid_out(tmp_path, monkeypatch)


def test_an_empty_folder_is_refused_in_one_sentence(tmp_path, capsys):
    out = tmp_path / "page.html"
    assert main(["page", "--runtime", str(tmp_path), "--out", str(out)]) == 1
    said = capsys.readouterr().err.strip()
    assert "pyodide.mjs" in said
    assert "pyodide 314.0.7" in said
    assert "Traceback" not in said
    assert not out.exists()


@pytest.mark.parametrize("name", [*builder.RUNTIME_FILES, builder.WHEEL])
def test_another_file_than_the_pinned_one_is_refused(runtime, capsys, name):
    (runtime / name).write_bytes(b"another")
    out = runtime / "page.html"
    assert main(["page", "--runtime", str(runtime), "--out", str(out)]) == 1
    assert f"{name} is not the file" in capsys.readouterr().err
    assert not out.exists()


def test_the_page_allows_its_own_script_and_no_network(runtime):
    page = builder.single_page(builder.page_parts(runtime)).decode()
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)[1]
    script = re.search(r"<script>(.*?)</script>", page, re.DOTALL)[1]
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1]
    for text in (script, style):
        assert base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() in policy
    assert "default-src 'none'" in policy
    assert "connect-src" not in policy
    assert not re.search(r"https?:|\*|unsafe-inline|unsafe-eval'(?<!wasm-unsafe-eval')", policy)
    assert "a licence &lt;of&gt; its own" in page
    assert "Mozilla Public License" in page
    assert "PYTHON SOFTWARE FOUNDATION LICENSE" in page
    assert "{{" not in page.replace(script, "")


def test_the_same_program_makes_the_same_page(runtime):
    first, second = (builder.page_parts(runtime) for _ in range(2))
    assert builder.single_page(first) == builder.single_page(second)
    assert builder.page_folder(first) == builder.page_folder(second)


def test_the_program_inside_needs_no_window_and_no_file_of_the_teacher():
    with zipfile.ZipFile(io.BytesIO(builder.program_archive())) as packed:
        names = packed.namelist()
    assert "sim/page/bridge.py" in names
    assert "numpy/__init__.py" in names
    assert "analysis/marking/sentences/criteria.toml" in names
    assert not [name for name in names if name.startswith(("sim/bench/screen", "sim/classroom"))]


def test_the_script_makes_no_html_of_words_and_asks_no_address():
    assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(", SCRIPT)
    addresses = set(re.findall(r"https?://[^\"'/]+", SCRIPT))
    assert addresses == {"http://www.w3.org", "https://inside.invalid"}


def test_one_place_in_the_script_makes_buttons():
    assert len(re.findall(r"made\(\s*\"button\"", SCRIPT)) == 1


def test_no_rule_question_unit_or_hint_is_written_in_the_script():
    by_hand = [*hints.ALL, *(words for words, _ in THINGS.values())]
    words = [words for pair in by_hand for words in pair]
    words += [asked.words for asked in (one for page in QUESTIONS_OF.values() for one in page)]
    assert len(words) > 50
    assert not [one for one in words if one in SCRIPT]
    literals = re.findall(r"\"[^\"\n]*\"|'[^'\n]*'|`[^`\n]*`", SCRIPT)
    assert not [one for one in literals if re.search(r"°|\b(cm|mm|ml|kg|Celsius|kelvin)\b", one)]


def archive_of(sources):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        for name, source in sources.items():
            packed.writestr(name, source)
    return made.getvalue()


def test_what_was_imported_is_compiled_and_does_the_same(tmp_path, monkeypatch):
    sources = {"first_one.py": "WORD = 'sphere'\nimport math\n", "second_one.py": "WORD = 2\n"}
    path = tmp_path / "some.zip"
    path.write_bytes(archive_of(sources))
    monkeypatch.syspath_prepend(str(path))
    importlib.import_module("first_one")
    made = bytecode.compiled(path.read_bytes(), str(path))
    assert made == bytecode.compiled(path.read_bytes(), str(path))
    with zipfile.ZipFile(io.BytesIO(made)) as packed:
        assert packed.namelist() == ["first_one.pyc", "second_one.py"]
        assert packed.read("second_one.py").decode() == sources["second_one.py"]
    path.with_name("compiled.zip").write_bytes(made)
    monkeypatch.syspath_prepend(str(path.with_name("compiled.zip")))
    del sys.modules["first_one"]
    again = importlib.import_module("first_one")
    assert again.__file__.endswith("compiled.zip/first_one.pyc")
    assert again.WORD == "sphere"


@pytest.mark.parametrize("node", ["#!/bin/sh\nexit 1\n", "no program at all", None])
def test_without_a_node_that_runs_the_sources_are_packed_and_it_is_said(
    runtime, monkeypatch, capsys, node
):
    folder = runtime / "programs"
    folder.mkdir()
    if node is not None:
        (folder / "node").write_text(node, encoding="utf-8")
        (folder / "node").chmod(0o755)
    monkeypatch.setenv("PATH", str(folder))
    out = runtime / "page.html"
    assert main(["page", "--runtime", str(runtime), "--out", str(out)]) == 0
    assert "begins later" in capsys.readouterr().out
    assert out.read_bytes() == builder.single_page(builder.page_parts(runtime))
