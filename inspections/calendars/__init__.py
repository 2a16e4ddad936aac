"""Visits and due dates for the calendar program of a person: iCalendar, RFC 5545."""
