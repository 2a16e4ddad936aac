from django.apps import AppConfig


class ZonesConfig(AppConfig):
    name = "zones"
