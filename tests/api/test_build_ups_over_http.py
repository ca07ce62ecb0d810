"""Build-ups assessed without a survey, and the materials that they name."""

from typing import Any

import pytest
from api_contract import ContractClient

STEADY = {
    "outside": [{"temperature_c": 5, "humidity_percent": 85}] * 12,
    "inside": [{"temperature_c": 20, "humidity_percent": 60}] * 12,
}
SCOTTISH: list[dict[str, Any]] = [
    {"name": "Plasterboard", "thickness_mm": 25, "resistance_m2k_w": 0.1},
    {"name": "Wool", "thickness_mm": 140, "conductivity_w_mk": 0.042, "bridge": {"fraction": 0.095, "conductivity_w_mk": 0.13}},
    {"name": "Plywood", "thickness_mm": 19, "resistance_m2k_w": 0.146},
    {"name": "Cavity", "thickness_mm": 50, "resistance_m2k_w": 0.09},
    {"name": "Brick", "thickness_mm": 102, "resistance_m2k_w": 0.132},
]


def assess(client: ContractClient, **body: Any) -> dict[str, Any]:
    answer = client.post("/v1/buildups", json=body)
    assert answer.status_code == 200, answer.json
    found: dict[str, Any] = answer.json
    return found


def test_the_timber_framed_wall_of_the_scottish_annex(client: ContractClient) -> None:
    """Scottish Building Standards, Annex 6.B.2: paths of 3.971 and 1.715 m²·K/W over 0.905 and 0.095 of the area. By hand:
    R′ = 1/(0.905/3.971 + 0.095/1.715) = 3.530; R″ = 0.638 + 1/(0.905/3.333 + 0.095/1.077) = 3.418; mean 3.474, so 0.288."""
    found = assess(client, build_up=SCOTTISH, target_u_value_w_m2k=0.3)
    assert found["resistance_upper_m2k_w"] == pytest.approx(3.530, abs=0.001)
    assert found["resistance_lower_m2k_w"] == pytest.approx(3.418, abs=0.001)
    assert found["u_value_w_m2k"] == pytest.approx(0.288, abs=0.0005)
    assert found["u_value_before_w_m2k"] is None, "nothing of it is said to be there before"
    assert (found["missing_resistance_m2k_w"], found["insulation_to_target_mm"]) == (0, 0)
    assert found["steps"][-1]["symbol"] == "R_missing"
    assert found["moisture"] is None and found["limits"][-1]["code"] == "climate_needed"


def test_fasteners_and_moisture_of_a_solid_wall(client: ContractClient) -> None:
    """Fasteners by hand: 0.8 · 50 · 10e-6 · 5 / 0.05 · (1.428571/RT)², RT = 0.05 + 1.428571 + 0.285714 + 0.17 = 1.934286.
    Moisture: case C of a separate sheet, 1817.5 g/m² in the 30 days of April."""
    build_up = [
        {"name": "Board", "thickness_mm": 12.5, "conductivity_w_mk": 0.25, "mu": 4},
        {"name": "Wool", "thickness_mm": 50, "conductivity_w_mk": 0.035, "mu": 1},
        {"wall": True, "conductivity_w_mk": 0.77, "mu": 10},
    ]
    through = {"brackets_per_m2": 5, "bracket_section_mm2": 10, "bracket_conductivity_w_mk": 50}
    found = assess(client, build_up=build_up, wall_thickness_mm=220, climate=STEADY, **through)
    [fasteners] = found["corrections"]
    assert fasteners["delta_u_w_m2k"] == pytest.approx(0.8 * 50 * 10e-6 * 5 / 0.05 * (1.428571 / 1.934286) ** 2, rel=1e-5)
    assert found["u_value_w_m2k"] == pytest.approx(1 / 1.934286 + fasteners["delta_u_w_m2k"], rel=1e-5)
    assert found["u_value_before_w_m2k"] == pytest.approx(1 / (0.285714 + 0.17), rel=1e-5)
    assert found["moisture"]["condenses"] and found["moisture"]["with_membrane"] is None
    april = next(month for month in found["moisture"]["without_membrane"]["months"] if month["month"] == 4)
    assert april["change_g_m2"] == pytest.approx(1817.5, abs=0.5)


