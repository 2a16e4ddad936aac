"""What a phone takes along of a visit, as it will have no network: what there is, then the pages, some at a time.

Each page is the one that the register would show now to whoever asks.
"""

from copy import copy
from itertools import chain
from math import ceil

from django.core.exceptions import PermissionDenied
from django.http import Http404, JsonResponse, QueryDict
from django.urls import resolve, reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from inspections.models import Visit
from inspections.settings_found.views import ROWS_PER_PAGE, VisitSettings
from inspections.visit_pages.views.work import VisitFinish
from inspections.visits.ahead import ahead_of
from inspections.visits.here import read_stops
from inspections.visits.memory import Memory
from inspections.visits.views.field import stop_page, visit_of, walk_page
from inspections.visits.views.find_in_visit import find_page
from inspections.visits.views.floor_plans import floor_plan_page
from inspections.visits.views.swaps import VisitSwap
from inspections.visits.walk import open_points_of, walk_of
from sites_registry.access import Role, for_roles
from sites_registry.read_once import reading_once
from zones.models import ActuatorCircuit, DataLink, DetectionLine, Fitting, InputPort
from zones.panel_settings.sheet import settings_sheet
from zones.positions.identical_units import fittings_to_tell_apart, groups_of

PAGES_AT_ONCE = 25
OF_A_BUILDING = (
    "building-detail",
    "building-particulars",
    "building-defects",
    "position-list",
    "identical-unit-list",
    "schedule-list",
)
# Of each panel: how it is wired, what opens on what, and what was set.
OF_A_PANEL = ("panel-detail", "wiring-diagram", "zone-overview", "rule-matrix", "panel-settings-sheet", "panel-wiring")


def addresses_of(visit, walk):
    """Addresses of all pages of a visit, the walk first; each is shown to whoever may see it and to nobody else."""
    building = visit.building
    own = [
        reverse("visit-field", args=[visit.pk]),
        *(stop.url for stop in walk.stops),
        *dict.fromkeys(reverse("visit-swap", args=[visit.pk, stop.position.pk]) for stop in walk.stops),
        reverse("visit-find", args=[visit.pk]),
        reverse("visit-detail", args=[visit.pk]),
        reverse("visit-finish", args=[visit.pk]),
        reverse("visit-instruments", args=[visit.pk]),
    ]
    own += [reverse("visit-floor-plan", args=[visit.pk, plan.pk]) for plan in building.floor_plans.in_force()]
    if visit.kind == "commissioning":
        own.append(reverse("visit-plan", args=[visit.pk]))
    of_building = [reverse(name, args=[building.slug]) for name in OF_A_BUILDING]
    places = [reverse("place-confirmation-create", args=[pk]) for pk in _told_apart(building, walk)]
    panels = [panel.pk for panel in building.panels.order_by("position__tag_key")]
    settings = chain.from_iterable(_settings_pages(visit, panel) for panel in building.panels.all())
    of_panels = chain.from_iterable([reverse(name, args=[pk]) for name in OF_A_PANEL] for pk in panels)
    return [*own, *settings, *places, *of_building, *of_panels, *_wiring_pages(building, panels)]


def _wiring_pages(building, panels):
    """Each part of the wiring of its panels: what hangs on a run is ticked on the page of that run."""
    parts = {pk: ["others"] for pk in panels}
    for word, runs in (("output", ActuatorCircuit), ("line", DetectionLine), ("link", DataLink), ("input", InputPort)):
        found = runs.objects.filter(panel__building=building).order_by("panel", "number").values_list("panel", "number")
        for panel, number in found:
            parts[panel].append(f"{word}-{number}")
    return [f"{reverse('panel-wiring', args=[pk])}?of={part}" for pk, own in parts.items() for part in own]


def _told_apart(building, walk):
    """Keys of the positions of a walk whose units are mixed up with their like, in walking order."""
    identical = [group.product_model for group in groups_of(building)]
    fittings = fittings_to_tell_apart(building).filter(unit__product_model__in=identical)
    told_apart = set(fittings.values_list("position", flat=True))
    return dict.fromkeys(stop.position.pk for stop in walk.stops if stop.position.pk in told_apart)


def labels_of(walk):
    """Addresses that labels at the positions of a walk hold, now and formerly, each with the test that it leads to."""
    stops = {stop.position.pk: stop.url for stop in reversed(walk.stops)}
    return [[reverse(name, args=[pk]), url] for pk, url in stops.items() for name in ("position-at", "position-detail")]


def _settings_pages(visit, panel):
    first = reverse("visit-settings", args=[visit.pk, panel.pk])
    count = ceil(len(settings_sheet(panel).lines) / ROWS_PER_PAGE)
    return [first, *(f"{first}?page={number}" for number in range(2, count + 1))]


