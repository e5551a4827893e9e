"""What each role gets at the addresses of upgrade cases."""

from tests.pages.permission_row import ALL, OWN_SITE, Row

PLANNERS_OF_UPGRADES = "302 403 200 200 403 403"
PLANNERS_OF_UPGRADES_DONE = "302 403 302 302 403 403"
OF_CASE = "302 403 200 200 403 404"
OF_CASE_DONE = "302 403 302 302 403 404"

CASE_TYPED = {
    "title": "Dual seals",
    "change_made": "dual seal",
    "site": "site.pk",
    "tags": "position.tag",
    "as_of": "2024-06-01",
    "horizon_years": "10",
    "timing": "end_of_year",
    "what_fails": "all",
    "window_months": "36",
    "ratio_from": "typed",
    "typed_ratio": "0.5",
    "component": "seal",
    "payback_months": "24",
}
ACTION_TYPED = {
    "owner": "owner.pk",
    "due_on": "2030-01-01",
    "judge_after_months": "12",
    "version": "case_version.number",
}
COMPARED = {"case": "upgrade_case.pk"}

UPGRADE_ROWS = [
    Row("analytics:upgrade_cases", ALL),
    Row("analytics:upgrade_cases_export", ALL),
    Row(
        "analytics:upgrade_case_new",
        PLANNERS_OF_UPGRADES,
        PLANNERS_OF_UPGRADES_DONE,
        data=CASE_TYPED,
    ),
    Row("analytics:upgrade_comparison", ALL, query=COMPARED),
    # One case is none to compare with.
    Row("analytics:upgrade_comparison_export", "302 400 400 400 400 400"),
    Row("analytics:upgrade_case", OWN_SITE, of="upgrade_case"),
    Row("analytics:upgrade_export", OWN_SITE, of="upgrade_case"),
    Row(
        "analytics:upgrade_case_changing",
        OF_CASE,
        OF_CASE_DONE,
        "upgrade_case",
        {**CASE_TYPED, "version": "case_version.number"},
    ),
    Row(
        "analytics:upgrade_case_withdrawing",
        OF_CASE,
        OF_CASE_DONE,
        "upgrade_case",
        {"reason": "Too dear"},
    ),
    Row(
        "analytics:upgrade_case_bringing_back",
        OF_CASE,
        OF_CASE_DONE,
        "withdrawn_case",
    ),
    Row(
        "analytics:upgrade_case_acting",
        OF_CASE,
        OF_CASE_DONE,
        "upgrade_case",
        ACTION_TYPED,
    ),
]
