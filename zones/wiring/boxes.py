"""Junction boxes on the way of a run: the cables that lead through them, and their terminals."""

from django.core.exceptions import ValidationError

from zones.models import Cable, CoreEnd, Terminal, TerminalLink

MOST_LEGS = 20  # boxes between two devices; more is a ring in the record


def legs_through_boxes(*, device, before, upstream, run):
    """The recorded cables from `before` to `device` in order, one or several with junction boxes between; [] if none.

    `upstream` is the cable that feeds `before` (None: the panel). Raises ValidationError where the cable comes from
    elsewhere, or a box on the way is no position.
    """
    cable = Cable.objects.filter(feeds=device).select_related("upstream", "far_box").first() if run else None
    if cable is None:
        return []
    chain = [cable]
    while (before_it := chain[0].upstream) is not None and before_it.feeds_id is None and len(chain) < MOST_LEGS:
        chain.insert(0, before_it)
    came_from = chain[0].upstream
    if (came_from and came_from.pk) != (upstream and upstream.pk):
        elsewhere = f"goes on from cable {came_from}" if came_from else "comes from the panel"
        raise ValidationError(
            f"Cable {chain[0]} to {device} {elsewhere}, not from {before}: the run does not go from device to "
            "device in this order. Correct the order, or the cable runs."
        )
    for passing in chain[:-1]:
        if passing.far_box is None:
            raise ValidationError(
                f"Cable {passing} ends in a junction box that is not registered. Add the box as a position, and name "
                "it at the cable."
            )
    return chain


def box_terminals(*, box, before, after, number, ending=0):
    """`number` pairs of linked terminals of a box, for the cores of the cable that comes and of the one that goes on,
    and
    after the coming ones `ending` more, for cores that end in the box.

    Terminals that these cables are on already are used again; the others are made, numbered on in blocks X1 and X2.
    """
    here = _terminals_used(box, before, "far")
    onward = _terminals_used(box, after, "near")
    here += _made(box, "X1", number + ending - len(here))
    onward += _made(box, "X2", number - len(onward))
    for first, second in zip(here[:number], onward, strict=True):
        a, b = sorted((first.pk, second.pk))
        if not TerminalLink.objects.filter(first=a, second=b).exists():
            link = TerminalLink(
                first=min(first, second, key=lambda one: one.pk), second=max(first, second, key=lambda one: one.pk)
            )
            link.full_clean()
            link.save()
    return here, onward


def _terminals_used(box, cable, end):
    ends = CoreEnd.objects.filter(core__cable=cable, end=end, terminal__position=box).order_by("core__number")
    return [one.terminal for one in ends.select_related("terminal__position")]


def _made(box, block, number):
    taken = set(Terminal.objects.filter(position=box, block=block).values_list("number", flat=True))
    free = (str(n) for n in range(1, len(taken) + number + 1) if str(n) not in taken)
    made = []
    for _ in range(max(number, 0)):
        terminal = Terminal(
            position=box, building=box.building, block=block, number=next(free), electrical_kind="other"
        )
        terminal.full_clean()
        terminal.save()
        made.append(terminal)
    return made
