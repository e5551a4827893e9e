"""Addresses of the tablet form, of what it sends, and of photos."""

from django.urls import path

from records.views import (
    entry_questions,
    photos,
    tablet_entries,
    tablet_photos,
    tablet_register,
    tablet_shell,
)

urlpatterns = [
    # The page itself and its worker.
    path("tablet/", tablet_shell.tablet, name="tablet"),
    path("tablet/worker.js", tablet_shell.tablet_worker, name="tablet_worker"),
    # What the page fetches and sends; these answer JSON, also when logged out.
    path(
        "tablet/register.json", tablet_register.tablet_register, name="tablet_register"
    ),
    path("tablet/token.json", tablet_entries.tablet_token, name="tablet_token"),
    path("tablet/entries/", tablet_entries.tablet_entries, name="tablet_entries"),
    path(
        "tablet/entries/<uuid:key>/", tablet_entries.tablet_entry, name="tablet_entry"
    ),
    path("tablet/photos/", tablet_photos.tablet_photos, name="tablet_photos"),
    # Pages.
    path("repairs/questions/", entry_questions.entry_questions, name="entry_questions"),
    path(
        "repairs/questions/<int:pk>/",
        entry_questions.entry_question,
        name="entry_question",
    ),
    path("repairs/<int:pk>/photos/", photos.repair_photos, name="repair_photos"),
    path("photos/<int:pk>/", photos.photo, name="photo"),
    path("photos/<int:pk>/withdraw/", photos.photo_withdrawing, name="photo_withdraw"),
]
