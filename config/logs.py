"""What the log leaves out."""

import logging

from django.core.exceptions import PermissionDenied


class RefusalsInOneLine(logging.Filter):
    """A refused page is no fault of the program: its line needs no traceback."""

    def filter(self, record: logging.LogRecord) -> bool:
        if record.exc_info and isinstance(record.exc_info[1], PermissionDenied):
            record.exc_info = record.exc_text = None
        return True
