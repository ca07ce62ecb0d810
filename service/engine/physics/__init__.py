"""Heat and moisture through a build-up of layers: it knows layers, surfaces and air, not walls or rooms.

Layers always run from inside to outside. Resistances in m²·K/W, conductivities in W/(m·K), temperatures in °C, vapour pressures
in Pa, amounts of water in g/m². Nothing is rounded on the way: `steps.shown` rounds for the eye. What a caller got wrong is
raised as `faults.Refused`, which says where and why; how far each source was checked is said with `vocabulary.Certainty`.
"""
