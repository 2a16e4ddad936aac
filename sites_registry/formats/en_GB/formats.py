"""Dates as an engineer writes them on paper: 3 Mar 2026."""

DATE_FORMAT = "j M Y"
DATETIME_FORMAT = "j M Y, H:i"
SHORT_DATE_FORMAT = "j M Y"
SHORT_DATETIME_FORMAT = "j M Y, H:i"
TIME_FORMAT = "H:i"
