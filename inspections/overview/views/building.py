"""The building's page: the four answers, each with its line and a way in, its life, its panels and zones."""

from django.shortcuts import get_object_or_404, render

from inspections.headlines import headline_of, with_headline
from inspections.overview import answers
from inspections.overview import page as overview
from inspections.overview.contents import contents_of
from inspections.overview.life import life_of
from sites_registry.history import changes_of
from sites_registry.models import Building, Firm
from zones.design_check.checked import checked_building


def building_detail(request, slug):
    buildings = with_headline(Building.objects.visible_to(request.user).with_client())
    building = get_object_or_404(buildings, slug=slug)
    visits = list(building.visits.select_related("engineer").order_by("planned_on", "pk"))
    headline = headline_of(building, soon_days=Firm.current().due_soon_days)
    checked, places = checked_building(building), answers.places_of(building)
    test, old = answers.last_test(visits), answers.not_tested_lately(building.positions.all())
    fitted, limits = answers.fitted_and_wired(building, places), answers.within_limits(checked, test)
    proven, due = answers.proven(test, old), answers.due(building, headline)
    context = {
        "building": building,
        "fitted": fitted,
        "limits": limits,
        "proven": proven,
        "due": due,
        "worst": answers.worst_of(due, proven, limits, fitted),
        "last_visit": test.visits[0] if test.visits else None,
        "certificates": overview.certificates_in_force(building),
        **overview.visits_ahead(visits),
        "life": life_of(building, visits, headline.due),
        "contents": contents_of(building, checked, places, test, old),
        "kinds": answers.kinds_in_words(building),
    }
    return render(request, "inspections/overview/building_detail.html", context)


def building_particulars(request, slug):
    """All that is on record of the building itself, its files, and for the firm who changed what."""
    building = get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)
    works_for_the_firm = request.user.works_for_the_firm
    context = {
        "building": building,
        "managers": building.managers.order_by("full_name") if works_for_the_firm else (),
        "attachments": building.attachments.visible_to(request.user).for_list(),
        "owner": building,
        "changes": changes_of(building) if works_for_the_firm else None,
    }
    return render(request, "inspections/overview/building_particulars.html", context)
