"""Every figure on heat and moisture that was gathered for this service, published or worked out apart: the test that uses it, or
why none does. How it was checked stands beside it (`read`: seen in the source; `second`: seen in one that quotes it;
`calculated`: worked out apart, not published; `memory`: source not opened, so no test fails on its last digit)."""

from typing import NamedTuple


class Row(NamedTuple):
    what: str
    source: str
    evidence: str
    used_by: tuple[str, ...] = ()
    not_used: str = ""


_DEFAULT_TABLE = "a default of an energy rating for walls that nobody measured; this service calculates from layers"

ROWS: tuple[Row, ...] = (
    # Surfaces and air layers
    Row(
        "Rsi 0.13, Rse 0.04",
        "ISO 6946 as in a public course, table 5",
        "read",
        ("test_surfaces_are_those_of_the_standard_and_of_its_heat_transfer_coefficients",),
    ),
    Row(
        "Rsi 0.10 up, 0.17 down",
        "ISO 6946:2017, Table 7",
        "memory",
        ("test_surfaces_are_those_of_the_standard_and_of_its_heat_transfer_coefficients",),
    ),
    Row(
        "surface resistances unrounded",
        "from coefficients of ISO 13789:2017, Table 8",
        "calculated",
        ("test_surfaces_are_those_of_the_standard_and_of_its_heat_transfer_coefficients",),
    ),
    Row(
        "air layers, all rows, plateau 0.18 read",
        "ISO 6946:2007, Table 2",
        "read",
        ("test_the_formula_of_the_annex_gives_every_row_of_the_table",),
    ),
    Row(
        "bright air layer of 25 mm, 0.66", "ISO 6946, Annex D", "calculated", ("test_a_bright_face_makes_an_air_layer_insulate",)
    ),
    Row("slightly ventilated layer", "ISO 6946:2017, 6.9.3", "memory", ("test_slight_ventilation_lies_between_closed_and_open",)),
    # Rules of the method
    Row(
        "upper limit over whole paths",
        "Scottish Building Standards, Annex 6.B",
        "read",
        ("test_timber_framed_wall_of_the_scottish_annex_gives_its_path_resistances_and_0_29",),
    ),
    Row(
        "lower limit by averaged layers",
        "Scottish Building Standards, Annex 6.B",
        "read",
        ("test_timber_framed_wall_of_the_scottish_annex_gives_its_path_resistances_and_0_29",),
    ),
    Row(
        "mean of the limits and its error",
        "ISO 6946",
        "read",
        ("test_timber_framed_wall_of_the_scottish_annex_gives_its_path_resistances_and_0_29",),
    ),
    Row(
        "limits at most 1.5 to 1 apart", "ISO 6946, scope", "memory", ("test_limits_more_than_one_and_a_half_apart_are_refused",)
    ),
    Row(
        "no metal through insulation",
        "SCI advisory note AD 258; Annex 6.B",
        "read",
        ("test_steel_across_insulation_is_refused_with_what_to_do_instead",),
    ),
    Row(
        "corrections from 3 %",
        "a trade magazine of 2018, p. 24, on ISO 6946",
        "second",
        ("test_corrections_below_three_percent_together_are_left_out_unless_asked_for",),
    ),
    Row("fasteners 0.0131", "ISO 6946 formula", "calculated", ("test_steel_fasteners_add_what_the_formula_gives_by_hand",)),
    Row("no correction below 1 W/(m·K)", "ISO 6946", "memory", ("test_plastic_fasteners_count_for_nothing",)),
    Row(
        "air gaps 0, 0.01, 0.04",
        "ISO 6946, F.2",
        "memory",
        ("test_air_gaps_of_level_two_add_0_04_reduced_by_the_share_of_the_layer",),
    ),
    Row(
        "light steel framing p 0.432, RT 1.648",
        "BRE Digest 465",
        "calculated",
        ("test_light_steel_framing_weighs_the_limits_as_its_published_method_does",),
    ),
    Row(
        "worked hybrid light-steel wall",
        "BRE FB 42, example 6; BR 443, App. C",
        "read",
        not_used="only the contents pages could be read, no numbers",
    ),
    Row(
        "mortar share 6.57 % by geometry",
        "BR 443 convention 6.7 %",
        "calculated",
        ("test_mortar_joints_of_blocks_take_the_share_that_geometry_gives",),
    ),
    # Worked examples
    Row(
        "timber-framed wall, R 3.971 and 1.715",
        "Scottish Annex 6.B.2",
        "read",
        ("test_timber_framed_wall_of_the_scottish_annex_gives_its_path_resistances_and_0_29",),
    ),
    Row(
        "four-path dry-lined masonry, 0.315",
        "Approved Document L1 2002, App. B",
        "memory",
        ("test_drylined_masonry_with_two_bridged_layers_has_four_paths",),
    ),
    Row("rendered brick 1.85", "conserveandsave.co.uk", "read", ("test_walls_without_bridges_give_their_published_value",)),
    Row(
        "clad brick 1.64",
        "conserveandsave.co.uk",
        "read",
        ("test_clad_brick_wall_with_sheltered_clear_part_matches_the_published_path_sums",),
    ),
    Row(
        "clad and insulated brick 0.71",
        "conserveandsave.co.uk",
        "read",
        ("test_clad_brick_wall_with_insulation_between_battens_matches_the_published_path_sums",),
    ),
    Row(
        "solid brick 2.17",
        "Building Construction Handbook, p. 468",
        "read",
        ("test_walls_without_bridges_give_their_published_value",),
    ),
    Row("polystyrene on brick 0.64", "l-e-s-s.co.uk", "read", ("test_walls_without_bridges_give_their_published_value",)),
    Row("bare brick 2.72", "schoolphysics.co.uk", "read", ("test_walls_without_bridges_give_their_published_value",)),
    Row(
        "cavity wall with foam 0.27",
        "northernarchitecture.us",
        "read",
        ("test_cavity_wall_with_foam_comes_near_its_published_value",),
    ),
    Row(
        "220 mm brick with dense plaster 2.09",
        "CIBSE films and conductivities",
        "calculated",
        ("test_walls_without_bridges_give_their_published_value",),
    ),
    # Defaults for existing walls
    Row("solid brick as built, by age", "RdSAP 2012, Table S6", "read", not_used=_DEFAULT_TABLE),
    Row(
        "solid brick insulated 0.60, 0.35, 0.25: added R 1.190, 2.381, 3.524",
        "RdSAP 2012, Table S6",
        "calculated",
        ("test_missing_resistance_is_the_difference_of_the_reciprocals",),
    ),
    Row("cavity, granite, sandstone as built", "RdSAP 2012, Table S6", "read", not_used=_DEFAULT_TABLE),
    Row("default thicknesses", "RdSAP 2012", "read", not_used="thicknesses are measured on site"),
    Row("solid brick in Scotland", "gov.scot, Table UV1", "read", not_used=_DEFAULT_TABLE),
    Row(
        "stone 3.3 − 0.002·t and 3.0 − 0.002·t",
        "RdSAP 2012, S5.1.1",
        "read",
        not_used="an empirical line, not a layer calculation",
    ),
    Row(
        "dry-lined 2.1 → 1.55, 2.0 → 1.49",
        "RdSAP 2012, S5.1.2",
        "read",
        ("test_a_dry_lining_of_0_17_changes_a_wall_as_the_existing_dwellings_procedure_says",),
    ),
    Row("RdSAP 10 brick and stone by thickness", "RdSAP 10, 2024", "read", not_used="its tables could not be seen"),
    # Materials
    Row(
        "design values seen in a source",
        "named row by row in the test",
        "read",
        ("test_values_that_were_seen_in_a_source_stand_as_seen",),
    ),
    Row(
        "OSB μ 200 against 50/30; steel 45 against 50",
        "public catalogue; CIBSE Guide A, Table 3.36",
        "read",
        ("test_both_published_values_of_a_disputed_material_are_shown",),
    ),
    Row(
        "stainless steel 29 and 16 by nickel",
        "CIBSE Guide A, Table 3.36",
        "read",
        not_used="the 16 stands in the material's note; the alloy of a bracket is its product's",
    ),
    Row(
        "Z = 5·sd; vapour barrier over 10 MN·s/g",
        "conversion; Spanish guidance, App. A",
        "calculated",
        ("test_vapour_resistance_is_five_times_the_equivalent_thickness",),
    ),
    # Vapour
    Row(
        "saturation pressure, formula",
        "ISO 13788:2012, Annex E",
        "memory",
        ("test_saturation_pressure_gives_the_values_of_the_formula_worked_apart",),
    ),
    Row(
        "saturation pressure, two libraries",
        "psychrolib 2.5.0, CoolProp 8.0.0",
        "calculated",
        (
            "test_saturation_pressure_agrees_with_a_psychrometric_library",
            "test_saturation_pressure_agrees_with_a_library_of_fluid_properties",
        ),
    ),
    Row(
        "moist-air saturation with enhancement factor",
        "CoolProp, humid air",
        "calculated",
        not_used="0.4 % higher by its own definition: another quantity",
    ),
    Row(
        "saturation pressure −20 to 32 °C",
        "Danish moisture guidance, Table 23",
        "read",
        ("test_saturation_pressure_is_near_the_danish_table",),
    ),
    Row(
        "dew points and temperatures for 80 %",
        "formula and two libraries",
        "calculated",
        ("test_dew_points_agree_with_the_libraries",),
    ),
    Row("1168 and 321 Pa", "wissenwiki.de, period balance", "read", ("test_the_pressures_of_the_german_period_balance_are_met",)),
    Row(
        "3.85 and 5.35 g from a cubic metre",
        "wissenwiki.de, condensation",
        "read",
        ("test_cooling_a_cubic_metre_of_room_air_releases_what_was_published",),
    ),
    Row(
        "limits of 1.0 and 0.5 kg/m²",
        "wissenwiki.de, period balance",
        "read",
        not_used="a pass mark of another method; amounts are told, not judged",
    ),
    # Surface
    Row("fRsi 0.51", "Spanish guidance, example 6.1.9", "read", ("test_the_worked_factor_of_the_spanish_guidance_is_met",)),
    Row("fRsi,min by winter zone", "Spanish guidance, Table 1", "read", not_used="a critical value is the caller's"),
    Row("fRsi from U", "1 − U·Rsi", "calculated", ("test_factors_of_plane_elements_follow_from_their_transmittance",)),
    Row("humidity classes", "ISO 13788:2012, Figure A.2", "memory", ("test_humidity_classes_fall_to_nothing_at_twenty_degrees",)),
    # Condensation
    Row("cases A to D", "separate sheet", "calculated", ("test_reference_walls_gather_what_was_worked_apart",)),
    Row(
        "case A with Rsi 0.25; temperature and pressure at its plane",
        "separate sheet",
        "calculated",
        ("test_the_plane_of_the_first_reference_wall_is_as_cold_as_worked_apart",),
    ),
    Row(
        "case B, 8.40 g/m² through", "separate sheet", "calculated", ("test_a_tight_membrane_leaves_only_what_diffuses_through",)
    ),
    Row(
        "evaporation 8129 and 369 g/m²",
        "separate sheet, boundary values of the period balance",
        "calculated",
        ("test_a_wet_plane_dries_to_both_sides_as_in_the_period_balance",),
    ),
    Row(
        "gypsum board, 8.32 kg a day",
        "Heat and Mass Transfer (a textbook), ch. 14",
        "read",
        ("test_vapour_through_gypsum_board_matches_the_textbook",),
    ),
    # Targets
    Row(
        "2.1 → 0.30 needs 2.857, 1.7 → 0.30 needs 2.745",
        "reciprocals",
        "calculated",
        ("test_missing_resistance_is_the_difference_of_the_reciprocals",),
    ),
    Row(
        "threshold and improved values",
        "Approved Document L, England",
        "memory",
        not_used="the target is the specification's; no legal value is built in",
    ),
    Row(
        "a lesser standard where more than 5 % of a room's floor would be lost",
        "Approved Document L1B as quoted by sava.co.uk",
        "second",
        ("test_more_than_five_per_cent_of_the_floor_is_a_finding",),
    ),
    Row(
        "element area when working from inside; triggers of 50 % and 25 %",
        "guidance of Carmarthenshire County Council",
        "read",
        not_used="whether work is notifiable is for the local authority; areas are told for whoever decides",
    ),
    Row(
        "payback of 15 years, otherwise not worse than 0.7",
        "Approved Document L1B as quoted by addasu.co.uk",
        "second",
        not_used="no legal value is built in",
    ),
    Row(
        "regulation 12, conversions no worse than before; editions in force",
        "gov.scot; Approved Document L volume 1 of Wales, 2022; TGD L 2021 of Ireland",
        "read",
        not_used="rules of places, not figures of physics",
    ),
    # Cautions
    Row(
        "manual handling, silica, fibre, damp, exposure, timber moisture, limits of the steady check",
        "named in each caution",
        "read",
        ("test_each_fact_calls_its_cautions", "test_the_limits_name_what_the_moisture_method_leaves_out"),
    ),
    Row(
        "dry-liners' injury rates; form of a damp survey report",
        "HSE RR812; joint position statement 2022",
        "read",
        not_used="background, nothing to do on the job follows from it",
    ),
)
