"""What may be cut from one stock together, and what is said of pieces that no stock holds. The same for bars and for sheets."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, TypeVar

from service.engine.findings import finding
from service.engine.results import Finding
from service.finding_codes import FindingCode
from service.vocabulary import COMPONENT_NAMES, Component, Pool


class Piece(Protocol):
    """A member or a flat piece: bought as a component, of a wall of a room."""

    @property
    def id(self) -> str: ...
    @property
    def component(self) -> Component: ...
    @property
    def room(self) -> int: ...
    @property
    def wall(self) -> int: ...


P = TypeVar("P", bound=Piece)


def pools(pieces: Iterable[P], pool: Pool) -> Iterator[tuple[Component, int | None, list[P]]]:
    """(component, room, its pieces in survey order), components in their order and rooms in theirs; one pool a component, and
    no room, where all rooms share."""
    found: dict[tuple[Component, int | None], list[P]] = defaultdict(list)
    for piece in pieces:
        found[piece.component, None if pool is Pool.PROJECT else piece.room].append(piece)
    order = {component: n for n, component in enumerate(Component)}
    for component, room in sorted(found, key=lambda key: (order[key[0]], key[1] or 0)):
        yield component, room, found[component, room]


def unplaced_findings(unplaced: Iterable[P], named: Callable[[P], str], fault: str, offered: str) -> list[Finding]:
    """One for each wall and component. `named`: a piece with its size; `fault`: what stock is not; `offered`: what there is."""
    by_wall: dict[tuple[int, int], list[P]] = defaultdict(list)
    for piece in unplaced:
        by_wall[piece.room, piece.wall].append(piece)
    findings = []
    for (room, wall), pieces in by_wall.items():
        component = pieces[0].component
        message = f"{COMPONENT_NAMES[component]}: {fault} for {', '.join(map(named, pieces))}; {offered}."
        findings.append(finding(FindingCode.NO_STOCK_LONG_ENOUGH, message, room, wall, component=component))
    return findings
