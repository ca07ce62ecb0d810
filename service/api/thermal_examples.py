"""Heat and moisture of the invented front room (`service.api.examples`) with the build-up that its parameters describe.

Wall of solid brick 225 thick: 0.13 + 0.225/0.77 + 0.04 = 0.4622 m²·K/W, so 2.1635 W/(m²·K). With boards 0.05, air 0.175 and wool
0.08/0.035 = 2.2857 it is 2.9729, so 0.3364, and 14 brackets on 9.9 m² add 0.0167. Lists are cut down to what shows their form.
"""

from typing import Any

from service.api.examples import CLIMATE, ROOM_ID, WALL_ID

Json = dict[str, Any]

_PLACE: Json = {"room_id": ROOM_ID, "wall_id": WALL_ID}


def _layer(name: str, thickness_mm: float, resistance_m2k_w: float, source: str, **more: Any) -> Json:
    nothing = dict.fromkeys(("conductivity_w_mk", "bridge", "mu", "sd_m"))
    return {"name": name, "thickness_mm": thickness_mm, "resistance_m2k_w": resistance_m2k_w, "source": source, **nothing, **more}


def _step(
    about: str, symbol: str, formula: str, inputs: list[tuple[str, float, str]], value: float, unit: str, clause: str
) -> Json:
    given = [{"symbol": name, "value": number, "unit": its_unit} for name, number, its_unit in inputs]
    return {"about": about, "symbol": symbol, "formula": formula, "inputs": given, "value": value, "unit": unit, "clause": clause}


