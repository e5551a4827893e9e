"""Pages of the repair log."""

from records.urls import imports, repairs

app_name = "records"
urlpatterns = [*repairs.urlpatterns, *imports.urlpatterns]
