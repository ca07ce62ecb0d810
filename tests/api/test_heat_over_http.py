"""Heat and moisture as callers ask for them: walls worked by hand, the reference case of condensation, bad input by pointer."""

from typing import Any

import pytest
from api_contract import ContractClient

BRICK = {"length_mm": 3000, "substrate": "solid_brick", "thickness_mm": 225}
BUILD_UP: list[dict[str, Any]] = [
    {"material_id": "plasterboard", "thickness_mm": 12.5},
    {"material_id": "polyethylene_0_15"},
    {"material_id": "air_layer", "thickness_mm": 20},
    {"name": "Wool", "thickness_mm": 80, "conductivity_w_mk": 0.035, "mu": 1},
    {"material_id": "dense_plaster", "thickness_mm": 13, "existing": True},
    {"wall": True},
]
STEADY = {
    "outside": [{"temperature_c": 5, "humidity_percent": 85}] * 12,
    "inside": [{"temperature_c": 20, "humidity_percent": 60}] * 12,
}


def survey(*walls: dict[str, Any], **room: Any) -> dict[str, Any]:
    return {"rooms": [{"name": "Invented room", "ceiling_height_mm": 2400, "walls": list(walls), **room}]}


def thermal(client: ContractClient, body: dict[str, Any]) -> dict[str, Any]:
    answer = client.post("/v1/takeoffs?include=thermal", json=body)
    assert answer.status_code == 201, answer.json
    found: dict[str, Any] = answer.json["thermal"]
    return found


def test_a_wall_worked_by_hand(client: ContractClient) -> None:
    """Layers: 0.0125/0.25 = 0.05; film 0; air of 20 between 0.17 (15) and 0.18 (25): 0.175; 0.08/0.035 = 2.285714;
    0.013/0.57 = 0.022807; 0.225/0.77 = 0.292208; surfaces 0.13 + 0.04. Together 2.995729, so U₀ = 0.333809. Before: 0.485015, so
    2.061793. Brackets: as many as the layout has, on 3.0 × 2.4 = 7.2 m²; ΔU = 0.8 · 50 · 40e-6 · n/7.2 / 0.08
    · (2.285714/2.995729)²."""
    body = {"survey": survey(BRICK), "specification": {"stud_centres_mm": 400, "build_up": BUILD_UP, "target_u_value_w_m2k": 0.3}}
    answer = client.post("/v1/takeoffs?include=thermal,layouts", json=body).json
    found, layout = answer["thermal"], answer["layouts"]["layouts"][0]
    [wall] = found["walls"]
    brackets = len(layout["brackets"])
    delta = 0.8 * 50 * 40e-6 * brackets / 7.2 / 0.08 * (2.285714 / 2.995729) ** 2
    assert wall["brackets"] == brackets > 6
    assert wall["resistance_m2k_w"] == pytest.approx(2.995729, abs=1e-6)
    assert wall["resistance_upper_m2k_w"] == wall["resistance_lower_m2k_w"] == wall["resistance_m2k_w"]
    assert wall["u_value_before_w_m2k"] == pytest.approx(2.061793, abs=1e-5)
    assert wall["u_value_uncorrected_w_m2k"] == pytest.approx(0.333809, abs=1e-6)
    assert [(term["kind"], term["counted"]) for term in wall["corrections"]] == [("fasteners", True)]
    assert delta > 0.03 * 0.333809, "so it counts"
    u = 0.333809 + delta
    assert wall["u_value_w_m2k"] == pytest.approx(u, abs=1e-5)
    assert wall["missing_resistance_m2k_w"] == pytest.approx(1 / 0.3 - 1 / u, abs=1e-4)
    assert wall["heat_loss_before_w_k"] == pytest.approx(7.2 * 2.061793, abs=1e-3)
    assert wall["heat_loss_w_k"] == pytest.approx(7.2 * u, abs=1e-3)
    thicker = 80 + wall["insulation_to_target_mm"]
    assert wall["insulation_thickness_at_target_mm"] == thicker

    def u_at(thickness_mm: float) -> float:
        wool = thickness_mm / 1000 / 0.035
        total = 2.995729 - 2.285714 + wool
        return 1 / total + 0.8 * 50 * 40e-6 * brackets / 7.2 / (thickness_mm / 1000) * (wool / total) ** 2

    assert u_at(thicker) <= 0.3 < u_at(thicker - 1)
    [finding] = [found for found in answer["findings"] if found["code"] == "thermal_target_missed"]
    assert f"{thicker} mm of Wool" in finding["message"] and finding["wall_id"] == wall["wall_id"]