ISO_10456 = "ISO 10456:2007, Table 3 (read)"
LAYERS: list[Json] = [
    _layer("Gypsum plasterboard", 12.5, 0.05, ISO_10456, conductivity_w_mk=0.25, mu=10),
    _layer("Polyethylene film, 0.15 mm", 0.15, 0, "ISO 10456:2007, Table 5 (from_memory)", sd_m=50),
    _layer("Air around the frame", 20, 0.175, "ISO 6946:2017, 6.9.2, Table 8", sd_m=0.01),
    _layer("Mineral wool of 0.035", 80, 2.285714286, "public Austrian catalogue of tested timber components (read)",
           conductivity_w_mk=0.035, mu=1),
    _layer("Clay brickwork, outer leaf", 225, 0.2922077922, ISO_10456, conductivity_w_mk=0.77, mu=10),
]  # fmt: skip
_U = "W/(m²·K)"
ASSESSED: Json = {
    "layers": LAYERS,
    "method": "combined",
    "resistance_upper_m2k_w": 2.972922078,
    "resistance_lower_m2k_w": 2.972922078,
    "resistance_m2k_w": 2.972922078,
    "relative_error": 0,
    "u_value_uncorrected_w_m2k": 0.3363693948,
    "corrections": [{"kind": "fasteners", "layer": "Mineral wool of 0.035", "delta_u_w_m2k": 0.01671859085, "counted": True}],
    "u_value_before_w_m2k": 2.163529081,
    "u_value_w_m2k": 0.3530879856,
    "target_u_value_w_m2k": 0.3,
    "missing_resistance_m2k_w": 0.5011780611,
    "insulation_to_target_mm": 19,
    "insulation_thickness_at_target_mm": 99,
    "to_target": "the least thickness from which on the target is met",
    "steps": [
        _step(
            "thermal transmittance", "U", "U_0 + ΔU", [("U_0", 0.3363693948, _U), ("ΔU", 0.01671859085, _U)], 0.3530879856, _U,
            "ISO 6946:2017, Annex F, corrections below 3 %",
        )
    ],
    "steps_before": [
        _step(
            "layer 1, Clay brickwork, outer leaf", "R_1", "d_1 / λ_1", [("d_1", 0.225, "m"), ("λ_1", 0.77, "W/(m·K)")],
            0.2922077922, "m²·K/W", f"ISO 6946:2017, 6.7.1; {ISO_10456}",
        )
    ],
}  # fmt: skip
_DRY: Json = {"condenses": False, "dries_out": True, "peak_g_m2": 0, "peak_month": None, "dry_month": None, "left_g_m2": 0}
_WET: Json = {
    "condenses": True,
    "dries_out": False,
    "peak_g_m2": 5760.403515,
    "peak_month": 4,
    "dry_month": None,
    "left_g_m2": 2530.005945,
}
MOISTURE_VERDICT: Json = {
    "number": 1,
    "not_followed": None,
    "with_membrane": _DRY,
    "without_membrane": _WET,
    "surface": {
        "temperature_factor": 0.915308675,
        "required_factor": 0.7389940929,
        "critical_month": 1,
        "factor_reached": True,
        "critical_factor": None,
        "critical_reached": None,
        "months": [
            {
                "month": 1,
                "surface_temperature_c": 18.60259314,
                "surface_humidity_percent": 66.54540387,
                "least_surface_temperature_c": 15.69340253,
                "required_factor": 0.7389940929,
                "humidity_kept": True,
            }
        ],
    },
}
_FLOWS: Json = {"wet_surfaces": [], "planes": []}
MOISTURE: Json = {
    "membrane": "Polyethylene film, 0.15 mm",
    "with_membrane": {
        **_DRY,
        "start_month": 1,
        "planes": [],
        "months": [
            {"month": 1, "change_g_m2": 0, "held_g_m2": 0, "inflow_g_m2": 7.505288783, "outflow_g_m2": 7.505288783, **_FLOWS}
        ],
        "steps": [
            _step(
                "diffusion-equivalent thickness of layer 1, Gypsum plasterboard", "sd_1", "μ_1 · d_1",
                [("μ_1", 10, ""), ("d_1", 0.0125, "m")], 0.125, "m", "ISO 13788:2012, 6.3, layers of more than 0.25 m²·K/W",
            )
        ],
    },
    "without_membrane": {
        **_WET,
        "start_month": 10,
        "planes": [
            {
                "plane": 12,
                "name": "between Mineral wool of 0.035 and Clay brickwork, outer leaf",
                "resistance_m2k_w": 2.640714286,
                "sd_m": 0.215,
            }
        ],
        "months": [
            {
                "month": 10,
                "change_g_m2": 281.6950085,
                "held_g_m2": 281.6950085,
                "inflow_g_m2": 349.098149,
                "outflow_g_m2": 67.40314043,
                "wet_surfaces": [],
                "planes": [
                    {
                        "plane": 12,
                        "temperature_c": 11.56157307,
                        "saturation_pa": 1361.794871,
                        "vapour_pressure_pa": 1361.794871,
                        "change_g_m2": 281.6950085,
                        "held_g_m2": 281.6950085,
                    }
                ],
            }
        ],
        "steps": [],
    },
}  # fmt: skip
LIMITS: list[Json] = [
    {
        "code": "no_rain",
        "text": "Driving rain that soaks the wall from outside is not in the method.",
        "source": "ISO 13788:2012, scope",
        "certainty": "read",
    }
]
_SUMS: Json = {
    "area_m2": 9.9,
    "opening_area_m2": 1.44,
    "heat_loss_before_w_k": 21.4189379,
    "heat_loss_w_k": 3.495571057,
    "floor_area_m2": None,
    "floor_area_lost_m2": 0.4725,
    "floor_area_lost_percent": None,
}
THERMAL: Json = {
    "build_up_given": False,
    "walls": [
        {
            **_PLACE,
            "area_m2": 9.9,
            "opening_area_m2": 1.44,
            "carries_lining": True,
            "brackets": 14,
            "brackets_per_m2": 1.414141414,
            "assumed": None,
            "not_assessed": None,
            "heat_loss_before_w_k": 21.4189379,
            "heat_loss_w_k": 3.495571057,
            **ASSESSED,
            "moisture": MOISTURE_VERDICT,
        }
    ],
    "rooms": [
        {
            "room_id": ROOM_ID,
            **_SUMS,
            "steps": [
                _step(
                    "wall 1/1, after", "H_1", "U_1 · A_1", [("A_1", 9.9, "m²"), ("U_1", 0.3530879856, _U)], 3.495571057, "W/K",
                    "ISO 13789:2017, transmission through plane elements, Σ U·A",
                )
            ],
        }
    ],
    "total": _SUMS,
    "moisture": [{"number": 1, "walls": [_PLACE], **MOISTURE}],
    "steps": [
        _step(
            "month 1, excess of class 3", "Δp", "Δp_class · min(1, max(0, (20 − θe) / 20))",
            [("Δp_class", 810, "Pa"), ("θe", 3.5, "°C")], 668.25, "Pa", "ISO 13788:2012, Annex A, Figure A.2",
        )
    ],
    "limits": LIMITS,
}  # fmt: skip
BUILD_UP_SENT: Json = {
    "build_up": [
        {"material_id": "plasterboard", "thickness_mm": 12.5},
        {"material_id": "polyethylene_0_15"},
        {"material_id": "air_layer", "thickness_mm": 20, "name": "Air around the frame"},
        {"material_id": "mineral_wool_035", "thickness_mm": 80},
        {"wall": True},
    ],
    "substrate": "solid_brick",
    "wall_thickness_mm": 225,
    "brackets_per_m2": 1.414141414,
    "target_u_value_w_m2k": 0.3,
    "climate": CLIMATE,
}
BUILD_UP_ASSESSED: Json = {
    **ASSESSED,
    "assumed": None,
    "moisture": {**MOISTURE, "condenses": False, "not_followed": None, "surface": MOISTURE_VERDICT["surface"]},
    "climate_steps": [],
    "limits": LIMITS,
}
CAUTIONS: Json = {
    "cautions": [
        {
            "code": "timber_moisture",
            "because": "Timber that is closed in wet may rot.",
            "what_to_do": "Measure the timber's moisture content before closing it in; it should be at most 20 %. The building "
            "should be weathertight.",
            "competent": "Carpenter or surveyor with a moisture meter",
            "source": "Technical standards of a United Kingdom warranty provider, 9.2.4",
            "certainty": "read",
            "walls": [_PLACE],
        }
    ]
}
