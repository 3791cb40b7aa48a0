"""The whole practical as a page: interpreter, program, style and script, in one file or a folder.

What is not ours is pinned by its SHA-256 and refused where it differs, so a page is made of exactly
what was tried. The one file asks no network: its content security policy allows none. A page in a
folder asks for the parts beside it, and its policy allows no other place.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import io
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.refusal import Refused, reason
from sim.bench.ui import theme
from sim.classroom.page_places import places_content
from sim.page.bytecode import PACKED_AT
from sim.page.third_party import library_sources, licences_html

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sim.classroom.page_places import ClassPlace

RUNTIME = "the npm package pyodide 314.0.7"
RUNTIME_FILES = {
    "pyodide.mjs": "6f1d60f7bf529beb300f0f47983c921d3982363640ba20af0e38efdddbc66109",
    "pyodide.asm.mjs": "f7cdc8ece80678ceb712f8e65ebe6d3a83203a180c399865f49612a051693635",
    "pyodide.asm.wasm": "cc36e3cab04fdfc9a63ff13eb52eae2b911bf46c025cc7b281f394bd3de1d5e6",
    "python_stdlib.zip": "fa1957e5777068fc4f7437f96d860ae2fbe9c19732ba06c84e004ec16dd7dd7a",
    "pyodide-lock.json": "5dc2fc119108bc148c7457dc86e7675b5c87e1cafd420b9c34c1eaef7b36c010",
}
WHEEL = "msgspec-0.22.0-cp314-cp314-pyemscripten_2026_0_wasm32.whl"
WHEEL_HASH = "a66b1766311e42371e509c996c3933b161c7ae0eabdf361af5316dec197e1022"
HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PACKAGES = ("physics", "analysis", "sim")
LEFT_OUT = (
    "sim/bench/screen",
    "sim/calibration",
    "sim/classroom",
    "sim/commands",
    "sim/pictures",
    "sim/teaching",
    "sim/page/builder.py",
    "sim/page/licences",
    "sim/page/standin",
    "sim/page/third_party.py",
)
"""What the page does not need: windows, commands, what is the teacher's, and how it is made."""
SUFFIXES = (".py", ".toml", ".json", ".txt")
SCRIPTS = ("kept.js", "book.js", "paper.js", "bench.js", "things.js", "places.js", "page.js")
"""One script in the page, in this order; the last begins the work."""
CLASS_PART, INDEX = "class.json", "index.html"
STANDIN = HERE / "standin"


def page_parts(runtime: Path, places: tuple[ClassPlace, ...] = ()) -> dict[str, bytes]:
    """What a page is made of, by name: the runtime's files from a folder, the wheel, the program.

    With `places` it is the page of a whole class.

    Raises:
        Refused: a file is missing, cannot be read, or is not the one that was pinned.

    """
    parts = {name: _pinned(runtime / name, pin) for name, pin in RUNTIME_FILES.items()}
    parts |= {"msgspec.whl": _pinned(runtime / WHEEL, WHEEL_HASH), "program.zip": program_archive()}
    return parts | ({CLASS_PART: places_content(places)} if places else {})


def single_page(parts: Mapping[str, bytes]) -> bytes:
    """The page with its parts inside, as one file."""
    inside = {name: base64.b64encode(_packed(content)).decode() for name, content in parts.items()}
    return _page(parts, (_part(name, "", text) for name, text in inside.items()))


def page_folder(parts: Mapping[str, bytes]) -> dict[str, bytes]:
    """The page with its parts beside it, for a web server: the files of the folder by name.

    A part is asked for by its hash too, so that no browser takes one of an earlier page for it.
    """
    files = {beside_page(name): _packed(content) for name, content in parts.items()}
    beside = (
        _part(name, f' data-beside="{file}?{_hash(content)}"', "")
        for name, (file, content) in zip(parts, files.items(), strict=True)
    )
    return {INDEX: _page(parts, beside, "connect-src 'self'; "), **files}


def beside_page(part: str) -> str:
    """What a part is called as a file beside the page."""
    return f"{part}.gz"


def _page(parts: Mapping[str, bytes], elements: Iterable[str], network: str = "") -> bytes:
    """The page round its parts; `network` is what its policy allows to be asked for."""
    style, script = _colours() + _text("page.css"), "".join(map(_text, SCRIPTS))
    filled = {
        "policy": _policy(style, script, network),
        "style": style,
        "apparatus": _text("apparatus.svg"),
        "licences": licences_html(parts["msgspec.whl"]),
        "parts": "\n".join(elements),
        "script": script,
    }
    page = _text("page.html")
    for name, text in filled.items():
        page = page.replace("{{" + name + "}}", text)
    return page.encode()


def program_archive() -> bytes:
    """The program's own sources, and what it needs of libraries or has in their place, as a zip."""
    sources = {
        path.relative_to(ROOT).as_posix(): path
        for package in PACKAGES
        for path in (ROOT / package).rglob("*")
        if path.suffix in SUFFIXES
    }
    kept = {name: path for name, path in sources.items() if not name.startswith(LEFT_OUT)}
    kept |= {
        path.relative_to(STANDIN).as_posix(): path
        for path in STANDIN.rglob("*")
        if path.suffix in SUFFIXES
    }
    kept |= library_sources()
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_STORED) as packed:  # compressed as a whole later
        for name, path in sorted(kept.items()):
            packed.writestr(zipfile.ZipInfo(name, PACKED_AT), path.read_bytes())
    return archive.getvalue()


def _pinned(path: Path, pin: str) -> bytes:
    """The content of a file that must be the pinned one."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise Refused(
            f"{path.name} cannot be read in {path.parent}: {reason(error)}",
            mend=f"give the folder of {RUNTIME}, unpacked, with {WHEEL} put into it",
        ) from error
    if _hash(content) != pin:
        raise Refused(
            f"{path.name} is not the file that this program was tried with: its SHA-256 differs",
            mend=f"take it from {RUNTIME}, and {WHEEL} from the Python registry",
        )
    return content


def _text(name: str) -> str:
    return (HERE / name).read_text(encoding="utf-8")


def _packed(content: bytes) -> bytes:
    return gzip.compress(content, 9, mtime=0)


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _part(name: str, attribute: str, text: str) -> str:
    return f'<script type="text/plain" id="{name}"{attribute}>{text}</script>'


def _policy(style: str, script: str, network: str) -> str:
    """Only what stands in the page may run; the interpreter is made of its own parts (blob:)."""
    style_hash, script_hash = (
        base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        for text in (style, script)
    )
    return (
        f"default-src 'none'; {network}style-src 'sha256-{style_hash}'; img-src data:; "
        f"script-src 'sha256-{script_hash}' 'wasm-unsafe-eval' blob:; "
        "base-uri 'none'; form-action 'none'"
    )


def _colours() -> str:
    """The bench's colours by their names, for the style sheet."""
    colours = {
        name.lower().replace("_", "-"): value
        for name, value in vars(theme).items()
        if name.isupper() and isinstance(value, tuple) and len(value) == 3
    }
    named = (f"--{name}:rgb{value}" for name, value in colours.items() if _is_colour(value))
    return ":root{" + ";".join(named).replace(" ", "") + "}\n"


def _is_colour(value: tuple[object, ...]) -> bool:
    return all(isinstance(part, int) for part in value)
