"""Where each quantity comes from (rule Q3): what the layout uses, wall by wall, with the rules and the arithmetic."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from service.engine.order_results import Derivation
from service.engine.results import Fixings, FlatPiece, Member, WallLayout
from service.vocabulary import Component, Role, UnitCode

MM_PER_M = 1000
MM2_PER_M2 = 1e6


def derivations(layouts: Sequence[WallLayout]) -> dict[Component, list[Derivation]]:
    """For each component that the layouts use, what each wall uses of it and why, in survey order.

    Members of one wall that share role, rules and length are one entry with `length_mm`, flat pieces that share role, rules and
    size one in square metres; brackets, clips and fixings are entries that count pieces, with `length_mm` None, together where
    role, rules and arithmetic are the same; each usage is an entry in its own unit. Areas are rounded down to
    whole mm², metres to a millionth: that is what the schedule adds up.
    """
    found: dict[Component, list[Derivation]] = defaultdict(list)
    by_id = {member.id: member for layout in layouts for member in layout.members}
    for layout in layouts:
        for component, derivation in (
            *_of_members(layout),
            *_of_brackets(layout, by_id),
            *_of_fixings(layout),
            *_of_flat_pieces(layout),
            *_of_usages(layout),
        ):
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
                quantity=len(members) * first.length_mm / MM_PER_M,
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
                    quantity=len(members),
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
                quantity=sum(fixings.count for fixings in group),
                length_mm=None,
                room=layout.room,
                wall=layout.wall,
                members=tuple(dict.fromkeys(member for fixings in group for member in fixings.members)),
            ),
        )


def _of_flat_pieces(layout: WallLayout) -> Iterable[tuple[Component, Derivation]]:
    """By the area that is on the wall: less cut-outs and rakes, which are waste."""
    alike: dict[tuple[object, ...], list[FlatPiece]] = defaultdict(list)
    for piece in (*layout.boards, *layout.reveals, *layout.insulation, *layout.membrane):
        alike[piece.component, piece.role, piece.rules, piece.width_mm, piece.length_mm, piece.net_mm2].append(piece)
    for pieces in alike.values():
        first = pieces[0]
        off = first.width_mm * first.length_mm - first.area_mm2
        less = f" less {off / MM2_PER_M2:.3f} m²" if off > 1 else ""
        yield (
            first.component,
            Derivation(
                rules=first.rules,
                role=first.role,
                terms=f"{len(pieces)} × ({first.width_mm:g} × {first.length_mm:g} mm{less})",
                count=len(pieces),
                quantity=len(pieces) * first.net_mm2 / MM2_PER_M2,
                length_mm=None,
                room=layout.room,
                wall=layout.wall,
                members=tuple(piece.id for piece in pieces),
            ),
        )


def _of_usages(layout: WallLayout) -> Iterable[tuple[Component, Derivation]]:
    for usage in layout.usages:
        yield (
            usage.component,
            Derivation(
                rules=usage.rules,
                role=usage.where,
                terms=usage.terms,
                count=int(usage.quantity) if usage.unit is UnitCode.PIECE else 1,
                quantity=round(usage.quantity, 6),
                length_mm=None,
                room=layout.room,
                wall=layout.wall,
                members=usage.members,
                layer=usage.layer,
            ),
        )
