"""Pages of the repair log."""

from records.urls import actions, checks, imports, quality, readings, repairs, tablet

app_name = "records"
urlpatterns = [
    *repairs.urlpatterns,
    *actions.urlpatterns,
    *checks.urlpatterns,
    *imports.urlpatterns,
    *quality.urlpatterns,
    *readings.urlpatterns,
    *tablet.urlpatterns,
]
