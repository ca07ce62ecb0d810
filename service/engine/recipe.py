"""The takeoff, stage by stage: read `take_off` and you know the program."""

from service.engine.findings import in_order
from service.engine.geometry.faults import geometry_faults
from service.engine.heat.job_cautions import cautions_of
from service.engine.heat.survey_heat import heat_of
from service.engine.inputs import Item, TakeoffInput
from service.engine.lining import line_walls
from service.engine.order_results import Takeoff, Totals
from service.engine.pricing.prices import price, sums
from service.engine.quantities.areas import areas
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.flat_cut_lists import cut_flat
from service.engine.quantities.schedule import schedule
from service.engine.quantities.stock import fitting, materials
from service.engine.quantities.yields import with_yields
from service.engine.results import Finding

ENGINE_VERSION = "15"
"""Part of every digest: raised with each change that may change an answer."""


class GeometryRefused(Exception):
    """The survey cannot be taken off as measured; `findings` says where and why, all of them errors."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("; ".join(found.message for found in findings))
        self.findings = findings


def take_off(inputs: TakeoffInput) -> Takeoff:
    """Layouts, schedule, cut lists, totals and findings of a survey. The order of items and of offcuts makes no
    difference, but that offcuts are numbered from 1 in `item_order`.

    Raises:
        GeometryRefused: openings that leave their wall or overlap, an offset that no bracket reaches.
    """
    p = inputs.parameters
    if faults := geometry_faults(inputs.rooms, p):
        raise GeometryRefused(faults)
    items = sorted(with_yields(fitting(inputs.items, p), p), key=item_order)
    lining = line_walls(inputs.rooms, p, inputs.components, materials(items))
    offcuts = [(n, o) for n, o in enumerate(sorted(inputs.offcuts, key=item_order), 1) if fitting([o], p)]
    bars, no_bar = cut_bars(lining.layouts, items, inputs.options, p.reusable_offcut_mm, offcuts)
    flats, no_sheet = cut_flat(lining.layouts, items, inputs.options, p.reusable_offcut_mm, offcuts, boards_turn=p.board_turning)
    lines, not_supplied = schedule(lining.layouts, bars, flats, items, inputs.options, p)
    lines = price(lines)
    totals = sums(lines)
    area, floor_lost = areas(inputs.rooms, lining.layouts)
    heat, on_heat = heat_of(inputs.rooms, lining.layouts, area, p, inputs.heat)
    return Takeoff(
        layouts=lining.layouts,
        schedule=lines,
        cut_lists=bars,
        flat_cut_lists=flats,
        totals=Totals(
            rooms=len(inputs.rooms),
            lined_area_m2=area.lined_m2,
            floor_area_lost_m2=area.floor_lost_m2,
            mass_kg=totals.mass_kg,
            unweighed=totals.unweighed,
            net_price_minor=totals.net_price_minor,
            unpriced=totals.unpriced,
        ),
        heat=heat,
        cautions=cautions_of(inputs.rooms, heat.walls, flats, inputs.heat.year_built),
        findings=in_order([*lining.findings, *no_bar, *no_sheet, *not_supplied, *floor_lost, *on_heat]),
    )


def item_order(item: Item) -> tuple[str, ...]:
    """A fixed order of the items offered: by component and size, then by everything else that tells two of them apart."""
    sizes = (item.length_mm, item.width_mm, item.thickness_mm, item.pack_size, item.price_minor, item.mass_kg, item.on_hand)
    return (item.component, *("" if size is None else f"{size:020.6f}" for size in sizes), item.sku or "", item.description or "")
