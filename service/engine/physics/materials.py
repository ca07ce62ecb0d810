"""Design values of generic materials for heat and vapour, each with its source and how sure it is.

Values are from tables 3 to 5 of ISO 10456:2007 unless a row says otherwise. An insulation whose conductivity is a matter of the
product has none here: its declared value belongs to the specification. Where a figure was also seen elsewhere, the note says so.
"""

from dataclasses import dataclass, replace

from service.engine.physics.air import AIR_CLAUSE, air_layer
from service.engine.physics.faults import Checks, refuse
from service.engine.physics.layers import Bridge, Layer
from service.vocabulary import Certainty

ISO_10456 = "ISO 10456:2007, Table 3"
ISO_10456_THERMAL = "ISO 10456:2007, Table 4"
ISO_10456_FILMS = "ISO 10456:2007, Table 5"
PUBLIC_CATALOGUE = "public Austrian catalogue of tested timber components"
_READ, _SECOND, _MEM = Certainty.READ, Certainty.READ_SECONDARY, Certainty.FROM_MEMORY
VAPOUR_TIGHT_MU = 1e6
"""Stands for the infinite diffusion resistance of metals."""
AIR_LAYER_ID = "air_layer"
"""The material that has no conductivity: an air layer's resistance is read from its thickness."""


@dataclass(frozen=True, slots=True)
class Material:
    """W/(m·K), kg/m³, J/(kg·K); μ dry for layers in the dry of a heated room, μ wet for damp ones. None: not given by the source
    or a matter of the product. `certainty` is that of the conductivity (of μ where there is none)."""

    id: str
    name: str
    conductivity_w_mk: float | None
    density_kg_m3: float | None
    specific_heat_j_kgk: float | None
    mu_dry: float | None
    mu_wet: float | None
    source: str
    certainty: Certainty
    note: str = ""


@dataclass(frozen=True, slots=True)
class ThinLayer:
    """A membrane, film or coating: its diffusion-equivalent thickness, m; it keeps in no heat worth counting. Its own thickness
    is nominal and decides nothing."""

    id: str
    name: str
    thickness_mm: float
    sd_m: float
    source: str
    certainty: Certainty
    note: str = ""


def _m(
    id: str,
    name: str,
    values: tuple[float | None, float | None, float | None],
    mu: tuple[float | None, float | None],
    certainty: Certainty = _MEM,
    note: str = "",
    source: str = ISO_10456,
) -> Material:
    conductivity, density, heat = values
    return Material(id, name, conductivity, density, heat, mu[0], mu[1], source, certainty, note)


_PRODUCT = "conductivity is the declared value of the product"
_CIBSE = "CIBSE Guide A, Table 3.36"
_BRICK_MU = "diffusion resistance factors from memory; EN 1745 gives 5 to 10 for clay masonry"

