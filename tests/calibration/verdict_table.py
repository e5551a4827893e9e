"""How often each verdict on an action comes up, as Markdown."""

from analytics.judging.verdict import Finding
from tests.calibration.verdicts import findings

SEED = 20190731
SHOWN = (Finding.WORKS, Finding.UNPROVEN, Finding.DOES_NOT)
NOTHING = [
    (f"nothing done, equal pumps, {rate} a year", 3, after, {"rate": rate})
    for rate in (0.3, 0.6, 1.2)
    for after in (1, 2)
]
ROWS = (
    *NOTHING,
    ("nothing done, equal pumps, 0.6 a year", 1, 1, {"rate": 0.6}),
    ("nothing done, rates spread", 3, 1, {"rate": 0.6, "shape": 2.0}),
    ("nothing done, rates spread a little", 3, 2, {"rate": 0.6, "shape": 8.0}),
    ("all the works halved", 3, 1, {"rate": 0.6, "shape": 2.0, "works": 0.5}),
    ("halved, equal pumps", 3, 2, {"rate": 0.6, "effect": 0.5}),
    ("halved, rates spread", 3, 1, {"rate": 0.6, "shape": 2.0, "effect": 0.5}),
    ("halved, rates spread", 3, 2, {"rate": 0.6, "shape": 2.0, "effect": 0.5}),
    (
        "halved, rates spread, 1.2 a year",
        3,
        1,
        {"rate": 1.2, "shape": 2, "effect": 0.5},
    ),
)


def verdict_table(fleets, write):
    heads = " | ".join(f"{finding}, %" for finding in SHOWN)
    write(f"| Ten worst of 160 | months before | after | {heads} |\n")
    write("|---|---|---|---|---|---|\n")
    for row, (name, before, after, design) in enumerate(ROWS):
        seed = [SEED, 301, row]
        found = findings(fleets, seed, before=before, after=after, **design)
        write(f"| {name} | {12 * before} | {12 * after} |")
        for finding in SHOWN:
            write(f" {100 * found.get(finding, 0.0):.1f} |")
        write("\n")
    write("\n")
