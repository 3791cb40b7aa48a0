"""The program and the library compiled ahead, so that a page begins in half the time.

Bytecode belongs to one version of Python, so the page's own interpreter makes it: Node.js runs that
interpreter where the page is made (`bytecode.mjs`). Without Node.js the page holds the sources,
does the same, and begins later.
"""

from __future__ import annotations

import io
import marshal
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Mapping
from importlib.util import MAGIC_NUMBER, source_hash
from pathlib import Path

SCRIPT = Path(__file__).with_suffix(".mjs")
NEEDED, COMPILED = ("program.zip", "msgspec.whl"), ("python_stdlib.zip", "program.zip")
UNCHECKED = (0b01).to_bytes(4, "little")
"""The flags of bytecode that is told by its source's hash, and believed where that is not there.

Source: PEP 552.
"""
PACKED_AT = (2020, 1, 1, 0, 0, 0)
"""Every file in an archive bears this time: the same program makes the same page."""
NOT_IN_A_BROWSER = (
    "_pyrepl/",
    "bdb.py",
    "doctest.py",
    "ftplib.py",
    "http/",
    "imaplib.py",
    "mailbox.py",
    "multiprocessing/",
    "pdb.py",
    "pydoc.py",
    "pydoc_data/",
    "smtplib.py",
    "tarfile.py",
    "turtle.py",
    "unittest/",
    "wsgiref/",
    "xml/",
    "xmlrpc/",
)
"""What of the library has no use in a page: other computers, other processes, finding faults."""
LONGEST_S = 600.0
LATER = "its program is not compiled, so it begins later"


def compiled_ahead(
    runtime: Path, parts: Mapping[str, bytes]
) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The parts of a page, compiled where that can be; if not, as given, and why in a sentence.

    `runtime` is the folder of the interpreter, whose files are the pinned ones.
    """
    node = shutil.which("node")
    if node is None:
        return dict(parts), (f"Node.js is not on this computer: {LATER}.",)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for part in NEEDED:
            (folder / part).write_bytes(parts[part])
        command = [node, str(SCRIPT), str(runtime.resolve()), name]
        try:
            subprocess.run(command, capture_output=True, check=True, timeout=LONGEST_S)
        except (OSError, subprocess.SubprocessError):
            return dict(parts), (f"Node.js could not run it (20 or newer can): {LATER}.",)
        return dict(parts) | {part: (folder / part).read_bytes() for part in COMPILED}, ()


def compiled(archive: bytes, place: str) -> bytes:
    """An archive in which what is imported is bytecode, and what is not stays a source.

    To be called in the interpreter that is to read it; `place` is where the archive's files lie.
    """
    modules = (str(getattr(module, "__file__", None)) for module in list(sys.modules.values()))
    imported = {file.removeprefix(f"{place}/") for file in modules if file.startswith(place)}
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(archive)) as given, zipfile.ZipFile(made, "w") as packed:
        for entry in given.infolist():
            name, content = entry.filename, given.read(entry)
            if name.startswith(NOT_IN_A_BROWSER) and name not in imported:
                continue
            if name in imported:
                name, content = f"{name}c", _bytecode(content, f"{place}/{name}")
            packed.writestr(zipfile.ZipInfo(name, PACKED_AT), content, entry.compress_type)
    return made.getvalue()


def _bytecode(source: bytes, path: str) -> bytes:
    code = compile(source, path, "exec", dont_inherit=True)
    return MAGIC_NUMBER + UNCHECKED + source_hash(source) + marshal.dumps(code)