def test_the_openings_of_a_wall_stand_apart_and_rooms_add_their_walls(client: ContractClient) -> None:
    """3.0 × 2.4 less a window of 1.2 × 1.0 = 6.0 m², and 2.0 × 2.4 = 4.8 m², at 2.163529 W/(m²·K) before: 0.462208 m²·K/W."""
    window = {"kind": "window", "offset_mm": 900, "width_mm": 1200, "sill_mm": 900, "height_mm": 1000}
    found = thermal(client, {"survey": survey({**BRICK, "openings": [window]}, {**BRICK, "length_mm": 2000})})
    assert [(w["area_m2"], w["opening_area_m2"]) for w in found["walls"]] == [(6.0, 1.2), (4.8, 0)]
    [room] = found["rooms"]
    assert (room["area_m2"], room["opening_area_m2"]) == (10.8, 1.2)
    assert room["heat_loss_before_w_k"] == pytest.approx(10.8 * 2.163529, abs=1e-4)
    assert room["heat_loss_w_k"] == pytest.approx(sum(w["area_m2"] * w["u_value_w_m2k"] for w in found["walls"]))
    assert {name: room[name] for name in found["total"]} == found["total"]
    assert room["floor_area_m2"] is None, "two walls are no closed loop"


def test_without_a_climate_the_moisture_part_says_that_it_needs_one(client: ContractClient) -> None:
    found = thermal(client, {"survey": survey(BRICK)})
    assert found["moisture"] == [] and found["walls"][0]["moisture"] is None
    codes = {limit["code"] for limit in found["limits"]}
    assert {"climate_needed", "generic_build_up", "plane_areas"} <= codes and "no_rain" not in codes


@pytest.mark.parametrize("stored", [False, True], ids=["inline", "of a project"])
def test_the_reference_cases_of_condensation_come_out_over_http(client: ContractClient, stored: bool) -> None:
    """Brick 220 (0.77, μ 10), wool 50 (0.035, μ 1), board 12.5 (0.25, μ 4), 20 °C/60 % inside, 5 °C/85 % outside, worked on a
    separate sheet: 1817.5 g/m² in 30 days without a membrane, 19.9 with one of sd 2 m. April has 30 days."""
    build_up = [
        {"name": "Board", "thickness_mm": 12.5, "conductivity_w_mk": 0.25, "mu": 4},
        {"name": "Film", "thickness_mm": 0.2, "resistance_m2k_w": 0, "sd_m": 2, "membrane": True},
        {"name": "Wool", "thickness_mm": 50, "conductivity_w_mk": 0.035, "mu": 1},
        {"wall": True, "name": "Brick", "conductivity_w_mk": 0.77, "mu": 10},
    ]
    specification = {"build_up": build_up, "insulation_thickness_mm": 50}
    walls = survey({**BRICK, "thickness_mm": 220})
    if stored:
        own = client.post("/v1/specifications", json=specification).json["id"]
        project = {"specification_id": own, "survey": walls, "climate": STEADY}
        path = f"/v1/projects/{client.post('/v1/projects', json=project).json['id']}/takeoffs"
        answer = client.post(f"{path}?include=thermal", json={}).json
    else:
        answer = client.post(
            "/v1/takeoffs?include=thermal", json={"survey": walls, "specification": specification, "climate": STEADY}
        ).json
    [moisture] = answer["thermal"]["moisture"]
    april = {
        which: next(month for month in moisture[which]["months"] if month["month"] == 4)["change_g_m2"]
        for which in ("with_membrane", "without_membrane")
    }
    assert april["without_membrane"] == pytest.approx(1817.5, abs=0.5)
    assert april["with_membrane"] == pytest.approx(19.9, abs=0.1)
    assert moisture["membrane"] == "Film"
    verdict = answer["thermal"]["walls"][0]["moisture"]
    assert verdict["number"] == moisture["number"]
    assert verdict["with_membrane"]["condenses"] and not verdict["with_membrane"]["dries_out"]
    assert verdict["with_membrane"]["peak_g_m2"] == pytest.approx(19.9 * 365 / 30, rel=0.005)
    assert {"condensation_risk"} <= {finding["code"] for finding in answer["findings"]}


