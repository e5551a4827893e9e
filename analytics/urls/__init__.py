"""Pages of statistics and dashboards."""

from analytics.urls import (
    actions,
    bad_actors,
    budget,
    costs,
    drivers,
    energy,
    fleet,
    life,
    lost_production,
    mtbr,
    readings,
    reviews,
    story,
    trend,
    upgrades,
)

app_name = "analytics"
urlpatterns = [
    *fleet.urlpatterns,
    *mtbr.urlpatterns,
    *life.urlpatterns,
    *lost_production.urlpatterns,
    *bad_actors.urlpatterns,
    *budget.urlpatterns,
    *costs.urlpatterns,
    *actions.urlpatterns,
    *trend.urlpatterns,
    *story.urlpatterns,
    *drivers.urlpatterns,
    *energy.urlpatterns,
    *readings.urlpatterns,
    *reviews.urlpatterns,
    *upgrades.urlpatterns,
]
