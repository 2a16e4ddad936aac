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
    except KeyboardInterrupt:
        # Every command works in transactions: what was under way is rolled back.
        print("\nInterrupted. What was not finished is not stored; start the same command again.", file=sys.stderr)
        sys.exit(130)
    except Exception as error:
        from sites_registry.outages import outage_of

        if outage := outage_of(error):
            sys.exit(f"The register cannot go on: {outage.what} {outage.remedy}")
        raise


if __name__ == "__main__":
    main()
