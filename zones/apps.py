from django.apps import AppConfig
from django.core.exceptions import ImproperlyConfigured

try:
    # Before any model reads it: a kind that says too little stops the start with its sentence.
    import zones.engineering.device_kinds  # noqa: F401
except ValueError as error:  # IncompleteKind, which cannot be imported where the table beside it is not in order
    raise ImproperlyConfigured(str(error)) from error


class ZonesConfig(AppConfig):
    name = "zones"

    def ready(self):
        from zones.models import kind_checks  # noqa: F401 - registers itself
