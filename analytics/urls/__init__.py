"""Pages of statistics and dashboards."""

from analytics.urls import (
    actions,
    bad_actors,
    budget,
    costs,
    drivers,
    fleet,
    life,
    mtbr,
    readings,
    reviews,
    story,
    trend,
)

app_name = "analytics"
urlpatterns = [
    *fleet.urlpatterns,
    *mtbr.urlpatterns,
    *life.urlpatterns,
    *bad_actors.urlpatterns,
    *budget.urlpatterns,
    *costs.urlpatterns,
    *actions.urlpatterns,
    *trend.urlpatterns,
    *story.urlpatterns,
    *drivers.urlpatterns,
    *readings.urlpatterns,
    *reviews.urlpatterns,
]
