"""Pages of the repair log."""

from records.urls import (
    actions,
    checks,
    imports,
    money,
    quality,
    readings,
    repairs,
    tablet,
)

app_name = "records"
urlpatterns = [
    *repairs.urlpatterns,
    *actions.urlpatterns,
    *checks.urlpatterns,
    *imports.urlpatterns,
    *money.urlpatterns,
    *quality.urlpatterns,
    *readings.urlpatterns,
    *tablet.urlpatterns,
]
