"""Dates as everywhere in the logbook, whichever English a browser asks for."""

DATE_FORMAT = SHORT_DATE_FORMAT = "Y-m-d"
DATETIME_FORMAT = SHORT_DATETIME_FORMAT = "Y-m-d H:i"
TIME_FORMAT = "H:i"
