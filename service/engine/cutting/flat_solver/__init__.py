"""How sheets are planned and how little could do: known only to `service.engine.cutting.flat`."""
