"""Static files that ship inside other packages, and nothing else of theirs."""

from collections.abc import Iterable, Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from django.contrib.staticfiles.finders import BaseFinder
from django.core.checks import CheckMessage
from django.core.files.storage import FileSystemStorage, Storage


class PlotlyFinder(BaseFinder):
    """The drawing script of the plotly wheel; its folder also holds sample data."""

    address = "plotly/plotly.min.js"

    def __init__(self) -> None:
        package = find_spec("plotly")
        if package is None or package.origin is None:
            raise ModuleNotFoundError("plotly is not installed.")
        folder = Path(package.origin).parent / "package_data"
        self.storage = FileSystemStorage(location=folder)
        # collectstatic puts the files of a storage below its prefix.
        self.storage.prefix = "plotly"  # type: ignore[attr-defined]

    def check(self, **_: Any) -> list[CheckMessage]:
        return []

    def find(self, path: str, find_all: bool = False, **_: Any) -> Any:
        if path != self.address:
            return []
        found = self.storage.path("plotly.min.js")
        return [found] if find_all else found

    def list(
        self, ignore_patterns: Iterable[str] | None
    ) -> Iterator[tuple[str, Storage]]:
        yield "plotly.min.js", self.storage
