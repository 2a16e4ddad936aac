from django.apps import AppConfig


class SitesRegistryConfig(AppConfig):
    name = "sites_registry"
    verbose_name = "Sites registry"

    def ready(self):
        from sites_registry import append_only, sqlite  # noqa: F401  (what follows a migration)
        from sites_registry.navigation import read_menus
        from sites_registry.siblings import read_siblings

        read_menus()
        read_siblings()
