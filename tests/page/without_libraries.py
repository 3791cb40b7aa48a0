"""Does tasks of this folder with the page's own program and nothing else, told as JSON.

    python without_libraries.py PROGRAM [[TASK, NUMBER ...] ...]

A TASK is a function of `doing.py`, or of the file that it names: "rehearsed.calls".
PROGRAM is a folder with what is packed into the page. Beside that there is Python itself and
msgspec: what else is installed here cannot be found, as in a browser.
"""

import importlib
import importlib.abc
import json
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


class Missing(importlib.abc.MetaPathFinder):
    """Finds nothing of what a browser has not."""

    def __init__(self, program):
        self._there = {"msgspec", "tests", *(one.name for one in program.iterdir())}

    def find_spec(self, fullname, path=None, target=None):
        top = fullname.split(".")[0]
        if top not in sys.stdlib_module_names and top not in self._there:
            raise ModuleNotFoundError(f"a browser has no {fullname}", name=fullname)


if __name__ == "__main__":
    program = Path(sys.argv[1])
    sys.meta_path.insert(0, Missing(program))
    sys.path[:0] = [str(program)]
    sys.path.append(str(ROOT))
    import numpy

    assert Path(numpy.__file__).is_relative_to(program)
    done = []
    for task, *numbers in json.loads(sys.argv[2]):
        module, _, name = task.rpartition(".")
        doing = importlib.import_module(f"tests.page.{module or 'doing'}")
        done.append(getattr(doing, name)(*numbers))
    print(json.dumps(done))
