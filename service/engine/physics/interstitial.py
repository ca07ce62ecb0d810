"""Condensation within a build-up over a year: how much, where, and whether it dries out again (ISO 13788:2012, clause 6).

Each month is steady. Water that a plane has gathered holds it at saturation until it is gone; the month is then cut there and
goes on without it, so nothing dries that was not there. The year is run from each of the twelve months, dry at the start, and the
worst is told.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.physics.climate import DAYS, MONTHS, SECONDS_A_DAY, Climate
from service.engine.physics.construction import Construction
from service.engine.physics.planes import Node, nodes, temperatures_c
from service.engine.physics.vapour import saturation_pressure_pa
from service.engine.physics.vapour_profile import VapourProfile, vapour_profile

GRAMS = 1000.0
NOTHING_G_M2 = 1e-9
"""Less water than this is none: a thousandth of a millionth of a gram."""


@dataclass(frozen=True, slots=True)
class Span:
    """Part of a month with the same planes wet throughout: mostly the whole of it."""

    seconds: float
    profile: VapourProfile


@dataclass(frozen=True, slots=True)
class _Still:
    """What a month's air alone decides: temperature and saturation of each node, the pressures at the two surfaces."""

    month: int
    temperatures_c: tuple[float, ...]
    saturation_pa: tuple[float, ...]
    inside_pa: float
    outside_pa: float
    wet_surfaces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CondensationMonth:
    """One month of the run. By node of `CondensationYear.nodes`: temperature, saturation pressure, vapour pressure as the month
    starts, what it gathered (+) or gave off (−), what it holds at the end. Flows are the month's totals through the surfaces.
    `wet_surfaces`: the air on one side holds more than its surface can, so the surface itself is wet."""

    month: int
    temperatures_c: tuple[float, ...]
    saturation_pa: tuple[float, ...]
    change_g_m2: tuple[float, ...]
    held_g_m2: tuple[float, ...]
    inflow_g_m2: float
    outflow_g_m2: float
    wet_surfaces: tuple[str, ...]
    spans: tuple[Span, ...]

    @property
    def pressures_pa(self) -> tuple[float, ...]:
        return self.spans[0].profile.pressures_pa

    @property
    def total_held_g_m2(self) -> float:
        return sum(self.held_g_m2)


@dataclass(frozen=True, slots=True)
class CondensationYear:
    """Twelve months from `start_month`, dry at the start. `wet_planes`: indexes of the nodes that hold water at some time.

    `balance_g_m2`: vapour in through the inside less out through the outside less what is left, nothing but rounding."""

    nodes: tuple[Node, ...]
    start_month: int
    months: tuple[CondensationMonth, ...]
    wet_planes: tuple[int, ...]
    peak_g_m2: float
    peak_month: int | None
    left_g_m2: float

    @property
    def condenses(self) -> bool:
        return bool(self.wet_planes)

    @property
    def dries_out(self) -> bool:
        """Whether nothing is left after twelve months (also true where nothing condenses)."""
        return self.left_g_m2 == 0

    @property
    def dry_month(self) -> int | None:
        """The month by whose end all is dry again after the peak; None where nothing condensed or water is left."""
        if not self.condenses or not self.dries_out:
            return None
        after = [m.month for m in self.months]
        peak = after.index(self.peak_month or after[0])
        return next(m.month for m in self.months[peak:] if m.total_held_g_m2 == 0)

    @property
    def balance_g_m2(self) -> float:
        return sum(m.inflow_g_m2 - m.outflow_g_m2 for m in self.months) - self.left_g_m2


def condensation_year(construction: Construction, climate: Climate) -> CondensationYear:
    """The worst of twelve runs: most water at the end of a month, then a first month that condenses, then the earliest month.

    Refused: layers without a diffusion resistance."""
    found = nodes(construction)
    airs = [_still(found, construction, climate, at) for at in range(MONTHS)]
    year = _run(found, airs, 0)
    if not year.condenses:  # then no month does: each of the twelve began dry
        return year
    runs = [year, *(_run(found, airs, start) for start in range(1, MONTHS))]
    return max(runs, key=lambda run: (round(run.peak_g_m2, 6), run.months[0].total_held_g_m2 > 0, -run.start_month))


def condensation_month(construction: Construction, climate: Climate, month: int) -> CondensationMonth:
    """One month (1 is January) from dry. Refused as `condensation_year`."""
    found = nodes(construction)
    return _month(found, _still(found, construction, climate, month - 1), (0.0,) * len(found))


