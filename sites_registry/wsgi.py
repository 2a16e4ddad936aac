"""WSGI entry point of the register."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sites_registry.settings")
application = get_wsgi_application()
