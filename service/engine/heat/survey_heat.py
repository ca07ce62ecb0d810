"""Heat and moisture of every wall that is to be lined, and sums by room."""

import math
from collections.abc import Mapping, Sequence

from service.engine.findings import in_order
from service.engine.heat.constructions import Through, built
from service.engine.heat.described import described_build_up
from service.engine.heat.heat_findings import build_up_findings, wall_findings
from service.engine.heat.substrates import wall_layers
from service.engine.heat_inputs import HeatInputs
from service.engine.heat_results import Heat, RoomHeat, WallHeat
from service.engine.inputs import Room, Wall
from service.engine.parameters import Parameters
from service.engine.physics.assessment import Assessor, Question
from service.engine.physics.climate import inside_by_class_steps
from service.engine.physics.faults import Refused
from service.engine.physics.heat_loss import Area, heat_loss, heat_loss_steps
from service.engine.physics.limits import CLIMATE_NEEDED, MOISTURE_LIMITS, THERMAL_LIMITS, Limit
from service.engine.physics.steps import Step
from service.engine.quantities.areas import Areas
from service.engine.results import Finding, WallLayout
from service.vocabulary import Certainty

MM2_PER_M2 = 1e6

LINED_WALLS_ONLY = Limit(
    "lined_walls_only",
    "Only walls that are to be lined are counted, each by its masonry face without openings, and as if the open air were behind "
    "it. Openings are listed apart and lose heat of their own.",
    "a decision of this service",
    Certainty.COMMON_PRACTICE,
)
GENERIC_BUILD_UP = Limit(
    "generic_build_up",
    "No build-up was given: boards, film, air and mineral wool of generic values stand in for products. Declared values decide.",
    "a decision of this service",
    Certainty.COMMON_PRACTICE,
)


def heat_of(
    rooms: Sequence[Room], layouts: Sequence[WallLayout], areas: Areas, p: Parameters, asked: HeatInputs
) -> tuple[Heat, tuple[Finding, ...]]:
    """Every lined wall assessed with the brackets of its own layout; what is the same for several walls is worked out once."""
    assessor = Assessor()
    by_place = {(layout.room, layout.wall): layout for layout in layouts}
    found: list[Finding] = build_up_findings(asked.build_up, p)
    walls = []
    for r, room in enumerate(rooms, 1):
        for w, wall in enumerate(room.walls, 1):
            if wall.lined:
                walls.append(_wall_heat(assessor, r, w, wall, by_place.get((r, w)), areas.lined_by_wall, p, asked))
                found += wall_findings(walls[-1], asked)
    room_heats = tuple(
        _room_heat(r, [wall for wall in walls if wall.room == r], area.floor_m2, area.floor_lost_m2)
        for r, area in enumerate(areas.by_room, 1)
    )
    floors = [area.floor_m2 for area in areas.by_room]
    floor = math.fsum(one for one in floors if one is not None) if all(one is not None for one in floors) else None
    total = _room_heat(None, walls, floor, math.fsum(area.floor_lost_m2 for area in areas.by_room))
    described = asked.build_up is None
    limits = (
        *THERMAL_LIMITS,
        LINED_WALLS_ONLY,
        *([GENERIC_BUILD_UP] if described else []),
        *(MOISTURE_LIMITS if asked.climate is not None else [CLIMATE_NEEDED]),
    )
    steps: tuple[Step, ...] = ()
    if asked.climate is not None and asked.humidity_class is not None:
        steps = inside_by_class_steps(asked.climate.outside, asked.humidity_class)
    heat = Heat(walls=tuple(walls), rooms=room_heats, total=total, described=described, steps=steps, limits=limits)
    return heat, in_order(found)


def _wall_heat(
    assessor: Assessor,
    r: int,
    w: int,
    wall: Wall,
    layout: WallLayout | None,
    lined_m2: Mapping[tuple[int, int], float],
    p: Parameters,
    asked: HeatInputs,
) -> WallHeat:
    openings = sum(opening.width_mm * opening.height_mm for opening in wall.openings) / MM2_PER_M2
    face = wall.length_mm * (wall.height_left_mm + wall.height_right_mm) / 2 / MM2_PER_M2
    brackets = len(layout.brackets) if layout is not None else 0
    lined = lined_m2.get((r, w), 0.0)
    per_m2 = brackets / lined if lined > 0 else 0.0
    assumed = assessment = reason = None
    fibre = False
    try:
        own, assumed = wall_layers(wall.substrate, wall.thickness_mm, asked.build_up.wall_material if asked.build_up else None)
        offset = p.frame_offset_mm if wall.frame_offset_mm is None else wall.frame_offset_mm
        through = Through(
            per_m2=per_m2,
            section_mm2=p.bracket_section_mm2,
            conductivity_w_mk=p.bracket_conductivity_w_mk,
            air_gap_level=p.insulation_air_gap_level,
        )
        made = built(asked.build_up or described_build_up(p, offset), own, through)
        fibre = made.fibre and layout is not None
        lining = layout is not None
        assessment = assessor.assess(
            Question(
                after=made.after if lining else made.before or made.after,
                before=made.before,
                insulation=made.insulation if lining else None,
                membrane=made.membrane if lining else None,
                target_w_m2k=asked.target_u_value_w_m2k,
                critical_factor=asked.critical_temperature_factor,
                climate=asked.climate,
            )
        )
    except Refused as refusal:
        reason = str(refusal)
    return WallHeat(
        room=r,
        wall=w,
        area_m2=max(0.0, face - openings),
        opening_area_m2=openings,
        carries_lining=layout is not None,
        brackets=brackets,
        brackets_per_m2=per_m2,
        assumed=assumed,
        fibre=fibre,
        assessment=assessment,
        reason=reason,
    )


def _room_heat(room: int | None, walls: Sequence[WallHeat], floor_m2: float | None, floor_lost_m2: float) -> RoomHeat:
    areas = [
        Area(
            f"wall {wall.room}/{wall.wall}",
            wall.area_m2,
            wall.assessment.u_before.u_value_w_m2k,
            wall.assessment.u_after.u_value_w_m2k,
        )
        for wall in walls
        if wall.assessment is not None and wall.assessment.u_before is not None
    ]
    whole = len(areas) == len(walls)
    loss = heat_loss(areas)
    return RoomHeat(
        room=room,
        area_m2=math.fsum(wall.area_m2 for wall in walls),
        opening_area_m2=math.fsum(wall.opening_area_m2 for wall in walls),
        heat_loss_before_w_k=loss.before_w_k if whole else None,
        heat_loss_w_k=loss.after_w_k if whole else None,
        floor_area_m2=floor_m2,
        floor_area_lost_m2=floor_lost_m2,
        steps=heat_loss_steps(areas) if room is not None and whole else (),
    )
