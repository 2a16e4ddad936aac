"""WSGI entry point of the register."""

import gc
import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sites_registry.settings")
application = get_wsgi_application()
# What was loaded so far lives as long as the process: the collector need not go through it again with each request.
gc.collect()
gc.freeze()
# A design check makes tens of thousands of objects and hardly a ring among them: to look for rings every 700 objects,
# as is the default, is a fifth of its time.
gc.set_threshold(50_000, 5, 5)
