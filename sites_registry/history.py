"""Who changed what and when: the one place that says how a model keeps its history."""

from django.conf import settings
from simple_history.models import HistoricalRecords


def kept_history(**options):
    """History of a model a certificate could rest on; django-simple-history does the recording."""
    return HistoricalRecords(history_user_id_field=None, user_model=settings.AUTH_USER_MODEL, **options)