def test_filters_leave_out_and_change_no_figure(client: ContractClient) -> None:
    two = {"rooms": [*survey(BRICK, {**BRICK, "length_mm": 2000})["rooms"], *survey({**BRICK, "substrate": "stone"})["rooms"]]}
    made = client.post("/v1/takeoffs?include=thermal,cautions", json={"survey": two, "climate": STEADY})
    path, whole, all_cautions = made.headers["Location"], made.json["thermal"], made.json["cautions"]["cautions"]
    wall, room = whole["walls"][1], whole["rooms"][1]
    narrowed = client.get(f"{path}/thermal?wall_id={wall['wall_id']}").json
    assert narrowed["walls"] == [wall] and narrowed["rooms"] == [whole["rooms"][0]] and narrowed["total"] == whole["total"]
    assert [one["walls"] for one in narrowed["moisture"]] == [[{"room_id": wall["room_id"], "wall_id": wall["wall_id"]}]]
    narrowed = client.get(f"{path}/thermal?room_id={room['room_id']}").json
    assert narrowed["walls"] == whole["walls"][2:] and narrowed["rooms"] == [room]
    narrowed = client.get(f"{path}/cautions?room_id={room['room_id']}").json["cautions"]
    assert {one["code"] for one in narrowed} <= {one["code"] for one in all_cautions}
    assert all(place["room_id"] == room["room_id"] for one in narrowed for place in one["walls"])
    assert client.get(f"{path}/thermal?component=c_stud").status_code == 422


def test_cautions_follow_from_what_the_job_holds(client: ContractClient) -> None:
    hearth = {"kind": "hearth", "offset_mm": 900, "width_mm": 900, "sill_mm": 0, "height_mm": 900}
    window = {"kind": "window", "offset_mm": 900, "width_mm": 1200, "sill_mm": 900, "height_mm": 1000, "reveal_depth_mm": 120}
    socket = {"kind": "socket", "x_mm": 400, "y_mm": 450}
    walls = [{**BRICK, "openings": [hearth]}, {**BRICK, "openings": [window]}, {**BRICK, "features": [socket]}, BRICK]
    body = {"survey": survey(*walls), "year_built": 2015}
    answer = client.post("/v1/takeoffs?include=cautions,thermal", json=body).json
    places = [wall["wall_id"] for wall in answer["thermal"]["walls"]]
    called = {one["code"]: [place["wall_id"] for place in one["walls"]] for one in answer["cautions"]["cautions"]}
    assert called["combustion_appliance"] == places[:1]
    assert called["window_reveals"] == [places[1]]
    assert called["electrical_features"] == [places[2]]
    assert called["damp_first"] == called["mineral_fibre"] == places
    assert "asbestos" not in called and "lead_paint" not in called
    older = client.post("/v1/takeoffs?include=cautions", json={"survey": survey(BRICK)}).json["cautions"]["cautions"]
    assert {"asbestos", "lead_paint"} <= {one["code"] for one in older}, "of unknown age, so taken as old"


def changed(at: int, **members: Any) -> list[dict[str, Any]]:
    return [{**layer, **members} if i == at else layer for i, layer in enumerate(BUILD_UP)]