MATERIALS: tuple[Material, ...] = (
    _m(
        "brick_outer",
        "Clay brickwork, outer leaf",
        (0.77, 1700, 1000),
        (16, 10),
        _READ,
        f"0.77 seen in a worked example; {_BRICK_MU}",
    ),
    _m(
        "brick_inner",
        "Clay brickwork, inner leaf",
        (0.56, 1700, 1000),
        (16, 10),
        _READ,
        f"0.56 seen in a worked example; {_BRICK_MU}",
    ),
    _m("brick_exposed", "Brickwork, exposed", (0.84, None, None), (None, None), _READ, source="public building encyclopaedia"),
    _m(
        "brick_protected", "Brickwork, protected", (0.62, None, None), (None, None), _READ, source="public building encyclopaedia"
    ),
    _m("mortar_outer", "Mortar, outer leaf", (0.94, 1800, 1000), (20, 10)),
    _m("mortar_inner", "Mortar, inner leaf", (0.88, 1800, 1000), (20, 10)),
    _m("gypsum_plaster", "Gypsum plaster", (0.40, 1000, 1000), (10, 6)),
    _m(
        "dense_plaster",
        "Dense gypsum plaster",
        (0.57, 1300, 1000),
        (10, 6),
        _READ,
        "0.57 seen in a worked example, the rest from memory",
    ),
    _m("gypsum_sand_plaster", "Gypsum and sand plaster", (0.80, 1600, 1000), (10, 6)),
    _m("lime_sand_plaster", "Lime and sand plaster", (0.80, 1600, 1000), (10, 6)),
    _m("cement_sand_render", "Cement and sand render", (1.00, 1800, 1000), (10, 6)),
    _m("plasterboard_700", "Gypsum plasterboard, light", (0.21, 700, 1000), (10, 4)),
    _m("plasterboard", "Gypsum plasterboard", (0.25, 900, 1000), (10, 4), _READ, "0.25 and μ 10 seen, μ wet from memory"),
    _m("gypsum_fibreboard", "Gypsum fibreboard", (0.32, 1000, 1100), (21, 21), _READ, source=PUBLIC_CATALOGUE),
    _m("mineral_wool", "Mineral wool", (None, None, 1030), (1, 1), _READ, _PRODUCT),
    _m("mineral_wool_035", "Mineral wool of 0.035", (0.035, None, 1030), (1, 1), _READ, source=PUBLIC_CATALOGUE),
    _m("eps", "Expanded polystyrene", (None, None, 1450), (60, 60), note=_PRODUCT),
    _m("xps", "Extruded polystyrene", (None, None, 1450), (150, 150), note=_PRODUCT),
    _m("pur", "Rigid polyurethane foam", (None, None, 1400), (60, 60), note=_PRODUCT),
    _m("phenolic_foam", "Phenolic foam", (None, None, 1400), (50, 50), note=_PRODUCT),
    _m("wood_fibre", "Wood-fibre board", (None, None, 2000), (10, 5), note=_PRODUCT),
    _m("cellulose", "Cellulose", (None, None, 1600), (2, 2), note=_PRODUCT),
    _m("cork", "Cork board", (None, None, 1560), (10, 5), note=_PRODUCT),
    _m("softwood_450", "Softwood, 450 kg/m³", (0.12, 450, 1600), (50, 20), _READ, "0.12 and μ 50 seen, μ wet from memory"),
    _m("softwood", "Softwood, 500 kg/m³", (0.13, 500, 1600), (50, 20), _SECOND, "0.13 seen, μ from memory"),
    _m("hardwood", "Hardwood, 700 kg/m³", (0.18, 700, 1600), (200, 50)),
    _m("plywood_300", "Plywood, 300 kg/m³", (0.09, 300, 1600), (150, 50)),
    _m(
        "plywood_500",
        "Plywood, 500 kg/m³",
        (0.13, 500, 1600),
        (None, None),
        _SECOND,
        "0.13 seen; μ of this density not known here",
    ),
    _m("plywood_700", "Plywood, 700 kg/m³", (0.17, 700, 1600), (None, None), note="μ of this density not known here"),
    _m("plywood_1000", "Plywood, 1000 kg/m³", (0.24, 1000, 1600), (250, 110)),
    _m("osb", "Oriented strand board", (0.13, 650, 1700), (50, 30), note="a public catalogue of tested components uses μ 200"),
    _m("steel", "Steel", (50, 7800, 450), (VAPOUR_TIGHT_MU, VAPOUR_TIGHT_MU), _SECOND, f"{_CIBSE}: 45"),
    _m(
        "stainless_steel",
        "Stainless steel",
        (17, 7900, 500),
        (VAPOUR_TIGHT_MU, VAPOUR_TIGHT_MU),
        note=f"{_CIBSE}: 16 at 20 % nickel",
    ),
    _m("aluminium", "Aluminium", (230, 2700, 880), (VAPOUR_TIGHT_MU, VAPOUR_TIGHT_MU), _READ, f"seen in {_CIBSE}"),
    _m("aluminium_alloy", "Aluminium alloy", (160, 2800, 880), (VAPOUR_TIGHT_MU, VAPOUR_TIGHT_MU)),
    _m("concrete_2000", "Concrete, 2000 kg/m³", (1.35, 2000, 1000), (100, 60)),
    _m("concrete_2200", "Concrete, medium density", (1.65, 2200, 1000), (120, 70)),
    _m("concrete_2400", "Concrete, high density", (2.00, 2400, 1000), (130, 80)),
    _m("sandstone", "Sandstone", (2.3, 2600, 1000), (40, 30)),
    _m("granite", "Granite", (2.8, 2600, 1000), (10_000, 10_000)),
    _m("epdm", "Rubber sheet, EPDM", (0.25, 1150, 1000), (6000, 6000), _SECOND, "μ from memory", ISO_10456_THERMAL),
    _m(
        AIR_LAYER_ID,
        "Unventilated air layer",
        (None, None, None),
        (None, None),
        _READ,
        "resistance by thickness for horizontal heat flow, 0.18 seen in public teaching material; sd 0.01 m",
        AIR_CLAUSE,
    ),
)

