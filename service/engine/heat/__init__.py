"""Heat and moisture of a survey: from walls and parameters to layers, from layers back to walls, rooms, findings and cautions."""
