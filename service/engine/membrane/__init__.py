"""The vapour control membrane before the studs, with its tapes and sealant: rules M1 to M4. `drape.drape` is its one verb."""