STEEL = {"fraction": 0.001, "conductivity_w_mk": 50}
ELEVEN = {**STEADY, "outside": STEADY["outside"][:11]}
DAMP = {**STEADY, "outside": [*STEADY["outside"][:11], {"temperature_c": 5, "humidity_percent": 110}]}
BAD: list[tuple[str, dict[str, Any], str, str]] = [
    ("eleven months", {"climate": ELEVEN}, "#/climate/outside", "11"),
    ("110 % humidity", {"climate": DAMP}, "#/climate/outside/11/humidity_percent", "100"),
    ("no inside", {"climate": {"outside": STEADY["outside"]}}, "#/climate/humidity_class", "humidity class"),
    ("class and inside", {"climate": {**STEADY, "humidity_class": 3}}, "#/climate/humidity_class", "not both"),
    ("class 5", {"climate": {"outside": STEADY["outside"], "humidity_class": 5}}, "#/climate/humidity_class", "no upper end"),
    (
        "room too cool for its class",
        {
            "climate": {
                "outside": [{"temperature_c": 18, "humidity_percent": 95}] * 12,
                "humidity_class": 4,
                "inside_temperature_c": 12,
            }
        },
        "#/climate/inside_temperature_c",
        "saturation",
    ),
    ("zero conductivity", {"build_up": changed(3, conductivity_w_mk=0)}, "#/build_up/3/conductivity_w_mk", "Must be from"),
    ("zero thickness", {"build_up": changed(3, thickness_mm=0)}, "#/build_up/3/thickness_mm", "Must be from"),
    (
        "no thickness",
        {"build_up": [{"material_id": "eps", "conductivity_w_mk": 0.03}, {"wall": True}]},
        "#/build_up/0/thickness_mm",
        "thickness",
    ),
    ("steel and the simple method", {"build_up": changed(3, bridge=STEEL)}, "#/build_up/3/bridge", "clear of the frame"),
    ("both resistances", {"build_up": changed(3, resistance_m2k_w=1)}, "#/build_up/3/resistance_m2k_w", "not both"),
    ("neither", {"build_up": [{"name": "Board", "thickness_mm": 12}, {"wall": True}]}, "#/build_up/0/conductivity_w_mk", "needs"),
    (
        "a product's own",
        {"build_up": [{"material_id": "eps", "thickness_mm": 50}, {"wall": True}]},
        "#/build_up/0/conductivity_w_mk",
        "declared",
    ),
    ("no such material", {"build_up": changed(0, material_id="moonstone")}, "#/build_up/0/material_id", "moonstone"),
    ("no wall", {"build_up": BUILD_UP[:-1]}, "#/build_up", "where the wall goes"),
    ("two walls", {"build_up": [*BUILD_UP, {"wall": True}]}, "#/build_up/6/wall", "one place"),
    ("a wall of a resistance", {"build_up": changed(5, resistance_m2k_w=0.3)}, "#/build_up/5/resistance_m2k_w", "from the wall"),
    (
        "membrane beyond the wall",
        {"build_up": [{"wall": True}, {"material_id": "gloss_paint", "membrane": True}]},
        "#/build_up/1/membrane",
        "room side",
    ),
    (
        "a bridge over everything",
        {"build_up": changed(3, bridge={"fraction": 1.5, "conductivity_w_mk": 0.13})},
        "#/build_up/3/bridge/fraction",
        "Must be from",
    ),
    ("no target at all", {"target_u_value_w_m2k": 0}, "#/target_u_value_w_m2k", "Must be from"),
    ("a critical factor over one", {"critical_temperature_factor": 1.2}, "#/critical_temperature_factor", "Must be from"),
]


@pytest.mark.parametrize(("sent", "pointer", "reason"), [case[1:] for case in BAD], ids=[case[0] for case in BAD])
def test_bad_input_is_refused_by_pointer_inline_and_when_it_is_to_be_kept(
    client: ContractClient, sent: dict[str, Any], pointer: str, reason: str
) -> None:
    if "climate" in sent:
        kept = client.post("/v1/projects", json=sent)
        inline, at = client.post("/v1/takeoffs", json={"survey": survey(BRICK), **sent}), pointer
    else:
        kept = client.post("/v1/specifications", json=sent)
        inline = client.post("/v1/takeoffs", json={"survey": survey(BRICK), "specification": sent})
        at = pointer.replace("#", "#/specification", 1)
    for answer, place in ((kept, pointer), (inline, at)):
        assert answer.status_code == 422
        faults = {fault["pointer"]: fault["detail"] for fault in answer.json["errors"]}
        assert reason in faults[place]


