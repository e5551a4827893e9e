"""What each role gets at the addresses of the tablet form and of photos."""

from tests.pages.permission_row import LOGGERS, OWN_SITE, Row

# Tablets get JSON: 401 instead of the way to the log-in, 403 by the service's word.
TABLETS = "401 200 200 403 403 200"
TABLETS_SENT = "401 400 400 403 403 400"
TABLET_POST_ONLY = "401 405 405 403 403 405"
TABLET_ROWS = [
    Row("records:tablet_register", TABLETS),
    Row("records:tablet_token", TABLETS),
    Row("records:tablet_entries", TABLET_POST_ONLY, TABLETS_SENT),
    Row("records:tablet_entry", "401 404 404 403 403 404", of={"key": "entry_key"}),
    Row("records:tablet_photos", TABLET_POST_ONLY, TABLETS_SENT),
    Row("records:entry_questions", "302 200 200 403 403 200"),
    Row(
        "records:entry_question",
        LOGGERS,
        "302 200 302 403 403 404",
        "tablet_entry",
        {"answer": "withdraw", "reason": "Typed twice"},
    ),
    Row("records:repair_photos", LOGGERS, LOGGERS, "repair"),
    Row("records:photo", OWN_SITE, of="photo"),
    Row(
        "records:photo_withdraw",
        "302 403 200 403 403 404",
        "302 403 302 403 403 404",
        "photo",
        {"reason": "Shows a face"},
    ),
]
