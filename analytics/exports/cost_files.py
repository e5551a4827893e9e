"""The files of a cost report, each with how it is written and what it is called."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import IO

from analytics.exports.cost_lines import HEADER, cost_line_rows
from analytics.exports.cost_pdf import write_cost_pdf
from analytics.exports.cost_workbook import write_cost_workbook
from analytics.reports.costs.report import CostReport
from plant.csv_export import csv_lines

Progress = Callable[[int], None]
STEP = 1000


def write_cost_lines(
    target: IO[bytes],
    report: CostReport,
    *,
    made_on: datetime,
    progress: Progress = lambda done: None,
) -> None:
    """All cost lines as CSV; `progress` hears how many are written."""
    rows = cost_line_rows(report.lines, report.treatment)
    place = 0
    for place, line in enumerate(csv_lines(HEADER, rows)):
        target.write(line.encode())
        if place % STEP == 0:
            progress(place)
    progress(place)


@dataclass(frozen=True, slots=True)
class CostFile:
    """`kind` names its jobs; `noun` stands in sentences."""

    kind: str
    noun: str
    stem: str
    ending: str
    write: Callable[..., None]

    @property
    def label(self) -> str:
        return f"Cost {self.noun}"


WORKBOOK = CostFile("cost workbook", "workbook", "costs", "xlsx", write_cost_workbook)
PDF = CostFile("cost PDF", "PDF", "costs", "pdf", write_cost_pdf)
LINES = CostFile("cost lines", "lines as CSV", "cost-lines", "csv", write_cost_lines)
COST_FILES = {file.kind: file for file in (WORKBOOK, PDF, LINES)}