def test_the_walls_entry_may_say_all_of_a_wall_that_nobody_surveyed(client: ContractClient) -> None:
    """0.3/0.6 + 0.17 = 0.67 m²·K/W."""
    found = assess(client, build_up=[{"wall": True, "name": "Cob", "thickness_mm": 300, "conductivity_w_mk": 0.6}])
    assert [(layer["name"], layer["thickness_mm"]) for layer in found["layers"]] == [("Cob", 300)]
    assert found["u_value_w_m2k"] == found["u_value_before_w_m2k"] == pytest.approx(1 / 0.67)
    assert assess(client, build_up=[{"wall": True, "thickness_mm": 225}])["resistance_m2k_w"] == pytest.approx(
        0.225 / 0.77 + 0.17
    )


def test_a_humidity_class_is_worked_out_step_by_step(client: ContractClient) -> None:
    """Class 3 at 5 °C outside: 810 · 15/20 = 607.5 Pa, ten percent on it; outside 0.85 · 871.9 = 741.1 Pa: 1409.4 Pa inside."""
    climate = {"outside": STEADY["outside"], "humidity_class": 3}
    found = assess(client, build_up=[{"material_id": "brick_outer", "thickness_mm": 225}], climate=climate)
    excess, pressure = found["climate_steps"][:2]
    assert excess["value"] == 607.5
    assert pressure["value"] == pytest.approx(741.1 + 1.1 * 607.5, abs=0.1)
    assert len(found["climate_steps"]) == 24


@pytest.mark.parametrize(
    ("body", "pointer", "reason"),
    [
        ({}, "#/build_up", "required"),
        ({"build_up": []}, "#/build_up", "at least 1"),
        ({"build_up": [{"wall": True}], "substrate": "straw"}, "#/substrate", "Must be one of"),
        ({"build_up": [{"wall": True}], "wall_thickness_mm": 0}, "#/wall_thickness_mm", "Must be from"),
        ({"build_up": [{"wall": True}], "brackets_per_m2": -1}, "#/brackets_per_m2", "Must be from"),
        (
            {
                "build_up": [
                    {"wall": True},
                    {
                        "name": "A",
                        "thickness_mm": 80,
                        "conductivity_w_mk": 0.03,
                        "bridge": {"fraction": 0.1, "conductivity_w_mk": 50},
                    },
                ],
                "substrate": "cavity_brick",
                "wall_thickness_mm": 270,
            },
            "#/build_up/1/bridge",
            "metal",
        ),
        (
            {
                "build_up": [
                    {
                        "name": "A",
                        "thickness_mm": 80,
                        "conductivity_w_mk": 0.02,
                        "bridge": {"fraction": 0.2, "conductivity_w_mk": 3},
                    },
                    {"wall": True},
                ]
            },
            "#/build_up",
            "1.5 to 1",
        ),
    ],
)
def test_what_cannot_be_assessed_is_refused_by_pointer(
    client: ContractClient, body: dict[str, Any], pointer: str, reason: str
) -> None:
    answer = client.post("/v1/buildups", json=body)
    assert answer.status_code == 422
    assert reason in {fault["pointer"]: fault["detail"] for fault in answer.json["errors"]}[pointer]


def every_page(client: ContractClient, query: str) -> list[dict[str, Any]]:
    found, cursor = [], ""
    while True:
        page = client.get(f"/v1/materials?{query}{cursor}").json
        found += page["items"]
        if page["next_cursor"] is None:
            return found
        cursor = f"&cursor={page['next_cursor']}"


@pytest.mark.parametrize("limit", [1, 7, 500])
def test_the_list_has_the_accounts_own_materials_and_then_the_standard_ones(client: ContractClient, limit: int) -> None:
    own = [client.post("/v1/materials", json={"name": f"Own {n}", "conductivity_w_mk": 0.03}).json["id"] for n in range(3)]
    found = every_page(client, f"limit={limit}")
    standard = [one for one in found if one["standard"]]
    assert [one["id"] for one in found] == own + [one["id"] for one in standard]
    assert len({one["id"] for one in found}) == len(found) > 50
    assert all(one["source"] and one["certainty"] and one["code"] for one in standard)
    assert every_page(client, f"limit={limit}&standard=true") == standard
    assert [one["id"] for one in every_page(client, f"limit={limit}&standard=false")] == own


