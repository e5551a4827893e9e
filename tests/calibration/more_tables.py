"""Second part of the coverage tables: dependent lives, rates, forecasts, units.

Slow cells take a share of the runs; every row prints how many it took.
"""

from tests.calibration.clustered_coverage import clustered_coverage
from tests.calibration.forecast_coverage import (
    forecast_coverage,
    replacement_coverage,
)
from tests.calibration.rate_coverage import (
    pool_coverage,
    rate_ratio_coverage,
    shown_rate_coverage,
)
from tests.calibration.repairable_coverage import (
    several_systems_coverage,
    staggered_curve_coverage,
)

POSITIONS = ((0.3, 5), (0.3, 10), (0.3, 20), (0.3, 40), (0.3, 60), (0.001, 10))
POOLS = ((1, 3, 10), (1, 3, 30), (2, 3, 30), (2, 3, 100), (5, 3, 100))
SHOWN_RATES = (
    (3, 0.0),
    (3, 0.3),
    (3, 0.6),
    (10, 0.0),
    (10, 0.3),
    (40, 0.3),
    (160, 0.3),
)
RATES = ((1, 1), (3, 1), (3, 3), (10, 3), (10, 10), (30, 10))
SYSTEMS = (
    (3, 3, "time", False),
    (3, 3, "time", True),
    (10, 1, "time", True),
    (3, 3, "failure", False),
    (3, 10, "failure", False),
)
CURVES = ((10, 1), (20, 1), (40, 1), (40, 3), (80, 1))
FORECASTS = ((3, 0.0, False), (5, 0.5, False), (10, 0.5, False), (30, 0.5, False))
KNOWN_SHAPES = ((1, 0.9, True), (3, 0.9, True))
REPLACEMENTS = ((5, 0.0), (10, 0.0), (10, 0.5), (30, 0.5))


def clustered_table(runs, seed, write):
    write("| lives of one position | positions | runs | refused | warned |")
    write(" shape | scale | B10 |\n|---|---|---|---|---|---|---|---|\n")
    for row, (tie, positions) in enumerate(POSITIONS):
        for column, cut in enumerate((0.0, 0.5)):
            shares, refused, warned = clustered_coverage(
                positions, tie, cut, runs, [seed, 201, row, column]
            )
            name = "complete" if cut == 0.0 else "half cut"
            write(f"| tau {tie:.1f}, {name} | {positions} | {runs:,} |")
            write(f" {refused:.1%} | {warned:.0%} |")
            write("".join(f" {text(found)} |" for found in shares.values()) + "\n")


def other_cells(runs, seed):
    """Yield name, size, runs, refused, warned (None: not counted), shares."""
    for row, (alpha, expected, units) in enumerate(POOLS):
        shares, even, warned = pool_coverage(
            units, alpha, expected, max(1, 10 * runs // units), [seed, 202, row]
        )
        name = f"rate of one unit, alpha {alpha} (pool read as homogeneous {even:.0%})"
        yield name, f"{units} units", 10 * runs // units, 0.0, warned, shares
    for row, (units, spread) in enumerate(SHOWN_RATES):
        number = max(1, 10 * runs // units)
        shares, even = shown_rate_coverage(units, spread, 2, number, [seed, 208, row])
        name = (
            f"rate of one unit, spread {spread}, 2 events (read as without {even:.0%})"
        )
        yield name, f"{units} units", number, 0.0, None, shares
    for row, (first, second) in enumerate(RATES):
        shares = rate_ratio_coverage(first, second, 5 * runs, [seed, 203, row])
        yield "ratio of two rates", f"{first} : {second}", 5 * runs, 0.0, None, shares
    for row, (systems, each, ended, unequal) in enumerate(SYSTEMS):
        shape, mtbf, refused = several_systems_coverage(
            systems, each, ended, unequal, runs, [seed, 204, row]
        )
        name = f"several systems, {'unequal ends' if unequal else f'{ended} ended'}"
        size = f"{systems} of {each} events"
        warned = float(ended == "failure" and systems * each < 30)
        yield f"{name}: shape", size, runs, refused, 0.0, shape
        yield f"{name}: present MTBF", size, runs, refused, warned, mtbf
    for row, (units, spread) in enumerate(CURVES):
        shares, refused, warned = staggered_curve_coverage(
            units, spread, runs, [seed, 205, row]
        )
        name = f"mean curve, staggered entry, rates gamma {spread}"
        yield name, f"{units} units", runs, refused, warned, shares


def slow_cells(runs, seed):
    for row, (failures, cut, known) in enumerate((*FORECASTS, *KNOWN_SHAPES)):
        shares, refused = forecast_coverage(
            failures, cut, known, runs, [seed, 206, row]
        )
        name = f"forecast, {'shape known' if known else 'free shape'}, {cut:.0%} cut"
        yield name, f"{failures} failures", runs, refused, None, shares
    for row, (failures, cut) in enumerate(REPLACEMENTS):
        age, saving, refused = replacement_coverage(
            failures, cut, runs, [seed, 207, row]
        )
        size = f"{failures} failures, {cut:.0%} cut"
        yield "best replacement age", size, runs, refused, None, age
        yield "saving of the advised age", size, runs, refused, None, saving


def more_tables(runs, seed, write):
    """Print the tables; `runs` is that of the main table."""
    write("\nClustered by position, 3 lives each, shown intervals at 90 %.\n\n")
    clustered_table(max(1, runs // 10), seed, write)
    write("\n| interval | size | runs | refused | warned | covered |\n")
    write("|---|---|---|---|---|---|\n")
    cells = (
        *other_cells(max(10, runs // 5), seed),
        *slow_cells(max(10, runs // 20), seed),
    )
    for name, size, number, refused, warned, shares in cells:
        said = "" if warned is None else f"{warned:.0%}"
        write(f"| {name} | {size} | {number:,} | {refused:.1%} | {said} |")
        write(f" {text(shares)} |\n")


def text(shares):
    covered, below, above = (100.0 * share for share in shares)
    return f"{covered:.1f} ({below:.1f}/{above:.1f})"