@dataclass(frozen=True, slots=True)
class MembraneComparison:
    """The same build-up with the membrane and without it."""

    membrane: str
    with_membrane: CondensationYear
    without_membrane: CondensationYear


def compare_membrane(construction: Construction, membrane: int, climate: Climate) -> MembraneComparison:
    """Both years, with layer `membrane` (its index from inside) and without it. Refused: a layer that is not there."""
    bare = construction.without_layer(membrane)
    name = construction.layers[membrane].name
    return MembraneComparison(name, condensation_year(construction, climate), condensation_year(bare, climate))


def _run(found: Sequence[Node], airs: Sequence[_Still], start: int) -> CondensationYear:
    held = (0.0,) * len(found)
    months = []
    for step in range(MONTHS):
        month = _month(found, airs[(start + step) % MONTHS], held)
        months.append(month)
        held = month.held_g_m2
    peak = max(months, key=lambda m: m.total_held_g_m2)
    wet = tuple(at for at in range(len(found)) if any(m.held_g_m2[at] > 0 for m in months))
    return CondensationYear(
        nodes=tuple(found),
        start_month=start + 1,
        months=tuple(months),
        wet_planes=wet,
        peak_g_m2=peak.total_held_g_m2,
        peak_month=peak.month if wet else None,
        left_g_m2=sum(held),
    )


def _still(found: Sequence[Node], construction: Construction, climate: Climate, at: int) -> _Still:
    inside, outside = climate.inside[at], climate.outside[at]
    temperatures = temperatures_c(found, construction, inside.temperature_c, outside.temperature_c)
    saturation = tuple(saturation_pressure_pa(t) for t in temperatures)
    inside_pa, outside_pa = inside.vapour_pressure_pa, outside.vapour_pressure_pa
    over = (("inside", inside_pa - saturation[0]), ("outside", outside_pa - saturation[-1]))
    return _Still(
        month=at + 1,
        temperatures_c=temperatures,
        saturation_pa=saturation,
        inside_pa=min(inside_pa, saturation[0]),
        outside_pa=min(outside_pa, saturation[-1]),
        wet_surfaces=tuple(side for side, excess in over if excess > 1e-6),
    )


def _month(found: Sequence[Node], still: _Still, held: tuple[float, ...]) -> CondensationMonth:
    spans, after = hold_and_dry(
        [node.sd_m for node in found],
        still.saturation_pa,
        held,
        still.inside_pa,
        still.outside_pa,
        DAYS[still.month - 1] * SECONDS_A_DAY,
    )
    return CondensationMonth(
        month=still.month,
        temperatures_c=still.temperatures_c,
        saturation_pa=still.saturation_pa,
        change_g_m2=tuple(now - before for now, before in zip(after, held, strict=True)),
        held_g_m2=after,
        inflow_g_m2=sum(span.profile.inflow_kg_m2s * span.seconds for span in spans) * GRAMS,
        outflow_g_m2=sum(span.profile.outflow_kg_m2s * span.seconds for span in spans) * GRAMS,
        wet_surfaces=still.wet_surfaces,
        spans=spans,
    )


def hold_and_dry(
    sd_m: Sequence[float],
    saturation_pa: Sequence[float],
    held_g_m2: Sequence[float],
    inside_pa: float,
    outside_pa: float,
    seconds: float,
) -> tuple[tuple[Span, ...], tuple[float, ...]]:
    """What a steady span of time does to the water on each node, kg and s in, g/m² out: condensing where the profile touches,
    evaporating from what is held, cut into spans wherever a plane runs dry. Gives the spans and the water held after them.

    A plane that has run dry stays dry under the same air: pressures only fall as planes drop out. So there are at most as many
    cuts as planes."""
    held = list(held_g_m2)
    spans: list[Span] = []
    remaining = float(seconds)
    while remaining > 0 and len(spans) <= 2 * len(held):
        wet = [at for at, water in enumerate(held) if water > 0]
        profile = vapour_profile(sd_m, saturation_pa, wet, inside_pa, outside_pa)
        rates = profile.rates_kg_m2s
        lasts = {at: held[at] / (-rates[at] * GRAMS) for at in wet if rates[at] < 0}
        lasting = min([remaining, *lasts.values()])
        for at, rate in enumerate(rates):
            held[at] += rate * GRAMS * lasting
            if lasts.get(at, math.inf) <= lasting or held[at] < NOTHING_G_M2:
                held[at] = 0.0
        spans.append(Span(lasting, profile))
        remaining -= lasting
    return tuple(spans), tuple(held)
