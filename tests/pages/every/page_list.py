"""Pages that the browser visits: each shown address of permission_rows.py and more.

A new address comes in by its row there. Add here what only a look can judge: a filter
in use, an answered question, an empty list.
"""

from tests.pages.permission_rows import ROWS, Row

# Addresses that hand over a file, or a part of a page that shows it already.
NOT_SHOWN = (
    *("_export", "_sample", "_results", "_workbook", "_file", "_template", "_faults"),
    *("_progress", "_worker", "_register", "_token", ":photo", "_pdf", "health"),
)

QUESTIONS = [
    Row("plant:position_list", "", query={"q": "no such tag"}),
    Row("records:repair_list", "", query={"state": "draft"}),
    Row("records:repair_new", ""),
    Row("analytics:life_rating", "", query={"component": "bearing"}),
    Row("analytics:life_comparison", "", query={"split": "fitted"}),
    Row("analytics:life_replacement", "", query={"planned": 9, "failure": 90}),
]


def is_shown(row):
    return "200" in row.get and not row.name.endswith(NOT_SHOWN)


PAGES = [*filter(is_shown, ROWS), *QUESTIONS]


def label(row):
    return row.name + "".join(f"-{name}" for name in row.query)
