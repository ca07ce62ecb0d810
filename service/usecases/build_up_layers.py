"""From a build-up's checked members to what the engine is given: materials looked up, the whole tried, refusals by pointer."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TypeVar
from uuid import UUID

from sqlalchemy.orm import Session

from service.engine.heat_inputs import BuildUp, BuiltLayer, WallMaterial
from service.engine.physics.air import air_layer
from service.engine.physics.construction import Construction, SteelFrame
from service.engine.physics.faults import Refused, refuse
from service.engine.physics.layers import Bridge, Layer
from service.engine.physics.materials import AIR_LAYER_ID, ThinLayer, material
from service.errors import Fault, Gone, Missing
from service.store import rows
from service.store.models import Material
from service.store.rules import as_id
from service.usecases.build_up_members import Json
from service.usecases.material_members import standard_code
from service.vocabulary import ResourceKind

PLAIN_WALL = Layer("the wall", 225, 0.77, mu=10)
"""Stands for a wall that is not known yet, while a build-up is tried."""
MINERAL_WOOL = "mineral_wool"
Made = TypeVar("Made")
Own = Mapping[UUID, Material]


def resolved_build_up(
    session: Session, account_id: UUID, layers: Sequence[Json], at: str, faults: list[Fault], *, needs_wall: bool = True
) -> BuildUp | None:
    """What the engine is given, or None with a fault for everything that is wrong with it, ids of materials included."""
    reader = _Reader(_own_materials(session, account_id, layers), at, faults)
    build_up = reader.build_up(layers, needs_wall)
    if reader.failed:
        return None
    whole = [one.layer for one in build_up.layers]
    if build_up.wall_at is not None:
        whole.insert(build_up.wall_at, PLAIN_WALL)
    reader.tried(lambda: Construction(tuple(whole), steel_frame=build_up.steel_frame))
    return None if reader.failed else build_up


def held_materials(session: Session, account_id: UUID, layers: Sequence[Json]) -> None:
    """Locks the account's own materials that a build-up names: they cannot be deleted before this transaction ends."""
    for id in _own_ids(layers):
        rows.may_be_used(session, account_id, ResourceKind.MATERIAL, id)


def _own_ids(layers: Sequence[Json]) -> list[UUID]:
    named = {as_id(layer.get("material_id")) for layer in layers}
    return sorted(id for id in named if id is not None and standard_code(id) is None)


def _own_materials(session: Session, account_id: UUID, layers: Sequence[Json]) -> dict[UUID, Material]:
    """Those that there are."""
    found = {}
    for id in _own_ids(layers):
        with suppress(Missing, Gone):
            row = rows.live(session, account_id, ResourceKind.MATERIAL, id)
            assert isinstance(row, Material)
            found[id] = row
    return found


@dataclass(frozen=True, slots=True)
class _Values:
    """What a material gives a layer."""

    name: str
    conductivity_w_mk: float | None
    resistance_m2k_w: float | None
    mu: float | None
    sd_m: float | None
    thickness_mm: float | None
    source: str


class _Reader:
    """Makes engine layers of checked members; what the physics refuses becomes faults with its place."""

    def __init__(self, own: Own, at: str, faults: list[Fault]) -> None:
        self._own, self._at, self._faults = own, at, faults
        self.failed = False

    def build_up(self, layers: Sequence[Json], needs_wall: bool) -> BuildUp:
        walls = [i for i, entry in enumerate(layers) if entry.get("wall")]
        self._check_marks(layers, walls, needs_wall)
        made: list[BuiltLayer] = []
        wall_at: int | None = None
        wall_material: WallMaterial | None = None
        for i, entry in enumerate(layers):
            if entry.get("wall"):
                wall_at = len(made)
                wall_material = self.tried(lambda entry=entry: _wall_material(entry, self._own), i)  # type: ignore[misc]
                continue
            outside = bool(walls) and i > walls[0]
            layer = self.tried(lambda entry=entry, outside=outside: _layer(entry, outside, self._own), i)  # type: ignore[misc]
            if layer is not None:
                made.append(
                    BuiltLayer(
                        layer=layer,
                        existing=bool(entry.get("existing", outside)),
                        membrane=entry.get("membrane"),
                        insulation=entry.get("insulation"),
                        fibre=_fibre(entry.get("material_id")),
                    )
                )
        frames = [entry["bridge"]["steel_frame"] for entry in layers if (entry.get("bridge") or {}).get("steel_frame")]
        frame = SteelFrame(**frames[0]) if frames else None
        return BuildUp(layers=tuple(made), wall_at=wall_at, wall_material=wall_material, steel_frame=frame)

    def _check_marks(self, layers: Sequence[Json], walls: list[int], needs_wall: bool) -> None:
        if len(walls) > 1:
            self._fault(f"{walls[1]}/wall", "The wall can go in one place only.", "second_wall")
        if needs_wall and not walls:
            self._fault("", 'One entry has to say where the wall goes: {"wall": true}.', "no_wall")
        marked = {mark: [i for i, entry in enumerate(layers) if entry.get(mark)] for mark in ("membrane", "insulation")} | {
            "bridge/steel_frame": [i for i, entry in enumerate(layers) if (entry.get("bridge") or {}).get("steel_frame")]
        }
        for mark, places in marked.items():
            if len(places) > 1:
                self._fault(f"{places[1]}/{mark}", "This can be said of one layer only.", "given_twice")
        if walls and marked["membrane"] and marked["membrane"][0] > walls[0]:
            self._fault(f"{marked['membrane'][0]}/membrane", "The membrane lies on the room side of the wall.", "out_of_order")

    def _fault(self, place: str, detail: str, code: str) -> None:
        self.failed = True
        self._faults.append(Fault(f"{self._at}/{place}" if place else self._at, detail, code))

    def tried(self, make: Callable[[], Made], *where: int) -> Made | None:
        """What is made, or None with the faults of a refusal; places in a whole begin with `layers`."""
        try:
            return make()
        except Refused as refusal:
            for fault in refusal.under(*where).faults:
                place = fault.where[1:] if fault.where[:1] == ("layers",) else fault.where
                self._fault("/".join(str(step) for step in place), f"{fault.detail[0].upper()}{fault.detail[1:]}.", fault.code)
            return None


