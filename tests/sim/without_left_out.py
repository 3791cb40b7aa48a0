"""Imports a portable folder's program and runs commands, with all missing that it leaves out.

    python without_left_out.py PATTERNS PROGRAM [COMMAND ...]

PATTERNS, as JSON, are those of what is left out; PROGRAM is the folder's, whose every module is
imported; a COMMAND begins with `sim` or `analysis`. Python and its packages are this system's, laid
out a little differently from Windows' own.
"""

import importlib
import json
import sys
import sysconfig
from fnmatch import fnmatchcase
from importlib.machinery import EXTENSION_SUFFIXES, PathFinder
from importlib.util import spec_from_file_location
from pathlib import Path

PYTHONS_OWN, PACKAGES = Path(sysconfig.get_path("stdlib")), Path(sysconfig.get_path("platlib"))


class Missing:
    """Finds nothing of what is left out; of compiled twins, the one in plain Python."""

    def __init__(self, patterns):
        self.patterns = patterns

    def find_spec(self, name, path=None, target=None):
        found = PathFinder.find_spec(name, path, target)
        if found is None or not found.has_location or not self.left_out(name, found.origin):
            return None
        twin = Path(found.origin).with_name(name.rpartition(".")[2] + ".py")
        if compiled(found.origin) and twin.is_file() and not self.left_out(name, twin):
            return spec_from_file_location(name, twin)
        raise ModuleNotFoundError(f"{name} is left out", name=name)

    def left_out(self, name, origin):
        there = in_folder(name, Path(origin))
        return any(fnmatchcase(there, pattern) for pattern in self.patterns)


def compiled(origin):
    return str(origin).endswith(tuple(EXTENSION_SUFFIXES))


def in_folder(name, origin):
    """Where Windows' Python or packages have what this system has at a place."""
    own = origin.is_relative_to(PYTHONS_OWN) and not origin.is_relative_to(PACKAGES)
    parts = name.split(".")
    if compiled(origin):
        return f"python/{parts[-1]}.pyd" if own else "/".join(parts) + ".cp312-win_amd64.pyd"
    if origin.name == "__init__.py":
        parts.append("__init__")
    return ("python/python312.zip/" if own else "") + "/".join(parts) + (".pyc" if own else ".py")


def modules(program):
    """The names of the program's modules but those that run a command or stand in for numpy."""
    for path in sorted(program.rglob("*.py")):
        within = path.relative_to(program).with_suffix("")
        if path.stem != "__main__" and "standin" not in within.parts:
            yield ".".join(within.parts).removesuffix(".__init__")


if __name__ == "__main__":
    patterns, program, *commands = sys.argv[1:]
    sys.path.pop(0)  # the tests' own folder
    sys.meta_path.insert(0, Missing(json.loads(patterns)))
    for gone in ("scipy.stats", "sqlite3"):
        try:
            importlib.import_module(gone)
        except ModuleNotFoundError:
            continue
        sys.exit(f"{gone} is left out and was found")
    imported = [importlib.import_module(name).__name__ for name in modules(Path(program))]
    assert {"physics.ball", "analysis.report.content", "sim.bench.screen.app"} <= set(imported)
    for command in commands:
        package, *words = command.split()
        if importlib.import_module(f"{package}.__main__").main(words):
            sys.exit(command)
