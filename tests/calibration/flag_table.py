"""The tables of the flagging rule, as Markdown."""

from functools import partial

from tests.calibration.flags import mixed, nothing_wrong, planted, tally

SEED = 20190731
RATES = (0.3, 0.6, 1.2)
YEARS = (1, 3)
TIMES_WORSE = (3, 5, 10)
PLANTED = (1, 5)
CALM = (
    ("one group", {}),
    ("8 groups", {"classes": 8}),
    ("8 groups, uneven time", {"classes": 8, "uneven": True}),
)
SPREAD = (
    ("2", "one group", {}),
    ("2", "8 groups", {"classes": 8}),
    ("1", "one group", {"shape": 1.0}),
    ("4", "8 groups", {"shape": 4.0, "classes": 8}),
)


def flag_tables(fleets, write):
    calm_table(fleets, write)
    mixed_table(fleets, write)
    power_table(fleets, write)


def calm_table(fleets, write):
    names = " | ".join(name for name, _ in CALM)
    write(f"| Nothing wrong: any flag, % | months | {names} |\n|---|---|---|---|---|\n")
    for row, (rate, years) in enumerate(_rates_and_years()):
        write(f"| {rate} repairs a year | {12 * years} |")
        for column, (_name, more) in enumerate(CALM):
            draw = partial(nothing_wrong, rate=rate, years=years, **more)
            found = tally(draw, fleets, [SEED, 201, row, column])
            write(f" {100 * found.any_flag:.1f} |")
        write("\n")
    write("\n")


def mixed_table(fleets, write):
    heads = " | ".join(f"shape {shape}, {name}" for shape, name, _ in SPREAD)
    write(f"| Rates spread as a gamma, rework 20 % | months | {heads} |\n")
    write("|---|---|---|---|---|---|\n")
    for row, (rate, years) in enumerate(_rates_and_years()):
        write(f"| {rate} repairs a year | {12 * years} |")
        for column, (_shape, _name, more) in enumerate(SPREAD):
            draw = partial(mixed, rate=rate, years=years, **more)
            found = tally(draw, fleets, [SEED, 202, row, column])
            write(f" {100 * found.false_share:.1f} ({found.flags / fleets:.2f}; ")
            write(f"{100 * found.false_among_all:.0f}) |")
        write("\n")
    write("\n")


def power_table(fleets, write):
    cases = [(bad, worse) for bad in PLANTED for worse in TIMES_WORSE]
    heads = " | ".join(f"{bad} of 160, {worse} times" for bad, worse in cases)
    write(f"| Planted: found, % | months | {heads} |\n")
    write("|---" * (2 + len(cases)) + "|\n")
    for row, (rate, years) in enumerate(_rates_and_years()):
        write(f"| {rate} repairs a year | {12 * years} |")
        for column, (bad, worse) in enumerate(cases):
            draw = partial(planted, rate=rate, years=years, times_worse=worse, bad=bad)
            found = tally(draw, fleets, [SEED, 203, row, column])
            write(f" {100 * found.power:.0f} |")
        write("\n")
    write("\n")


def _rates_and_years():
    return [(rate, years) for years in YEARS for rate in RATES]
