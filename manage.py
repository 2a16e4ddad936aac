#!/usr/bin/env python
"""Run administrative tasks of the register."""

import os
import sys


def main():
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sites_registry.settings")
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        sys.exit(f"The register cannot start: {error}")


if __name__ == "__main__":
    main()
