"""What others made of all that is packed into the page, and under which licences.

The runtime's files are pinned in `builder.py`; the two libraries are those that are installed.
"""

from __future__ import annotations

import html
import io
import zipfile
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

TEXTS = Path(__file__).with_name("licences")
LIBRARIES = ("rapidfuzz", "snowballstemmer")
"""What the marking reads sentences with. Of rapidfuzz the page takes the plain Python that stands
beside its compiled parts."""
NOT_NEEDED = ("rapidfuzz/__pyinstaller/", "rapidfuzz/process_cpp.py")
"""Of the libraries: a tool of packers, and what leads to a compiled part."""


@dataclass(frozen=True)
class Licence:
    """The terms of something in the page.

    `covers` names the parts of the page and the packages of its program that are, or hold, of it.
    """

    of: str
    covers: frozenset[str]
    text: str


def library_sources() -> dict[str, Path]:
    """The plain Python of the libraries: where each file is, by its place in the archive."""
    return {
        file.as_posix(): Path(str(file.locate()))
        for library in LIBRARIES
        for file in metadata.files(library) or ()
        if file.suffix == ".py" and not file.as_posix().startswith(NOT_NEEDED)
    }


def licences(wheel: bytes) -> tuple[Licence, ...]:
    """The licences of all that is in the page and not ours; `wheel` is that of msgspec."""
    return (
        Licence(
            "Pyodide, the interpreter's port to the browser; its sources are at "
            "github.com/pyodide/pyodide (MPL-2.0)",
            frozenset(
                {"pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "pyodide-lock.json"},
            ),
            _text("MPL-2.0.txt"),
        ),
        Licence(
            "Python and its standard library",
            frozenset({"python_stdlib.zip", "pyodide.asm.wasm"}),
            _text("Python.txt"),
        ),
        Licence(
            "Libraries inside the interpreter",
            frozenset({"pyodide.asm.mjs", "pyodide.asm.wasm"}),
            _text("linked.txt"),
        ),
        Licence("NumPy, for its random numbers", frozenset({"numpy"}), _text("NumPy.txt")),
        Licence("msgspec", frozenset({"msgspec.whl"}), _in_wheel(wheel)),
        *(Licence(one, frozenset({one}), _installed(one)) for one in LIBRARIES),
    )


def licences_html(wheel: bytes) -> str:
    """The licences as they stand on the page, each below its heading."""
    return "".join(
        f"<h3>{html.escape(one.of)}</h3><pre>{html.escape(one.text)}</pre>"
        for one in licences(wheel)
    )


def _text(name: str) -> str:
    return (TEXTS / name).read_text(encoding="utf-8")


def _in_wheel(wheel: bytes) -> str:
    with zipfile.ZipFile(io.BytesIO(wheel)) as packed:
        name = next(name for name in packed.namelist() if name.endswith("LICENSE"))
        return packed.read(name).decode()


def _installed(library: str) -> str:
    return "\n".join(
        file.read_text()
        for file in metadata.files(library) or ()
        if file.name in ("LICENSE", "COPYING")
    )
