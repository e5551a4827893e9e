"""Addresses of the asset register."""

from django.urls import path

from plant.views import (
    acceptance_points,
    position_forms,
    pump_forms,
    register,
    stories,
    tags,
)

app_name = "plant"
urlpatterns = [
    path("pumps/", register.position_list, name="position_list"),
    path("pumps/export.csv", register.position_export, name="position_export"),
    path("pumps/serials/", register.pump_list, name="pump_list"),
    path("pumps/serials/export.csv", register.pump_export, name="pump_export"),
    path("pumps/tags/", tags.position_tags, name="position_tags"),
    path("pumps/tags.pdf", tags.position_tags_file, name="position_tags_file"),
    path("pumps/serials/tags/", tags.pump_tags, name="pump_tags"),
    path("pumps/serials/tags.pdf", tags.pump_tags_file, name="pump_tags_file"),
    # Printed on steel and paper in the plant: these two addresses never change.
    path("t/<str:code>/", tags.position_tag, name="position_tag"),
    path("p/<str:code>/", tags.pump_tag, name="pump_tag"),
    path("pumps/new/", pump_forms.pump_new, name="pump_new"),
    path("pumps/<int:pk>/", stories.pump_detail, name="pump_detail"),
    path("pumps/<int:pk>/change/", pump_forms.pump_edit, name="pump_edit"),
    path("pumps/<int:pk>/move/", pump_forms.pump_move, name="pump_move"),
    path("pumps/<int:pk>/retire/", pump_forms.pump_retirement, name="pump_retire"),
    path(
        "pumps/<int:pk>/acceptance-points/new/",
        acceptance_points.acceptance_point_new,
        name="acceptance_point_new",
    ),
    path(
        "acceptance-points/<int:pk>/change/",
        acceptance_points.acceptance_point_edit,
        name="acceptance_point_edit",
    ),
    path(
        "acceptance-points/<int:pk>/remove/",
        acceptance_points.acceptance_point_removal,
        name="acceptance_point_remove",
    ),
    path("positions/new/", position_forms.position_new, name="position_new"),
    path("positions/<int:pk>/", stories.position_detail, name="position_detail"),
    path(
        "positions/<int:pk>/change/",
        position_forms.position_edit,
        name="position_edit",
    ),
    path(
        "positions/<int:pk>/duty/", position_forms.duty_period, name="duty_period_set"
    ),
    path("positions/<int:pk>/place/", pump_forms.position_place, name="position_place"),
    path(
        "positions/<int:pk>/out-of-service/",
        position_forms.position_out_of_service,
        name="position_out_of_service",
    ),
]
