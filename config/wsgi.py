"""WSGI entry for gunicorn."""

import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application

from config import memory
from config.checks import static_files_check

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
try:
    # Else every page would be a bare server error, and only at the first visit.
    for fault in static_files_check():
        raise ImproperlyConfigured(fault.msg)
    application = get_wsgi_application()
except ImproperlyConfigured as error:
    sys.exit(f"The logbook cannot start. {error}")
memory.search_seldom()
