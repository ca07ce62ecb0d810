"""Which piece is cut from which bar or sheet: a plan says only sizes, but one room's pieces should come off the same ones."""

from collections import Counter, defaultdict, deque
from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import Protocol, TypeVar


class InRoom(Protocol):
    @property
    def room(self) -> int: ...


Size = TypeVar("Size", bound=Hashable)
Piece = TypeVar("Piece", bound=InRoom)


def share_out(
    pieces: Iterable[Piece], size: Callable[[Piece], Size], bars: Sequence[Counter[Size]]
) -> list[dict[Size, list[Piece]]]:
    """For each bar or sheet, given as sizes and how often, the pieces that are cut from it, by size.

    A bar is filled from the room that can supply most of it, the first in the survey among equals; what it then lacks comes from
    the next such room. Bars of many cuts choose before bars of few, which any room can fill. Deterministic in the order of
    pieces and bars.

    Raises:
        ValueError: the bars ask for a size more often than there are pieces of it.
    """
    waiting: dict[Size, dict[int, deque[Piece]]] = defaultdict(lambda: defaultdict(deque))
    for piece in pieces:
        waiting[size(piece)][piece.room].append(piece)
    shares: dict[int, dict[Size, list[Piece]]] = {}
    for bar in sorted(range(len(bars)), key=lambda bar: (-bars[bar].total(), bar)):
        shares[bar] = _fill(bars[bar], waiting)
    return [shares[bar] for bar in range(len(bars))]


def _fill(sizes: Counter[Size], waiting: dict[Size, dict[int, deque[Piece]]]) -> dict[Size, list[Piece]]:
    taken: dict[Size, list[Piece]] = {size: [] for size in sizes}
    wanted = Counter(sizes)
    while wanted.total():
        room = _best_room(wanted, waiting)
        for size, queues in ((size, waiting[size]) for size in list(wanted)):
            if room not in queues:
                continue
            queue = queues[room]
            count = min(wanted[size], len(queue))
            taken[size] += [queue.popleft() for _ in range(count)]
            wanted[size] -= count
            if not queue:
                del queues[room]
        wanted = +wanted
    return taken


def _best_room(wanted: Counter[Size], waiting: dict[Size, dict[int, deque[Piece]]]) -> int:
    """The first room that can supply all that is wanted, or else most of it."""
    rarest = min(wanted, key=lambda size: len(waiting[size]))
    for room in waiting[rarest]:  # in survey order; a room without the rarest size cannot supply all
        if all(len(waiting[size].get(room, ())) >= count for size, count in wanted.items()):
            return room
    supply: Counter[int] = Counter()
    for size, count in wanted.items():
        for room, queue in waiting[size].items():
            supply[room] += min(count, len(queue))
    if not supply:
        raise ValueError(f"no piece waits for {dict(wanted)}")
    return min(supply, key=lambda room: (-supply[room], room))
