"""Of the plotly wheel only its drawing script is served."""

from pathlib import Path

from django.contrib.staticfiles import finders
from django.core.management import call_command


def test_the_drawing_script_is_found_and_nothing_else_of_its_folder():
    assert Path(finders.find("plotly/plotly.min.js")).stat().st_size > 1_000_000
    assert finders.find("plotly/datasets/iris.csv.gz") is None
    assert finders.find("plotly/widgetbundle.js") is None


def test_collecting_brings_one_file_of_plotly(settings, tmp_path):
    settings.STATIC_ROOT = tmp_path
    call_command("collectstatic", interactive=False, verbosity=0)
    collected = [path.name for path in (tmp_path / "plotly").rglob("*")]
    assert collected == ["plotly.min.js"]
    assert (tmp_path / "site" / "css" / "site.css").is_file()