THIN_LAYERS: tuple[ThinLayer, ...] = tuple(
    ThinLayer(id, name, thickness, sd, ISO_10456_FILMS, _MEM)
    for id, name, thickness, sd in (
        ("polyethylene_0_15", "Polyethylene film, 0.15 mm", 0.15, 50.0),
        ("polyethylene_0_25", "Polyethylene film, 0.25 mm", 0.25, 100.0),
        ("polyethylene_stapled", "Polyethylene film, 0.15 mm, stapled", 0.15, 8.0),
        ("polyester_0_2", "Polyester film, 0.2 mm", 0.2, 50.0),
        ("pvc_film", "PVC film", 0.2, 30.0),
        ("aluminium_foil", "Aluminium foil, 0.05 mm", 0.05, 1500.0),
        ("aluminium_paper", "Aluminium paper, 0.4 mm", 0.4, 10.0),
        ("bitumen_paper", "Bituminous paper, 0.1 mm", 0.1, 2.0),
        ("breather_membrane", "Breather membrane", 0.2, 0.2),
        ("emulsion_paint", "Emulsion paint", 0.1, 0.1),
        ("gloss_paint", "Gloss paint", 0.1, 3.0),
        ("vinyl_wallpaper", "Vinyl wallpaper", 0.3, 2.0),
    )
)

_BY_ID: dict[str, Material | ThinLayer] = {m.id: m for m in MATERIALS} | {m.id: m for m in THIN_LAYERS}


def material(material_id: str) -> Material | ThinLayer:
    """The material of an id. Refused: an id that is not in the table."""
    found = _BY_ID.get(material_id)
    if found is None:
        raise refuse(("material_id",), "unknown_material", f"there is no material '{material_id}'")
    return found


def layer_of(
    material_id: str,
    thickness_mm: float | None = None,
    conductivity_w_mk: float | None = None,
    bridge: Bridge | None = None,
    wet: bool = False,
    name: str | None = None,
) -> Layer:
    """A layer of a material. `thickness_mm` may be left out for a thin layer, `conductivity_w_mk` (the product's declared value)
    stands in for the table's; `wet` takes the diffusion resistance for damp surroundings.

    Refused: an unknown id, no thickness, no conductivity where the table has none, and a conductivity of an air layer."""
    found = material(material_id)
    if material_id == AIR_LAYER_ID:
        return _air(found.name if name is None else name, thickness_mm, conductivity_w_mk, bridge)
    if isinstance(found, ThinLayer):
        source = f"{found.source} ({found.certainty})"
        thickness = found.thickness_mm if thickness_mm is None else thickness_mm
        return Layer(name or found.name, thickness, resistance_m2k_w=0.0, bridge=bridge, sd_m=found.sd_m, source=source)
    checks = Checks()
    conductivity = found.conductivity_w_mk if conductivity_w_mk is None else conductivity_w_mk
    if thickness_mm is None:
        checks.add(("thickness_mm",), "missing", f"a layer of {found.name} needs a thickness")
    if conductivity is None:
        checks.add(
            ("conductivity_w_mk",),
            "missing",
            f"the conductivity of {found.name} is a matter of the product: give its declared value",
        )
    checks.done()
    assert thickness_mm is not None
    declared = "declared value of the product" if conductivity_w_mk is not None else f"{found.source} ({found.certainty})"
    mu = found.mu_wet if wet else found.mu_dry
    return Layer(name or found.name, thickness_mm, conductivity, bridge=bridge, mu=mu, source=declared)


def _air(name: str, thickness_mm: float | None, conductivity_w_mk: float | None, bridge: Bridge | None) -> Layer:
    checks = Checks()
    if thickness_mm is None:
        checks.add(("thickness_mm",), "missing", "an air layer needs a thickness")
    if conductivity_w_mk is not None:
        checks.add(("conductivity_w_mk",), "both_given", "an air layer's resistance follows from its thickness")
    checks.done()
    assert thickness_mm is not None
    return replace(air_layer(name, thickness_mm), bridge=bridge)