def test_a_steel_framed_layer_is_answered_by_the_method_for_light_steel_framing(client: ContractClient) -> None:
    """Studs 40 wide, 70 deep, at 600: p = 0.8·R″/R′ + 0.44 − 0.1 − 0.2 − 0.028, between the two limits that the answer gives."""
    frame = {"flange_mm": 40, "spacing_mm": 600, "depth_mm": 70}
    body = {"build_up": changed(3, bridge={**STEEL, "steel_frame": frame}, insulation=False)}
    [wall] = thermal(client, {"survey": survey(BRICK), "specification": body})["walls"]
    upper, lower = wall["resistance_upper_m2k_w"], wall["resistance_lower_m2k_w"]
    p = 0.8 * lower / upper + 0.44 - 0.1 - 0.2 - 0.028
    assert wall["method"] == "light_steel"
    assert wall["resistance_m2k_w"] == pytest.approx(p * upper + (1 - p) * lower)


def test_what_cannot_be_assessed_on_one_wall_is_a_finding_and_the_rest_stands(client: ContractClient) -> None:
    """A dense timber bridge sets the limits further apart than 1.5 to 1 before the stone's own resistance can even it out."""
    build_up = [
        {"name": "Foam", "thickness_mm": 80, "conductivity_w_mk": 0.02, "bridge": {"fraction": 0.2, "conductivity_w_mk": 3}},
        {"wall": True},
    ]
    made = client.post(
        "/v1/takeoffs?include=thermal", json={"survey": survey(BRICK), "specification": {"build_up": build_up}}
    ).json
    [wall] = made["thermal"]["walls"]
    assert wall["u_value_w_m2k"] is None and "1.5 to 1" in wall["not_assessed"]
    assert made["thermal"]["total"]["heat_loss_w_k"] is None
    assert "heat_not_assessed" in {finding["code"] for finding in made["findings"]}


def test_a_layer_without_vapour_resistance_leaves_moisture_alone_but_not_heat(client: ContractClient) -> None:
    build_up = [{"name": "Foam", "thickness_mm": 80, "conductivity_w_mk": 0.03}, {"wall": True}]
    body = {"survey": survey(BRICK), "specification": {"build_up": build_up}, "climate": STEADY}
    [wall] = thermal(client, body)["walls"]
    assert wall["u_value_w_m2k"] < 0.4
    assert wall["moisture"]["number"] is None and "Foam" in wall["moisture"]["not_followed"]


def test_heat_is_part_of_what_a_takeoff_was_made_from(client: ContractClient) -> None:
    plain = client.post("/v1/takeoffs", json={"survey": survey(BRICK)}).json
    asked = {"survey": survey(BRICK), "specification": {"build_up": BUILD_UP, "target_u_value_w_m2k": 0.3}, "climate": STEADY}
    full = client.post("/v1/takeoffs", json=asked).json
    assert plain["digest"] != full["digest"]
    assert (
        client.post("/v1/takeoffs", json={**asked, "climate": {**STEADY, "source": "invented"}}).json["digest"] == full["digest"]
    )
    used = client.get(f"/v1/takeoffs/{full['id']}/inputs").json
    assert [layer.get("name") for layer in used["build_up"]][-1] is None and used["build_up"][-1] == {"wall": True}
    assert used["target_u_value_w_m2k"] == 0.3 and used["climate"]["inside"] == STEADY["inside"]


def test_a_kept_specification_is_shown_as_it_was_sent_and_can_be_sent_back(client: ContractClient) -> None:
    made = client.post("/v1/specifications", json={"build_up": BUILD_UP, "target_u_value_w_m2k": 0.25})
    assert made.json["build_up"] == BUILD_UP and made.json["target_u_value_w_m2k"] == 0.25
    path, tag = made.headers["Location"], {"If-Match": made.headers["ETag"]}
    assert client.put(path, json=made.json, headers=tag).json == made.json
    cleared = client.patch(path, json={"build_up": None}, headers=tag).json
    assert cleared["build_up"] is None and cleared["target_u_value_w_m2k"] == 0.25
