"""Filters over the lists of zones."""

import django_filters

from zones.models import Cable


class CableFilter(django_filters.FilterSet):
    tag = django_filters.CharFilter(lookup_expr="icontains", label="Tag contains")
    cable_type = django_filters.CharFilter(lookup_expr="icontains", label="Type contains")

    class Meta:
        model = Cable
        fields = ["tag", "cable_type"]
