import subprocess
import sys
from pathlib import Path

import analytics.money

SLOW = ("matplotlib", "reliability", "lifelines", "django", "plotly", "pandas")


def test_the_money_sums_load_neither_django_nor_a_slow_library():
    folder = Path(analytics.money.__file__).parent
    names = sorted(
        ".".join(("analytics.money", *path.relative_to(folder).with_suffix("").parts))
        for path in folder.rglob("*.py")
        if path.stem != "__init__"
    )
    assert "analytics.money.upgrade" in names
    program = "import sys;" + "".join(f"import {name};" for name in names)
    program += f"print([m for m in {SLOW} if m in sys.modules])"
    answer = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"
