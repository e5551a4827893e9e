"""How often each verdict on an action comes up, as Markdown.

Beside it what was expected of the treated units if nothing were done, against what
their true rates would have brought.
"""

from analytics.judging.verdict import Finding
from tests.calibration.verdicts import Design, tally

SEED = 20190731
SHOWN = (Finding.WORKS, Finding.UNPROVEN, Finding.DOES_NOT)
HEADS = (
    "treated",
    "months before",
    "after",
    "fleets",
    *(f"{finding}, %" for finding in SHOWN),
    "expected / true",
    "within 90 % limits, % (below/above)",
)
SMOOTH = 2.0**-0.5
EQUAL = [
    (f"ten worst, nothing done, equal pumps, {rate} a year", Design(rate, after=after))
    for rate in (0.3, 0.6, 1.2)
    for after in (1.0, 2.0)
]
SPREAD = [
    (
        f"ten worst, nothing done, spread {spread:.1f}",
        Design(spread=spread, after=after),
    )
    for spread in (0.3, 0.6)
    for after in (1.0, 2.0)
]
TWENTIETH = [
    (
        f"{who}, nothing done, spread {spread}, a twentieth worse",
        Design(spread=spread, bad=8, treated=treated),
    )
    for who, treated in (("ten worst", "worst"), ("flagged", "flagged"))
    for spread in (0.0, 0.3, 0.6)
]
ONE = {"spread": 0.3, "bad": 1, "treated": "planted"}
FIVE_TIMES = ONE | {"times_worse": (5.0, 5.0)}
TEN_TIMES = ONE | {"times_worse": (10.0, 10.0)}
FLAGGED = {"bad": 8, "treated": "flagged"}
ROWS = (
    *EQUAL,
    ("ten worst, nothing done, equal pumps", Design(before=1.0)),
    *SPREAD,
    ("ten worst, nothing done, spread 0.7", Design(spread=SMOOTH)),
    *TWENTIETH,
    (
        "flagged, nothing done, spread 0.6, a twentieth worse, 1.2 a year",
        Design(1.2, after=2.0, spread=0.6, **FLAGGED),
    ),
    ("the worst, nothing done, equal pumps", Design(worst=1)),
    (
        "the worst, nothing done, spread 0.3, a twentieth worse",
        Design(spread=0.3, bad=8, worst=1),
    ),
    ("planted, nothing done, spread 0.3, one five times worse", Design(**FIVE_TIMES)),
    ("planted, nothing done, spread 0.3, one ten times worse", Design(**TEN_TIMES)),
    ("ten worst, all the works halved, spread 0.7", Design(spread=SMOOTH, works=0.5)),
    ("ten worst, halved, equal pumps", Design(after=2.0, effect=0.5)),
    ("ten worst, halved, spread 0.7", Design(spread=SMOOTH, effect=0.5)),
    ("ten worst, halved, spread 0.7", Design(spread=SMOOTH, after=2.0, effect=0.5)),
    (
        "ten worst, halved, spread 0.7, 1.2 a year",
        Design(1.2, spread=SMOOTH, effect=0.5),
    ),
    (
        "ten worst, halved, spread 0.3, a twentieth worse",
        Design(spread=0.3, bad=8, effect=0.5),
    ),
    (
        "flagged, halved, spread 0.3, a twentieth worse",
        Design(spread=0.3, effect=0.5, **FLAGGED),
    ),
    (
        "flagged, quartered, spread 0.3, a twentieth worse",
        Design(spread=0.3, effect=0.25, **FLAGGED),
    ),
    (
        "flagged, halved, spread 0.6, a twentieth worse",
        Design(spread=0.6, effect=0.5, **FLAGGED),
    ),
    (
        "planted, halved, spread 0.3, one ten times worse",
        Design(effect=0.5, **TEN_TIMES),
    ),
    (
        "planted, quartered, spread 0.3, one ten times worse",
        Design(effect=0.25, **TEN_TIMES),
    ),
    (
        "planted, quartered, spread 0.3, one five times worse, 1.2 a year",
        Design(1.2, effect=0.25, **FIVE_TIMES),
    ),
)


def verdict_table(fleets, write):
    write(f"| {' | '.join(HEADS)} |\n{'|---' * len(HEADS)}|\n")
    for row in range(len(ROWS)):
        write(verdict_row(fleets, row))
    write("\n")


def verdict_row(fleets, row):
    """One line of the table."""
    name, design = ROWS[row]
    found = tally(fleets, [SEED, 301, row], design)
    within, below, above = (100.0 * share for share in found.covered)
    verdicts = [f"{100 * found.findings.get(finding, 0.0):.1f}" for finding in SHOWN]
    cells = (
        name,
        f"{12 * design.before:.0f}",
        f"{12 * design.after:.0f}",
        f"{found.acted:,}",
        *verdicts,
        f"{found.expected_share:.2f}",
        f"{within:.1f} ({below:.1f}/{above:.1f})",
    )
    return f"| {' | '.join(cells)} |\n"
