"""Answers at the addresses of the monthly reviews."""

from tests.pages.permission_row import ALL, OWN_SITE, Row

REVIEWER = "302 403 200 403 403 404"
REVIEWER_DONE = "302 403 302 403 403 404"

REVIEW_ROWS = [
    Row(
        "analytics:review_list",
        ALL,
        "302 403 302 403 403 403",
        data={"site": "site.pk", "month": "2024-05", "window_months": "12"},
    ),
    Row("analytics:review_detail", OWN_SITE, of="review"),
    Row("analytics:review_pdf", OWN_SITE, of="review"),
    Row("analytics:review_export", OWN_SITE, of="review"),
    Row(
        "analytics:review_decide",
        REVIEWER,
        REVIEWER_DONE,
        {"pk": "review", "kind": "=position", "unit_pk": "position"},
        {"decision": "watch"},
    ),
    Row("analytics:review_note", REVIEWER, REVIEWER_DONE, "review", {"note": "Quiet"}),
    Row("analytics:review_send", REVIEWER, "302 403 200 403 403 404", "review"),
    Row("analytics:review_close", REVIEWER, REVIEWER_DONE, "review"),
]
