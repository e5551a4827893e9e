"""The web app starts without what only a statistic needs."""

from tests.config.running import python_run

# The pages' modules are imported with the first address resolved, so that is done
# here: a library imported at the top of any of them would show.
LOADED = """
import sys
import config.wsgi
from django.urls import get_resolver
assert get_resolver().url_patterns
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""
HEAVY = {"autograd", "lifelines", "matplotlib", "reliability"}


def test_the_web_app_loads_neither_plotting_nor_the_fitting_libraries(tmp_path):
    run = python_run(LOADED, tmp_path, DEBUG="true")
    assert run.returncode == 0, run.stderr
    loaded = set(run.stdout.split())
    assert {"analytics", "django", "records"} <= loaded
    assert loaded & HEAVY == set()


def test_a_library_that_is_loaded_would_be_seen(tmp_path):
    run = python_run("import lifelines\n" + LOADED, tmp_path, DEBUG="true")
    assert "lifelines" in run.stdout.split()
