"""What to mind before work on a pump; the site's own procedures govern."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from records.cautions import CAUTIONS, FIRST_LINE

COLUMNS = [{"label": "Topic"}, {"label": "Mind"}, {"label": "Where it stands"}]


@require_safe
def cautions(request: HttpRequest) -> HttpResponse:
    rows = [[{"text": text} for text in row] for row in CAUTIONS]
    context = {"first_line": FIRST_LINE, "columns": COLUMNS, "rows": rows}
    return render(request, "records/cautions.html", context)
