"""From the members of a layout to labelled cuts: every member is one cut of one bar, or stands in `unplaced` with a finding."""

from collections import Counter, defaultdict
from collections.abc import Sequence

from service.engine.cutting.bars import BarPlan, Pattern, plan_bars
from service.engine.findings import finding, in_order
from service.engine.inputs import Item, Options
from service.engine.quantities.share_out import share_out
from service.engine.quantities.stock import BarStock, bar_stock
from service.engine.results import BarCutList, Cut, CutBar, Finding, Member, WallLayout
from service.vocabulary import COMPONENT_NAMES, Component, FindingCode, Pool


def cut_bars(
    layouts: Sequence[WallLayout], items: Sequence[Item], options: Options, reusable_from_mm: float
) -> tuple[tuple[BarCutList, ...], tuple[Finding, ...]]:
    """A cut list for each component, or for each component and room where rooms share no bars; and what could not be cut.

    Least price is sought where every length of a component has a price, else least length. `reusable_from_mm`: a remainder at
    least this long is kept for later.
    """
    pools: dict[tuple[Component, int | None], list[Member]] = defaultdict(list)
    for layout in layouts:
        for member in layout.members:
            pools[member.component, None if options.pool is Pool.PROJECT else member.room].append(member)

    cut_lists: list[BarCutList] = []
    findings: list[Finding] = []
    for component in Component:
        stock = bar_stock(item for item in items if item.component is component)
        for room in sorted((room for of, room in pools if of is component), key=lambda room: room or 0):
            cut_list = _cut_list(component, room, pools[component, room], stock, options.kerf_mm, reusable_from_mm)
            cut_lists.append(cut_list)
            findings += _unplaced_findings(cut_list.unplaced, stock)
    return tuple(cut_lists), in_order(findings)


def _cut_list(
    component: Component, room: int | None, members: list[Member], stock: BarStock, kerf_mm: int, reusable_from_mm: float
) -> BarCutList:
    plan = plan_bars(Counter(member.length_mm for member in members), stock.for_solver(), kerf_mm)
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


def _bars(plan: BarPlan, members: list[Member], stock: BarStock, kerf_mm: int, reusable_from_mm: float) -> tuple[CutBar, ...]:
    """Numbered bars: the pattern cut most often first, then longer stock, then longer cuts; equal bars in survey order."""

    def place(pattern: Pattern) -> tuple[int, int, list[tuple[int, int]]]:
        return -pattern.copies, -stock.bars[pattern.stock][0], [(-length, -count) for length, count in pattern.counts]

    patterns = sorted(plan.patterns, key=place)
    numbered = [(number, pattern) for number, pattern in enumerate(patterns, 1) for _ in range(pattern.copies)]
    taken = share_out(members, lambda member: member.length_mm, [Counter(dict(pattern.counts)) for _, pattern in numbered])
    shares = [tuple(member for length in sorted(share, reverse=True) for member in share[length]) for share in taken]
    survey_order = {member.id: n for n, member in enumerate(members)}
    alike = sorted(zip(numbered, shares, strict=True), key=lambda bar: (bar[0][0], [survey_order[m.id] for m in bar[1]]))
    bars = []
    for bar, ((number, pattern), share) in enumerate(alike, 1):
        length_mm, item = stock.bars[pattern.stock]
        # The last saw cut may fall in the waste: where less than a kerf is left, nothing is.
        remainder_mm = max(0, length_mm - sum(member.length_mm + kerf_mm for member in share))
        cuts = tuple(Cut(member=member, length_mm=member.length_mm) for member in share)
        bars.append(
            CutBar(
                bar=bar,
                pattern=number,
                item=item,
                cuts=cuts,
                remainder_mm=remainder_mm,
                reusable=remainder_mm >= reusable_from_mm,
            )
        )
    return tuple(bars)


def _unplaced_findings(unplaced: Sequence[Member], stock: BarStock) -> list[Finding]:
    """One for each wall and component."""
    by_wall: dict[tuple[int, int], list[Member]] = defaultdict(list)
    for member in unplaced:
        by_wall[member.room, member.wall].append(member)
    longest = f"the longest is {stock.bars[-1][0]} mm" if stock.bars else "the range holds none at all"
    findings = []
    for (room, wall), members in by_wall.items():
        component = members[0].component
        which = ", ".join(f"{member.id} ({member.length_mm} mm)" for member in members)
        message = f"{COMPONENT_NAMES[component]}: no stock is long enough for {which}; {longest}."
        findings.append(finding(FindingCode.NO_STOCK_LONG_ENOUGH, message, room, wall, component=component))
    return findings
