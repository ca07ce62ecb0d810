"""The takeoff, stage by stage: read `take_off` and you know the program."""

from service.engine.findings import in_order
from service.engine.framing.frame import frame_survey
from service.engine.geometry.faults import geometry_faults
from service.engine.inputs import Item, TakeoffInput
from service.engine.pricing.prices import price, sums
from service.engine.quantities.areas import areas
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.schedule import schedule
from service.engine.quantities.stock import stock_lengths_mm
from service.engine.results import Finding, Takeoff, Totals

ENGINE_VERSION = "1"
"""Part of every digest: raised with each change that may change an answer."""


class GeometryRefused(Exception):
    """The survey cannot be taken off as measured; `findings` says where and why, all of them errors."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("; ".join(found.message for found in findings))
        self.findings = findings


def take_off(inputs: TakeoffInput) -> Takeoff:
    """Layouts, schedule, cut lists, totals and findings of a survey. The order of the items makes no difference.

    Raises:
        GeometryRefused: openings that leave their wall or overlap, an offset that no bracket reaches.
    """
    if faults := geometry_faults(inputs.rooms, inputs.parameters):
        raise GeometryRefused(faults)
    items = sorted(inputs.items, key=item_order)
    framing = frame_survey(inputs.rooms, inputs.parameters, inputs.components, stock_lengths_mm(items))
    cut_lists, not_cut = cut_bars(framing.layouts, items, inputs.options, inputs.parameters.reusable_offcut_mm)
    lines, not_supplied = schedule(framing.layouts, cut_lists, items, inputs.options)
    lines = price(lines)
    totals = sums(lines)
    area, floor_lost = areas(inputs.rooms, framing.layouts)
    return Takeoff(
        layouts=framing.layouts,
        schedule=lines,
        cut_lists=cut_lists,
        totals=Totals(
            rooms=len(inputs.rooms),
            lined_area_m2=area.lined_m2,
            floor_area_lost_m2=area.floor_lost_m2,
            mass_kg=totals.mass_kg,
            unweighed=totals.unweighed,
            net_price_minor=totals.net_price_minor,
            unpriced=totals.unpriced,
        ),
        findings=in_order([*framing.findings, *not_cut, *not_supplied, *floor_lost]),
    )


def item_order(item: Item) -> tuple[str, ...]:
    """A fixed order of the items offered: by component and size, then by everything else that tells two of them apart."""
    sizes = (item.length_mm, item.width_mm, item.thickness_mm, item.pack_size, item.price_minor, item.mass_kg, item.on_hand)
    return (item.component, *("" if size is None else f"{size:020.6f}" for size in sizes), item.sku or "", item.description or "")
