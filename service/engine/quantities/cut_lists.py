"""From the members of a layout to labelled cuts: every member is one cut of one bar, or stands in `unplaced` with a finding."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from math import ceil

from service.engine.cutting.bars import BarPlan, plan_bars
from service.engine.findings import in_order
from service.engine.inputs import Item, Options
from service.engine.order_results import BarCutList, Cut, CutBar
from service.engine.quantities.offers import Choice, Offer, Shelf, plan_with_stock
from service.engine.quantities.pools import pools, unplaced_findings
from service.engine.quantities.saw_order import Shape, in_working_order
from service.engine.quantities.share_out import share_out
from service.engine.quantities.stock import BarStock, bar_stock
from service.engine.results import Finding, Member, WallLayout
from service.vocabulary import Component


def cut_bars(
    layouts: Sequence[WallLayout],
    items: Sequence[Item],
    options: Options,
    reusable_from_mm: float,
    offcuts: Sequence[tuple[int, Item]] = (),
) -> tuple[tuple[BarCutList, ...], tuple[Finding, ...]]:
    """A cut list for each component, or for each component and room where rooms share no bars; and what could not be cut.

    Least price is sought where every length of a component has a price, else least length. Offcuts (with their numbers) cost
    nothing and are used first. Where what is on hand suffices, no more of it is planned for; else the plan is made as though
    there were enough, and the schedule says what is short. `reusable_from_mm`: a remainder at least this long is kept for later
    and is no waste.
    """
    shelf = Shelf(items, offcuts)
    cut_lists: list[BarCutList] = []
    findings: list[Finding] = []
    for component, room, members in pools((member for layout in layouts for member in layout.members), options.pool):
        stock = bar_stock(shelf.offers(component, len(members)))
        cut_list = _cut_list(component, room, members, stock, options.kerf_mm, reusable_from_mm)
        shelf.take(Offer(bar.item, offcut=bar.offcut) for bar in cut_list.bars)
        cut_lists.append(cut_list)
        longest = f"the longest is {stock.longest_mm} mm" if stock.longest_mm else "the range holds none at all"
        findings += unplaced_findings(cut_list.unplaced, _named, "no stock is long enough", longest)
    return tuple(cut_lists), in_order(findings)


def _cut_list(
    component: Component, room: int | None, members: list[Member], stock: BarStock, kerf_mm: int, reusable_from_mm: float
) -> BarCutList:
    plan = _plan(Counter(member.length_mm for member in members), stock, kerf_mm, ceil(reusable_from_mm))
    bars = _bars(plan, members, stock, kerf_mm, reusable_from_mm)
    placed = {cut.member.id for bar in bars for cut in bar.cuts}
    return BarCutList(
        component=component,
        room=room,
        objective=stock.objective,
        kerf_mm=kerf_mm,
        status=plan.status,
        lower_bound=stock.amount(plan.lower_bound),
        used=stock.amount(plan.used),
        certificate=stock.proof(plan.certificate),
        bars=bars,
        unplaced=tuple(member for member in members if member.id not in placed),
    )


def _plan(pieces: Counter[int], stock: BarStock, kerf_mm: int, reusable_mm: int) -> BarPlan:
    def plan_from(offered: Choice) -> BarPlan:
        return plan_bars(pieces, BarStock(offered).for_solver(), kerf_mm, reusable_mm)

    total_mm = sum(length * count for length, count in pieces.items())
    return plan_with_stock(stock.choice, total_mm, lambda item: item.length_mm or 0, plan_from)


def _bars(plan: BarPlan, members: list[Member], stock: BarStock, kerf_mm: int, reusable_from_mm: float) -> tuple[CutBar, ...]:
    """Numbered bars in the order in which they are cut; of bars cut alike those for walls earlier in the survey first."""
    taken: dict[Shape, list[Offer]] = defaultdict(list)
    for pattern in plan.patterns:
        offer = stock.choice.offers[pattern.stock]
        cuts = tuple(length for length, count in pattern.counts for _ in range(count))
        shape = Shape(offer.offcut is not None, offer.item.length_mm or 0, cuts, offer.item.sku or "")
        taken[shape] += [offer] * pattern.copies
    ordered = in_working_order(taken)
    numbered = [(number, shape) for number, shape in enumerate(ordered, 1) for _ in taken[shape]]
    shares = share_out(members, lambda member: member.length_mm, [Counter(shape.cuts) for _, shape in numbered])
    cut = [tuple(member for length in sorted(share, reverse=True) for member in share[length]) for share in shares]
    survey_order = {member.id: n for n, member in enumerate(members)}
    alike = sorted(zip(numbered, cut, strict=True), key=lambda bar: (bar[0][0], [survey_order[m.id] for m in bar[1]]))
    offers = [offer for shape in ordered for offer in taken[shape]]
    bars = []
    for bar, (((number, _), share), offer) in enumerate(zip(alike, offers, strict=True), 1):
        # The last saw cut may fall in the waste: where less than a kerf is left, nothing is.
        remainder_mm = max(0, (offer.item.length_mm or 0) - sum(member.length_mm + kerf_mm for member in share))
        bars.append(
            CutBar(
                bar=bar,
                pattern=number,
                item=offer.item,
                offcut=offer.offcut,
                cuts=tuple(Cut(member=member, length_mm=member.length_mm) for member in share),
                remainder_mm=remainder_mm,
                reusable=remainder_mm >= reusable_from_mm,
            )
        )
    return tuple(bars)


def _named(member: Member) -> str:
    return f"{member.id} ({member.length_mm} mm)"
