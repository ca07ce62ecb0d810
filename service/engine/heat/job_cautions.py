"""Which cautions a job calls for, wall by wall, from what its survey, its materials and its cut lists hold."""

from collections.abc import Sequence

from service.engine.heat_results import PlacedCaution, WallHeat
from service.engine.inputs import Room, Wall
from service.engine.order_results import FlatCutList
from service.engine.physics.cautions import Caution, Job, cautions
from service.vocabulary import SHEET_COMPONENTS, FeatureKind, OpeningKind

ELECTRICAL = frozenset({FeatureKind.SOCKET, FeatureKind.SWITCH})
Place = tuple[int, int]


def cautions_of(
    rooms: Sequence[Room], walls: Sequence[WallHeat], sheets: Sequence[FlatCutList], year_built: int | None
) -> tuple[PlacedCaution, ...]:
    """Each caution once, in a fixed order, with the walls to be lined that call for it in survey order."""
    heaviest = _heaviest_boards(sheets)
    called: dict[Caution, list[Place]] = {}
    for heat in walls:
        place = (heat.room, heat.wall)
        job = _job(rooms[heat.room - 1].walls[heat.wall - 1], heat, heaviest.get(place), year_built)
        for caution in cautions(job):
            called.setdefault(caution, []).append(place)
    whole = Job(
        frozenset(substrate for heat in walls for substrate in [rooms[heat.room - 1].walls[heat.wall - 1].substrate]),
        year_built,
        max(heaviest.values(), default=None),
        mineral_fibre=True,
        window_reveals=True,
        combustion_appliance=True,
        electrical_features=True,
    )
    return tuple(PlacedCaution(caution=one, walls=tuple(called[one])) for one in cautions(whole) if one in called)


def _job(wall: Wall, heat: WallHeat, heaviest_kg: float | None, year_built: int | None) -> Job:
    """A hearth stands for a combustion appliance: the survey does not say whether one is in use."""
    kinds = {opening.kind for opening in wall.openings}
    return Job(
        substrates=frozenset({wall.substrate}),
        year_built=year_built,
        heaviest_board_kg=heaviest_kg,
        mineral_fibre=heat.fibre,
        window_reveals=any(o.kind is OpeningKind.WINDOW and o.reveal_depth_mm > 0 for o in wall.openings),
        combustion_appliance=OpeningKind.HEARTH in kinds,
        electrical_features=any(feature.kind in ELECTRICAL for feature in wall.features),
    )


def _heaviest_boards(cut_lists: Sequence[FlatCutList]) -> dict[Place, float]:
    """The heaviest whole sheet that a wall's pieces are cut from: it is carried before it is cut."""
    found: dict[Place, float] = {}
    for cut_list in cut_lists:
        if cut_list.component not in SHEET_COMPONENTS:
            continue
        for sheet in cut_list.sheets:
            if sheet.item.mass_kg is not None:
                for placed in sheet.pieces:
                    place = (placed.piece.room, placed.piece.wall)
                    found[place] = max(found.get(place, 0.0), sheet.item.mass_kg)
    return found
