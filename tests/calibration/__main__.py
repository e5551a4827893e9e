"""Coverage tables: `python -m tests.calibration [runs]`, 10,000 runs by default."""

import sys
import time

from tests.calibration.designs import Design
from tests.calibration.flag_table import flag_tables
from tests.calibration.more_tables import more_tables
from tests.calibration.other_coverage import (
    kaplan_meier_coverage,
    mean_curve_coverage,
    mtbf_coverage,
    power_law_coverage,
)
from tests.calibration.verdict_table import verdict_table
from tests.calibration.weibull_coverage import METHODS, TARGETS, cell_coverage

SEED = 20190731
FAILURES = (3, 5, 10, 15, 30, 100)
KINDS = (
    ("complete", 0.0),
    ("time ended", 0.5),
    ("time ended", 0.9),
    ("failure ended", 0.5),
    ("failure ended", 0.9),
    ("late entry", 0.5),
)
LEAST = 0.87


def weibull_table(runs, write):
    write(f"Weibull intervals at 90 %, {runs:,} runs a cell: share covered")
    write(" (truth below / above the interval), per cent.\n\n")
    write("| design | failures | refused | mean shape | corrected | median |")
    write("".join(f" {m} {t} |" for m in METHODS for t in TARGETS) + "\n")
    write("|---" * (6 + len(METHODS) * len(TARGETS)) + "|\n")
    low = []
    for row, (kind, cut) in enumerate(KINDS):
        for column, failures in enumerate(FAILURES):
            design = Design(kind, failures, cut)
            cell = cell_coverage(design, runs, [SEED, row, column])
            write(f"| {design.name} | {failures} | {cell.refused:.1%} |")
            write(f" {cell.mean_shape:.3f} | {cell.corrected_mean:.3f} |")
            write(f" {cell.median_shape:.3f} |")
            for method in METHODS:
                for target in TARGETS:
                    found = cell.coverage[method, target]
                    write(f" {100 * found.covered:.1f} ({100 * found.below:.1f}/")
                    write(f"{100 * found.above:.1f}) |")
                    if method == "calibrated" and found.covered < LEAST:
                        low.append((design.name, failures, target, found.covered))
            write("\n")
    write(f"\nShown intervals that cover less than {LEAST:.0%}: {low or 'none'}\n")
    return low


def other_table(runs, write):
    write(f"\nOther intervals at 90 %, {runs:,} runs a cell.\n\n")
    write("| interval | size | refused | covered (truth below / above) |\n")
    write("|---|---|---|---|\n")
    rows = []
    for column, size in enumerate((1, 3, 10, 30)):
        shares, refused = mtbf_coverage(size, runs, [SEED, 101, column])
        rows.append(("mean time between events", size, refused, shares))
    for column, size in enumerate((5, 10, 30)):
        shape, mtbf, refused = power_law_coverage(size, runs, [SEED, 102, column])
        rows.append(("power-law shape", size, refused, shape))
        rows.append(("power-law present MTBF", size, refused, mtbf))
    for column, size in enumerate((10, 30, 100)):
        shares, refused = kaplan_meier_coverage(size, runs, [SEED, 103, column])
        rows.append(("Kaplan-Meier at the median", size, refused, shares))
    for column, size in enumerate((10, 30, 100)):
        shares, refused = mean_curve_coverage(size, runs, [SEED, 104, column])
        rows.append(("mean cumulative function", size, refused, shares))
    for name, size, refused, (covered, below, above) in rows:
        write(f"| {name} | {size} | {refused:.1%} | {100 * covered:.1f} ")
        write(f"({100 * below:.1f}/{100 * above:.1f}) |\n")


def main(arguments):
    runs = int(arguments[0]) if arguments else 10_000
    start = time.perf_counter()
    weibull_table(runs, sys.stdout.write)
    other_table(runs, sys.stdout.write)
    more_tables(runs, SEED, sys.stdout.write)
    # A fleet takes as long as many samples.
    fleets = max(1, runs // 10)
    sys.stdout.write(f"\nFlagging rule and verdicts, {fleets:,} fleets a cell.\n\n")
    flag_tables(fleets, sys.stdout.write)
    verdict_table(fleets, sys.stdout.write)
    sys.stdout.write(f"\n{time.perf_counter() - start:.0f} s\n")


if __name__ == "__main__":
    main(sys.argv[1:])
