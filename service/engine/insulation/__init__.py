"""Insulation behind the frame: rules I1 to I3. `insulate.insulate` is its one verb."""
