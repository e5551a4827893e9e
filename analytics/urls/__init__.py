"""Pages of statistics and dashboards."""

from analytics.urls import bad_actors, costs, drivers, fleet, life, mtbr, trend

app_name = "analytics"
urlpatterns = [
    *fleet.urlpatterns,
    *mtbr.urlpatterns,
    *life.urlpatterns,
    *bad_actors.urlpatterns,
    *costs.urlpatterns,
    *trend.urlpatterns,
    *drivers.urlpatterns,
]
