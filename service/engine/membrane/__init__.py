"""The vapour control membrane on the room side of the studs, its tapes and sealant: rules M1 to M4. `drape.drape` is its one verb."""
