"""Where each quantity comes from (rule Q3): what the layout uses, wall by wall, with the rules and the arithmetic."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from service.engine.results import Derivation, Fixings, Member, WallLayout
from service.vocabulary import Component, Role


def derivations(layouts: Sequence[WallLayout]) -> dict[Component, list[Derivation]]:
    """For each component that the layouts use, what each wall uses of it and why, in survey order.

    Members of one wall that share role, rules and length are one entry with `length_mm`; brackets, clips and fixings are entries
    that count pieces, with `length_mm` None, together where role, rules and arithmetic are the same.
    """
    found: dict[Component, list[Derivation]] = defaultdict(list)
    by_id = {member.id: member for layout in layouts for member in layout.members}
    for layout in layouts:
        for component, derivation in (*_of_members(layout), *_of_brackets(layout, by_id), *_of_fixings(layout)):
            found[component].append(derivation)
    return found


def _of_members(layout: WallLayout) -> Iterable[tuple[Component, Derivation]]:
    alike: dict[tuple[object, ...], list[Member]] = defaultdict(list)
    for member in layout.members:
        alike[member.component, member.role, member.rules, member.length_mm].append(member)
    for members in alike.values():
        first = members[0]
        yield (
            first.component,
            Derivation(
                rules=first.rules,
                role=first.role,
                terms=f"{len(members)} × {first.length_mm} mm",
                count=len(members),
                length_mm=first.length_mm,
                room=layout.room,
                wall=layout.wall,
                members=tuple(member.id for member in members),
            ),
        )


def _of_brackets(layout: WallLayout, by_id: dict[str, Member]) -> Iterable[tuple[Component, Derivation]]:
    """Each bracket holds one member and has one clip."""
    held: dict[tuple[Role, tuple[str, ...]], list[str]] = defaultdict(list)
    for bracket in layout.brackets:
        held[by_id[bracket.member_id].role, bracket.rules].append(bracket.member_id)
    for (role, rules), members in held.items():
        for component, name in ((Component.BRACKET, "bracket"), (Component.BRACKET_CLIP, "clip")):
            yield (
                component,
                Derivation(
                    rules=rules,
                    role=role,
                    terms=f"{len(members)} × 1 {name}",
                    count=len(members),
                    length_mm=None,
                    room=layout.room,
                    wall=layout.wall,
                    members=tuple(dict.fromkeys(members)),
                ),
            )


def _of_fixings(layout: WallLayout) -> Iterable[tuple[Component, Derivation]]:
    alike: dict[tuple[object, ...], list[Fixings]] = defaultdict(list)
    for fixings in layout.fixings:
        if fixings.count:
            alike[fixings.component, fixings.role, fixings.rules, fixings.terms, fixings.count].append(fixings)
    for group in alike.values():
        first = group[0]
        yield (
            first.component,
            Derivation(
                rules=first.rules,
                role=first.role,
                terms=first.terms if len(group) == 1 else f"{len(group)} × ({first.terms})",
                count=sum(fixings.count for fixings in group),
                length_mm=None,
                room=layout.room,
                wall=layout.wall,
                members=tuple(dict.fromkeys(member for fixings in group for member in fixings.members)),
            ),
        )
