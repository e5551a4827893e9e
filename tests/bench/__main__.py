"""Runs the benchmarks of this folder: `make bench`, or some: `make bench ONLY=NAME`.

A benchmark is a module with `run()`. It prints what it measured, and may return pairs
of a name and a ratio: against a reference taken in the same run on the same computer,
so that the figure means the same on a slow one.
"""

import os
import sys
import time
from importlib import import_module
from pkgutil import iter_modules

from tests import bench


def benchmarks(wanted):
    found = [name for _, name, _ in iter_modules(bench.__path__) if name != "__main__"]
    unknown = sorted(set(wanted) - set(found))
    if unknown:
        sys.exit(f"No benchmark {', '.join(unknown)}; there are {', '.join(found)}.")
    return wanted or found


def main(wanted):
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    for name in benchmarks(wanted):
        sys.stdout.write(f"== {name}\n")
        sys.stdout.flush()
        started = time.perf_counter()
        ratios = import_module(f"tests.bench.{name}").run() or []
        for what, ratio in ratios:
            sys.stdout.write(f"{what}: ratio {ratio:.3g}\n")
        sys.stdout.write(f"took {time.perf_counter() - started:.0f} s\n")


if __name__ == "__main__":
    main(sys.argv[1:])
