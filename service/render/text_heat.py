"""Heat and moisture in brief: what each wall loses before and after, whether it stays dry; what to think of before the work."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from service.render.text_places import Places, heading, wrapped

Json = Mapping[str, Any]
U = "W/(m²·K)"
ENOUGH = 1 + 1e-9
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def heat_lines(thermal: Json, places: Places) -> list[str]:
    """Sums by room, a line for each wall, moisture construction by construction; the figures' limits in short."""
    lines = heading("Heat and moisture")
    total = thermal["total"]
    lines += wrapped(
        f"Through {total['area_m2']:.1f} m² of walls that are lined: {_loss(total)}. Openings lose heat of their own."
    )
    if not thermal["build_up_given"]:
        lines += wrapped("No build-up was given: generic values of boards, film, air and mineral wool were taken.")
    lines += ["", f"  Wall      U before   U after   Target ({U})"]
    sums = {room["room_id"]: room for room in thermal["rooms"]}
    for room_id, walls in groupby(thermal["walls"], key=lambda wall: wall["room_id"]):
        share = sums[room_id]["floor_area_lost_percent"]
        floor = "" if share is None else f"; {share:.1f} % of its floor is taken"
        lines += wrapped(f"{places.room(room_id)}: {_loss(sums[room_id])}{floor}", rest="  ")
        lines += [_wall(wall, places) for wall in walls]
    lines.append("")
    for construction in thermal["moisture"]:
        lines += wrapped(f"Within {_labels(construction['walls'], places)}: {_moisture(construction)}.", rest="  ")
    if any(limit["code"] == "climate_needed" for limit in thermal["limits"]):
        lines += wrapped("Nothing is said about moisture: that needs a climate.")
    else:
        lines += wrapped(
            "Moisture is followed month by month by the climate that was given. Rain, capillarity, built-in water and air "
            "leakage are not in it: solid masonry in exposed places needs a simulation and a competent assessor."
        )
    return lines


def _loss(sums: Json) -> str:
    if sums["heat_loss_w_k"] is None:
        return "not known, since a wall could not be assessed"
    return f"{sums['heat_loss_before_w_k']:.1f} W/K before, {sums['heat_loss_w_k']:.1f} after"


def _wall(wall: Json, places: Places) -> str:
    label = f"  {places.wall_label(wall['wall_id']).removeprefix('wall '):8}"
    if wall["u_value_w_m2k"] is None:
        return f"{label}  not assessed"
    before, after, target = wall["u_value_before_w_m2k"], wall["u_value_w_m2k"], wall["target_u_value_w_m2k"]
    figures = f"{label}  {before:8.2f}  {after:8.2f}"
    if target is not None:
        missed = after > target * ENOUGH
        figures += f"  {target:7g} {'missed' if missed else 'reached'}"
        if missed and wall["insulation_to_target_mm"] is not None:
            figures += f" by {wall['insulation_to_target_mm']} mm of insulation"
    if not wall["carries_lining"]:
        figures += "  no lining could be set out"
    if wall["moisture"] is not None:
        kept = wall["moisture"]["surface"]["factor_reached"]
        figures += f"  {'warm enough against mould' if kept else 'MOULD MAY GROW'}"
    return figures


def _moisture(construction: Json) -> str:
    with_it, without = construction["with_membrane"], construction["without_membrane"]
    if with_it is None:
        return f"{_verdict(without)}, without a membrane"
    text = f"with the membrane {_verdict(with_it)}"
    return text if without is None else f"{text}; without it {_verdict(without)}"


def _verdict(year: Json) -> str:
    if not year["condenses"]:
        return "dry all year"
    end = "dry again later" if year["dries_out"] else f"{year['left_g_m2']:.0f} left after a year"
    return f"up to {year['peak_g_m2']:.0f} g/m² by the end of {MONTHS[year['peak_month'] - 1]}, {end}"


def caution_lines(cautions: Sequence[Json], places: Places) -> list[str]:
    """What to do and who is competent; the walls only where it is not about all of them."""
    lines = heading("Before the work")
    lines += wrapped("None of this says that a job is safe or in order: local rules and licensed practice decide.")
    everywhere = max((len(caution["walls"]) for caution in cautions), default=0)
    for caution in cautions:
        where = "" if len(caution["walls"]) == everywhere else f" ({_labels(caution['walls'], places)})"
        text = f"{caution['because']}{where} {caution['what_to_do']} Competent: {caution['competent'].rstrip('.')}."
        lines += wrapped(text, first="- ", rest="  ")
    return lines


def _labels(walls: Iterable[Json], places: Places) -> str:
    return ", ".join(places.wall_label(wall["wall_id"]) for wall in walls)
