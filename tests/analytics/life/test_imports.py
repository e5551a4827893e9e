import subprocess
import sys

SLOW = ("matplotlib", "reliability", "lifelines", "django", "plotly", "pandas")


def test_importing_the_statistics_loads_no_slow_library():
    names = [
        "compare",
        "data",
        "distributions",
        "drivers",
        "forecast",
        "mtbf",
        "peers",
        "pooling",
        "ranks",
        "recurrence",
        "replacement",
        "replacement_range",
        "survival",
        "two_groups",
        "weibull",
    ]
    program = "import sys;" + "".join(f"import analytics.life.{n};" for n in names)
    program += f"print([m for m in {SLOW} if m in sys.modules])"
    answer = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"
