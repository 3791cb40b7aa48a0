"""Does what `tests/page/doing.py` has, with the stand-in for numpy and no heavy library, as JSON.

python without_libraries.py TASK [NUMBER ...]
"""

import importlib.abc
import json
import os
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
STANDIN = ROOT / "sim" / "page" / "standin"
MISSING = {"scipy", "pandas", "matplotlib", "pygame", "filelock", "PIL"}


class Missing(importlib.abc.MetaPathFinder):
    """Finds nothing of what a browser has not."""

    def find_spec(self, fullname, path=None, target=None):
        if fullname.split(".")[0] in MISSING - {one.name for one in STANDIN.iterdir()}:
            raise ModuleNotFoundError(f"a browser has no {fullname}", name=fullname)


if __name__ == "__main__":
    os.environ["RAPIDFUZZ_IMPLEMENTATION"] = "python"  # its compiled part has no wheel there
    sys.meta_path.insert(0, Missing())
    sys.path[:0] = [str(STANDIN), str(ROOT)]
    import numpy

    from tests.page import doing

    assert Path(numpy.__file__).is_relative_to(STANDIN)
    print(json.dumps(getattr(doing, sys.argv[1])(*map(int, sys.argv[2:]))))
