"""What hangs on a lining or passes through it: rules V1 to V10. `place.place_features` is its one verb."""