def test_a_page_of_standard_materials_is_no_place_in_another_list(client: ContractClient) -> None:
    cursor = client.get("/v1/materials?limit=2&standard=true").json["next_cursor"]
    assert client.get(f"/v1/materials?limit=2&standard=false&cursor={cursor}").status_code == 400
    assert client.get("/v1/materials?cursor=W10").status_code == 400


def test_standard_materials_are_read_by_all_and_changed_by_nobody(client: ContractClient, stranger: ContractClient) -> None:
    [board] = [one for one in every_page(client, "limit=500") if one["code"] == "plasterboard"]
    path = f"/v1/materials/{board['id']}"
    assert client.get(path).json == stranger.get(path).json == board
    assert (board["conductivity_w_mk"], board["mu_dry"], board["certainty"]) == (0.25, 10, "read")
    anything = {"If-Match": "*"}
    sent = {"name": "Mine now", "conductivity_w_mk": 1}
    assert client.put(path, json=sent, headers=anything).status_code == 409
    assert client.patch(path, json=sent, headers=anything).status_code == 409
    assert client.delete(path, headers=anything).status_code == 409
    assert client.get(path).json == board


def test_a_layer_takes_from_its_material_what_it_does_not_say_itself(client: ContractClient) -> None:
    own = {"name": "Wool", "conductivity_w_mk": 0.032, "mu_dry": 1, "source": "declared"}
    material = client.post("/v1/materials", json=own).json["id"]
    film = client.post("/v1/materials", json={"name": "Film", "sd_m": 20, "thickness_mm": 0.3}).json["id"]
    layers = [
        {"material_id": film},
        {"material_id": material, "thickness_mm": 64},
        {"material_id": material, "thickness_mm": 64, "conductivity_w_mk": 0.04, "name": "Wool, wet"},
        {"wall": True},
    ]
    first, second, third, _ = assess(client, build_up=layers)["layers"]
    assert (first["thickness_mm"], first["sd_m"], first["resistance_m2k_w"]) == (0.3, 20, 0)
    assert (second["name"], second["resistance_m2k_w"], second["mu"], second["source"]) == ("Wool", 2.0, 1, "declared")
    assert (third["name"], third["resistance_m2k_w"], third["mu"], third["source"]) == ("Wool, wet", 1.6, 1, "as given")


def test_a_material_is_another_accounts_to_nobody_and_stays_while_a_build_up_names_it(
    client: ContractClient, stranger: ContractClient
) -> None:
    own = client.post("/v1/materials", json={"name": "Wool", "conductivity_w_mk": 0.032}).json["id"]
    build_up = [{"material_id": own, "thickness_mm": 80}, {"wall": True}]
    refused = stranger.post("/v1/specifications", json={"build_up": build_up})
    assert [fault["pointer"] for fault in refused.json["errors"]] == ["#/build_up/0/material_id"]
    kept = client.post("/v1/specifications", json={"build_up": build_up}).json["id"]
    anything = {"If-Match": "*"}
    answer = client.delete(f"/v1/materials/{own}", headers=anything)
    assert answer.status_code == 409 and answer.json["used_by"] == [{"type": "specification", "id": kept}]
    assert client.delete(f"/v1/specifications/{kept}", headers=anything).status_code == 204
    assert client.delete(f"/v1/materials/{own}", headers=anything).status_code == 204
    gone = client.post("/v1/buildups", json={"build_up": build_up})
    assert gone.status_code == 422 and gone.json["errors"][0]["pointer"] == "#/build_up/0/material_id"


@pytest.mark.parametrize(
    ("sent", "pointer"),
    [
        ({"name": "Nothing"}, "#/conductivity_w_mk"),
        ({"name": "Zero", "conductivity_w_mk": 0}, "#/conductivity_w_mk"),
        ({"name": "Both", "conductivity_w_mk": 1, "mu_dry": 1, "sd_m": 1}, "#/sd_m"),
        ({"conductivity_w_mk": 1}, "#/name"),
    ],
)
def test_a_material_of_no_use_is_refused(client: ContractClient, sent: dict[str, Any], pointer: str) -> None:
    answer = client.post("/v1/materials", json=sent)
    assert answer.status_code == 422
    assert pointer in [fault["pointer"] for fault in answer.json["errors"]]