def _layer(entry: Json, outside: bool, own: Own) -> Layer:
    """What the entry says goes before what its material says. Outside the wall, materials are damp."""
    values = _values(entry, outside, own)
    thickness = entry.get("thickness_mm", None if values is None else values.thickness_mm)
    if thickness is None:
        raise refuse(("thickness_mm",), "required", "a layer needs a thickness")
    bridge = entry.get("bridge")
    through = None if bridge is None else Bridge(bridge["fraction"], bridge["conductivity_w_mk"])
    heat = {name: entry.get(name) for name in ("conductivity_w_mk", "resistance_m2k_w")}
    vapour = {name: entry.get(name) for name in ("mu", "sd_m")}
    source = "as given"
    if values is not None:
        if not any(value is not None for value in heat.values()):
            heat = {"conductivity_w_mk": values.conductivity_w_mk, "resistance_m2k_w": values.resistance_m2k_w}
            source = values.source
            if not any(value is not None for value in heat.values()):
                detail = f"the conductivity of {values.name} is a matter of the product: give its declared value"
                raise refuse(("conductivity_w_mk",), "required", detail)
        if not any(value is not None for value in vapour.values()):
            vapour = {"mu": values.mu, "sd_m": values.sd_m}
    name = entry.get("name") or (values.name if values is not None else "")
    return Layer(name, thickness, bridge=through, source=entry.get("source") or source, **heat, **vapour)


def _values(entry: Json, damp: bool, own: Own) -> _Values | None:
    """None where no material is named. Refused: an id that stands for none."""
    named = entry.get("material_id")
    if named is None:
        return None
    id = as_id(named)
    code = named if id is None else standard_code(id)
    if code is None:
        if id not in own:
            raise refuse(("material_id",), "unknown_id", "there is no material with this id")
        return _own_values(own[id], damp)
    found = material(code)
    source = f"{found.source} ({found.certainty})"
    if isinstance(found, ThinLayer):
        return _Values(found.name, None, 0.0, None, found.sd_m, found.thickness_mm, source)
    if found.id == AIR_LAYER_ID and entry.get("thickness_mm") is not None:
        air = air_layer(found.name, entry["thickness_mm"])
        return _Values(found.name, None, air.resistance_m2k_w, None, air.sd_m, None, air.source)
    mu = found.mu_wet if damp else found.mu_dry
    return _Values(found.name, found.conductivity_w_mk, None, mu, None, None, source)


def _own_values(row: Material, damp: bool) -> _Values:
    """One without a conductivity is a film or a coating, which keeps in no heat worth counting."""
    mu = row.mu_wet if damp and row.mu_wet is not None else row.mu_dry
    certainty = "" if row.certainty is None else f" ({row.certainty})"
    return _Values(
        row.name,
        row.conductivity_w_mk,
        0.0 if row.conductivity_w_mk is None else None,
        mu,
        row.sd_m,
        row.thickness_mm,
        f"{row.source or 'of the account'}{certainty}",
    )


def _wall_material(entry: Json, own: Own) -> WallMaterial | None:
    """None where the entry only says where the wall goes: its substrate decides."""
    if not {"name", "material_id", "conductivity_w_mk", "mu"} & entry.keys():
        return None
    layer = _layer({"thickness_mm": 1.0, **{name: value for name, value in entry.items() if name != "wall"}}, True, own)
    if layer.conductivity_w_mk is None:
        raise refuse(("material_id",), "not_a_wall", f"{layer.name} is nothing that a wall is made of")
    return WallMaterial(name=layer.name or "Wall", conductivity_w_mk=layer.conductivity_w_mk, mu=layer.mu, source=layer.source)


def _fibre(material_id: str | None) -> bool | None:
    """Whether a standard material is mineral wool; not known of any other."""
    id = as_id(material_id)
    code = material_id if id is None else standard_code(id)
    return None if code is None else code.startswith(MINERAL_WOOL)
