"""The walking order on its page: stretches short enough to be read, none over two storeys."""

from itertools import groupby

POSITIONS_OF_A_STRETCH = 20


def stretches_of(positions):
    """Positions in walking order, cut where the storey changes and after twenty: [[position, …], …]."""
    stretches = []
    for _, part in groupby(positions, key=lambda position: position.storey):
        of_storey = list(part)
        stretches += [
            of_storey[start : start + POSITIONS_OF_A_STRETCH]
            for start in range(0, len(of_storey), POSITIONS_OF_A_STRETCH)
        ]
    return stretches
