"""Which member is cut from which bar: a plan says only lengths, but on site one room's pieces should come off the same bars."""

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Sequence

from service.engine.results import Member

Queues = dict[int, dict[int, deque[Member]]]
"""By length, then by room, the members that wait for a bar in survey order. No queue is empty."""


def share_out(members: Iterable[Member], bars: Sequence[Counter[int]]) -> list[tuple[Member, ...]]:
    """For each bar, given as lengths and how often, the members that are cut from it, longest first.

    A bar is filled from the room that can supply most of it, the first in the survey among equals; what it then lacks comes from
    the next such room. Bars of many cuts choose before bars of few, which any room can fill. Deterministic in the order of
    members and bars.

    Raises:
        ValueError: the bars ask for a length more often than there are members of it.
    """
    waiting: Queues = defaultdict(lambda: defaultdict(deque))
    for member in members:
        waiting[member.length_mm][member.room].append(member)
    shares: dict[int, tuple[Member, ...]] = {}
    for bar in sorted(range(len(bars)), key=lambda bar: (-bars[bar].total(), bar)):
        shares[bar] = _fill(bars[bar], waiting)
    return [shares[bar] for bar in range(len(bars))]


def _fill(lengths: Counter[int], waiting: Queues) -> tuple[Member, ...]:
    taken: list[Member] = []
    wanted = Counter(lengths)
    while wanted.total():
        room = _best_room(wanted, waiting)
        for length, queues in ((length, waiting[length]) for length in list(wanted)):
            if room not in queues:
                continue
            queue = queues[room]
            count = min(wanted[length], len(queue))
            taken += [queue.popleft() for _ in range(count)]
            wanted[length] -= count
            if not queue:
                del queues[room]
        wanted = +wanted
    return tuple(sorted(taken, key=lambda member: -member.length_mm))


def _best_room(wanted: Counter[int], waiting: Queues) -> int:
    """The first room that can supply all that is wanted, or else most of it."""
    rarest = min(wanted, key=lambda length: len(waiting[length]))
    for room in waiting[rarest]:  # in survey order; a room without the rarest length cannot supply all
        if all(len(waiting[length].get(room, ())) >= count for length, count in wanted.items()):
            return room
    supply: Counter[int] = Counter()
    for length, count in wanted.items():
        for room, queue in waiting[length].items():
            supply[room] += min(count, len(queue))
    if not supply:
        raise ValueError(f"no member waits for {dict(wanted)}")
    return min(supply, key=lambda room: (-supply[room], room))
