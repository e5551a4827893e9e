"""Addresses of the imports pages."""

from django.urls import path

from records.views import import_actions, import_pages

urlpatterns = [
    path("import/", import_pages.import_list, name="import_list"),
    path("import/list.csv", import_pages.import_export, name="import_export"),
    path("import/new/", import_actions.import_new, name="import_new"),
    path("import/columns/", import_pages.import_columns, name="import_columns"),
    path(
        "import/template.<str:kind>",
        import_pages.import_template,
        name="import_template",
    ),
    path("import/<int:pk>/", import_pages.import_detail, name="import_detail"),
    path(
        "import/<int:pk>/progress/",
        import_pages.import_progress,
        name="import_progress",
    ),
    path(
        "import/<int:pk>/faults.csv", import_pages.import_faults, name="import_faults"
    ),
    path("import/<int:pk>/store/", import_actions.import_store, name="import_store"),
    path("import/<int:pk>/forget/", import_actions.import_forget, name="import_forget"),
]