class Shown:
    """Renders pages for the person of a request, as if each had been asked for by itself."""

    def __init__(self, request, visit: Visit):
        self.request, self.ahead = request, ahead_of(visit)
        self.visit = self.ahead.visit if self.ahead else visit
        self.walk = self.ahead.walk if self.ahead else walk_of(visit)
        self.memory = Memory(self.visit)
        self._here, self._swaps = {}, {}

    @property
    def open_points(self):
        return self.ahead.open_points if self.ahead else open_points_of(self.visit, self.walk)

    def read(self, addresses):
        """Read what the stops and swaps among these show, for all of them at once."""
        asked = set(addresses)
        self._read_swaps(asked)
        stops = [stop for stop in self.walk.stops if stop.url in asked]
        if not stops:
            self._here = {}
            return
        points = self.ahead.points_at({stop.position.pk for stop in stops}) if self.ahead else None
        self._here = {here.stop.url: here for here in read_stops(self.visit, stops, self.memory, points)}

    def _read_swaps(self, asked):
        positions = {
            url: stop.position
            for stop in self.walk.stops
            if (url := reverse("visit-swap", args=[self.visit.pk, stop.position.pk])) in asked
        }
        fittings = Fitting.objects.open().filter(position__in=positions.values())
        fitted = {one.position_id: one for one in fittings.select_related("unit__product_model__maker")}
        self._swaps = {url: (self.visit, position, fitted.get(position.pk)) for url, position in positions.items()}

    def html(self, address):
        """The page at this address; None where it is not shown to this person, or leads elsewhere."""
        request = self._request_for(address)
        if here := self._here.get(address):
            response = stop_page(request, self.visit, self.walk, here)
        elif known := self._swaps.get(address):
            response = VisitSwap.as_view(known=known)(request)
        else:
            found = request.resolver_match
            response = self._ahead(request) or found.func(request, *found.args, **found.kwargs)
        if not getattr(response, "is_rendered", True):
            response.render()
        return response.content.decode() if response.status_code == 200 else None

    def _ahead(self, request):
        """Pages of the walk of a visit that is not started yet; None for any other."""
        match self.ahead and request.resolver_match.url_name:
            case "visit-field":
                return walk_page(request, self.visit, self.walk, self.open_points, self.ahead.alike)
            case "visit-find":
                return find_page(request, self.visit, self.walk)
            case "visit-floor-plan":
                return floor_plan_page(request, self.visit, self.walk, request.resolver_match.kwargs["plan_pk"])
            case "visit-settings":
                return VisitSettings.as_view(ahead=self.ahead)(request, **request.resolver_match.kwargs)
            case "visit-finish":
                return VisitFinish.as_view(ahead=self.ahead)(request, pk=self.visit.pk)
            case "visit-plan":
                raise Http404  # nothing of it is taken over yet
        return None

    def _request_for(self, address):
        path, _, query = address.partition("?")
        request = copy(self.request)
        request.path = request.path_info = path
        request.GET = QueryDict(query)
        request.META = {**self.request.META, "PATH_INFO": path, "QUERY_STRING": query}
        request.resolver_match = resolve(path)
        request._messages = []  # what is to be told stays for the page that is looked at
        return request


@for_roles(Role.ENGINEER)
@require_GET
@never_cache
def visit_taken_along(request, pk):
    """What a phone keeps of a visit, in the order in which it is walked."""
    shown = Shown(request, visit_of(request, pk))
    visit, walk = shown.visit, shown.walk
    return JsonResponse(
        {
            "visit": visit.pk,
            "name": f"{visit}, {visit.building.name}",
            "is_over": not visit.is_open_for_results,
            "made_at": timezone.now().isoformat(),
            "pages": addresses_of(visit, walk),
            "pictures": [plan.picture_url for plan in visit.building.floor_plans.in_force()],
            "labels": labels_of(walk),
            "pages_url": reverse("visit-taken-pages", args=[visit.pk]),
            "worker_url": reverse("field-worker"),
            "stops": shown.open_points,
        }
    )


@for_roles(Role.ENGINEER)
@require_GET
@never_cache
@reading_once()
def visit_taken_pages(request, pk):
    """Some of its pages, `?from=` this one on: [[address, html]]; `next` is where to go on, None at the end."""
    text = request.GET.get("from", "0")
    start = int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0
    shown = Shown(request, visit_of(request, pk))
    addresses = addresses_of(shown.visit, shown.walk)
    made_at = timezone.now().isoformat()
    pages, asked = [], addresses[start : start + PAGES_AT_ONCE]
    shown.read(asked)
    for address in asked:
        try:
            html = shown.html(address)
        except (Http404, PermissionDenied):
            continue
        if html is not None:
            pages.append([address, html])
    following = start + PAGES_AT_ONCE
    return JsonResponse({"pages": pages, "made_at": made_at, "next": following if following < len(addresses) else None})
